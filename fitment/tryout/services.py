"""The bench: one axle's set-up, tried on a pattern or on an order's car without being kept.

A set-up becomes the corners of a check file and goes the way of every check; what was worked
out lately is kept in this process, since one change leaves most of the bench as it was.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from django.db import transaction

from alignment.geometry import units
from alignment.geometry.linkage import Unreachable
from alignment.models import PlannedSetting
from alignment.plans.services import AxlePlan, plan_save
from fitment.catalogue.services import order_wheels_choose
from fitment.clearance.car_document import AXLE_CORNERS, Car, Document
from fitment.engine import checkfile
from fitment.engine.check import corner_answer
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.drawing.section_drawing import room_scene
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import (
    CONTACT,
    UNMEASURED,
    VERDICTS,
    Corner,
    CornerAnswer,
    SpotAnswer,
)
from fitment.engine.solid.section import section_of
from fitment.engine.verdict import worst
from fitment.engine.words import worst_spot
from fitment.models import (
    CORNER_NAMES,
    OrderWheels,
    TyreModel,
    UseProfile,
    WheelModel,
)
from shop.orders.log import log_write
from shop.orders.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User, WorkOrder

#: Answers, and drawings, that one process keeps.
KEPT = 64
#: In which state the order judges its tyre; the bench leaves it alone.
STATE = ("worn_mm", "growth_mm", "largest_allowed")
ANY_WHEEL: Document = {
    "wheel": {"diameter_in": 16, "width_in": 7, "offset_mm": 40},
    "tyre": {"size": "205/55R16"},
}
#: The part of a check file's corner that a field of the bench stands for.
FIELDS = {
    "wheel.spacer_mm": "spacer",
    "wheel": "wheel",
    "tyre": "tyre",
    "planned.camber_by": "by",
    "planned.camber_deg": "camber",
    "planned.toe_deg": "toe",
    "planned.adjusters.ride_height_mm": "height",
    "planned.adjusters.bump_stop_mm": "packer",
    "planned": "camber",
}


@dataclass(frozen=True)
class SetUp:
    """What is tried on one axle. ``size`` is a bare designation, for a tyre nobody has seen.

    ``adjusters`` and ``state`` come from the order and stay: other adjusters that are stated
    there, and the state in which the tyre is judged.
    """

    axle: str
    wheel: WheelModel
    tyre: TyreModel | None
    size: str
    spacer_mm: float
    camber_deg: float | None
    camber_by: str
    toe_deg: float
    ride_height_mm: float | None
    bump_stop_mm: float | None
    adjusters: Mapping[str, Any] = field(default_factory=dict)
    state: Mapping[str, Any] = field(default_factory=dict)
    rolled_lips: bool = False

    @property
    def tyre_words(self) -> str:
        return str(self.tyre) if self.tyre else f"{self.size}, nominal"

    def stated(self) -> Document:
        """Adjusters as a check file states them."""
        named = dict(self.adjusters)
        for name, value in (
            ("ride_height_mm", self.ride_height_mm),
            ("bump_stop_mm", self.bump_stop_mm),
        ):
            named.pop(name, None)
            if value is not None:
                named[name] = value
        return {name: value for name, value in named.items() if value is not None}

    def as_document(self) -> Document:
        """``planned``, ``wheel`` and ``tyre`` of a check file's corner."""
        planned: Document = {"toe_deg": self.toe_deg}
        if self.camber_deg is not None:
            planned |= {"camber_deg": self.camber_deg, "camber_by": self.camber_by}
        if adjusters := self.stated():
            planned["adjusters"] = adjusters
        if self.rolled_lips:
            planned["rolled_lips"] = True
        tyre = self.tyre.as_document(self.wheel.width_in) if self.tyre else {"size": self.size}
        return {
            "planned": planned,
            "wheel": self.wheel.as_document(spacer_mm=self.spacer_mm),
            "tyre": tyre | dict(self.state),
        }


@dataclass(frozen=True)
class Side:
    """Corners that were asked alike, with their answer."""

    corners: tuple[str, ...]
    answer: CornerAnswer
    key: str


@dataclass(frozen=True)
class Tried:
    """A set-up with its answers, the side with the least room first; or what is in the way.

    ``problems`` are (field of the bench, sentence); the field is empty where none is meant.
    """

    set_up: SetUp
    sides: tuple[Side, ...] = ()
    problems: tuple[tuple[str, str], ...] = ()
    unmeasured: tuple[str, ...] = ()

    @property
    def verdict(self) -> str:
        """The word for the axle: out of reach where it would clear but cannot be set."""
        word = worst(side.answer.verdict for side in self.sides)
        if self.unmeasured and word != CONTACT:
            return UNMEASURED
        short = any(side.answer.out_of_reach for side in self.sides)
        return "out of reach" if short and word not in (CONTACT, UNMEASURED) else word

    @property
    def tightest(self) -> SpotAnswer | None:
        return worst_spot(self.sides[0].answer) if self.sides else None


def set_up_of(car: Car, axle: str) -> SetUp | None:
    """What an order chose and plans for an axle; None while either is missing."""
    row, plan = car.wheels.get(axle), car.plans.get(axle)
    if row is None or plan is None:
        return None
    adjusters = plan.adjusters or {}
    return SetUp(
        axle=axle,
        wheel=row.wheel,
        tyre=row.tyre,
        size="",
        spacer_mm=row.spacer_mm,
        camber_deg=plan.camber_deg,
        camber_by=plan.camber_by,
        toe_deg=plan.toe_deg,
        ride_height_mm=adjusters.get("ride_height_mm"),
        bump_stop_mm=adjusters.get("bump_stop_mm"),
        adjusters=adjusters,
        state=state_of(row),
        rolled_lips=plan.rolled_lips,
    )


def state_of(row: OrderWheels | None) -> dict[str, Any]:
    """In which state an order judges its tyre: what is said of it alone."""
    return {name: getattr(row, name) for name in STATE if row and getattr(row, name)}


def question_of(car: Car, set_up: SetUp, duty: UseProfile) -> Document:
    """A set-up on both surveyed corners of its axle as a check file."""
    height = set_up.ride_height_mm or 0.0
    return {
        "archroom_check": 1,
        "duty": duty.as_document(),
        "corners": {
            corner: car.corner_document(corner, height) | set_up.as_document()
            for corner in car.measured(set_up.axle)
        },
    }


def tried(car: Car, set_up: SetUp, duty: UseProfile) -> Tried:
    """What the engine says to a set-up on both sides of its axle."""
    whole = question_of(car, set_up, duty)
    groups: dict[str, list[str]] = {}
    for corner, document in whole["corners"].items():
        alone = {**whole, "corners": {"LF" if corner.endswith("F") else "LR": document}}
        groups.setdefault(json.dumps(alone, sort_keys=True), []).append(corner)
    sides: list[Side] = []
    try:
        for key, corners in groups.items():
            sides.append(Side(tuple(corners), _worked_out(key)[1], key))
    except checkfile.BadCheckFile as bad:
        return Tried(set_up, problems=tuple(_at_field(p.path, p.message) for p in bad.problems))
    except RestsOnStops as rests:
        return Tried(set_up, problems=(("height", f"{_sentence(str(rests))}"),))
    except Unreachable as stuck:
        reason = f"The suspension as surveyed cannot be set like this: {stuck}"
        return Tried(set_up, problems=(("camber", _sentence(reason)),))
    sides.sort(key=lambda side: (VERDICTS.index(side.answer.verdict), _room(side)))
    missing = tuple(corner for corner in AXLE_CORNERS[set_up.axle] if corner not in car.surveys)
    return Tried(set_up, tuple(sides), unmeasured=missing)


def _room(side: Side) -> float:
    return min((p.clearance_mm - p.needed_mm for p in side.answer.places), default=0.0)


@lru_cache(maxsize=KEPT)
def _worked_out(key: str) -> tuple[Setting, CornerAnswer]:
    """One corner made ready and answered. Raises what parsing and settling raise."""
    (corner,) = checkfile.parse(json.loads(key)).corners.values()
    ready = _made_ready(_room_key(key))
    setting = replace(ready, corner=corner)
    return setting, corner_answer(setting)


@lru_cache(maxsize=KEPT)
def _made_ready(key: str) -> Setting:
    """A corner settled, with its room, whatever wheel and tyre it has in the question."""
    question = checkfile.parse(json.loads(key))
    ((name, corner),) = question.corners.items()
    return setting_of(name, corner, question.duty)


def _room_key(key: str) -> str:
    """The question with a wheel that suits any corner: no room depends on the one it is for."""
    document = json.loads(key)
    corners = {name: corner | ANY_WHEEL for name, corner in document["corners"].items()}
    return json.dumps(document | {"corners": corners}, sort_keys=True)


def corner_asked(key: str) -> Corner:
    """The corner that a side was asked about."""
    return _worked_out(key)[0].corner


def same_room(one: str, other: str) -> bool:
    """Whether two sides were asked in one room: wheel and tyre are all that differs."""
    return _room_key(one) == _room_key(other)


@lru_cache(maxsize=KEPT)
def drawn(
    key: str, corner: str, other_key: str = "", which: str = ""
) -> tuple[str, tuple[str, ...]]:
    """The drawing of a side as SVG with its legend; the other set-up's wheel is dashed in it.

    ``which`` names the set-up where two are drawn apart.
    """
    setting, answer = _worked_out(key)
    other = None
    if other_key:
        beside = _worked_out(other_key)[0].corner
        other = section_of(beside.wheel, beside.tyre)
    scene = room_scene(
        setting.room,
        section_of(setting.corner.wheel, setting.corner.tyre),
        answer,
        title=f"Room of the {CORNER_NAMES[corner]} wheel{f', {which}' if which else ''}",
        other_section=other,
    )
    return scene_svg(scene, id_prefix=f"bench-{which.partition(' ')[0] or 'one'}"), scene.legend


def forget() -> None:
    """Drop what is kept in this process, as measurements of time do."""
    _worked_out.cache_clear()
    _made_ready.cache_clear()
    drawn.cache_clear()


def _at_field(path: str, message: str) -> tuple[str, str]:
    steps = path.replace("[", ".").replace("]", "").strip("$.").split(".")
    inside = ".".join(steps[2:]) if steps[0] == "corners" else path
    name = next((name for start, name in FIELDS.items() if inside.startswith(start)), "")
    return name, _sentence(message if name else f"{path}: {message}")


def _sentence(text: str) -> str:
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"


# Onto the order


@transaction.atomic
def tryout_put(*, order: WorkOrder, set_up: SetUp, by: User) -> None:
    """Make a set-up the wheels and planned settings of an order's axle.

    Raises Refused where the order is closed, or for a size that no tyre of the catalogue has.
    """
    if set_up.tyre is None:
        raise Refused(
            "A nominal size is no tyre yet: choose the tyre of the catalogue that will be mounted.",
            field="tyre",
        )
    row = OrderWheels(
        axle=set_up.axle,
        wheel=set_up.wheel,
        tyre=set_up.tyre,
        spacer_mm=set_up.spacer_mm,
        **set_up.state,
    )
    order_wheels_choose(order=order, choices={set_up.axle: row}, by=by)
    before = PlannedSetting.objects.filter(order=order, axle=set_up.axle).first()
    axles = {set_up.axle: _plan(set_up, before)}
    plan_save(order=order, by=by, axles=axles, why="Tried and chosen on the bench.")
    log_write(
        order=order,
        by=by,
        what="Set-up taken from the bench",
        detail=f"{set_up.axle.capitalize()}: {row}.",
    )


def _plan(set_up: SetUp, before: PlannedSetting | None) -> AxlePlan:
    """The axle's plan: what the bench does not ask for stays as it was."""
    values: dict[str, Any] = {}
    if before is not None:
        for name in ("toe_unit", "toe_diameter_mm", "caster_deg", "bushes", "notes"):
            values[name] = getattr(before, name)
        for name in ("camber_tolerance_deg", "toe_tolerance_deg", "caster_tolerance_deg"):
            values[name] = getattr(before, name)
    typed = {
        key: text
        for key, text in (before.typed if before else {}).items()
        if key not in ("camber", "toe", "ride_height_mm", "bump_stop_mm")
    }
    figures = {
        "camber": (set_up.camber_deg, "°"),
        "toe": (set_up.toe_deg, "°"),
        "ride_height_mm": (set_up.ride_height_mm, ""),
        "bump_stop_mm": (set_up.bump_stop_mm, ""),
    }
    for key, (value, unit) in figures.items():
        if value is not None:
            typed[key] = f"{units.format_number(value, 3)}{unit}"
    return AxlePlan(
        toe_deg=set_up.toe_deg,
        camber_deg=set_up.camber_deg,
        camber_by=set_up.camber_by if set_up.camber_deg is not None else "",
        adjusters=set_up.stated(),
        rolled_lips=set_up.rolled_lips,
        typed=typed,
        **values,
    )

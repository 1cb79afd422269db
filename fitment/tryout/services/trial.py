"""Try-out: one axle's set-up, tried on a car model or on an order's car without being kept.

A set-up becomes the corners of a check file and goes the way of every check; what was worked
out lately is kept in this process, since one change leaves most of the try-out as it was.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from alignment.geometry.linkage import Unreachable
from alignment.text.render import Reader
from common.canonical_json import canonical_json
from common.corners import AXLE_CORNERS, axle_of
from common.message import message
from common.verdicts import VERDICTS
from fitment.drawings.drawn import svg_of
from fitment.engine import checkfile
from fitment.engine.check import corner_answer
from fitment.engine.drawing.scene import Text
from fitment.engine.drawing.section_drawing import room_scene
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import Corner, CornerAnswer
from fitment.engine.solid.section import section_of
from fitment.fields.numbers import number_text
from fitment.job.car import Car, Document
from fitment.models import OrderWheels, UseProfile
from fitment.text.lettering import letter_for, lettered_for
from fitment.text.render import reason_text
from fitment.tryout.data import SetUp, Side, Tried
from shop.languages import Speech, speech_of_page
from shop.languages.formatting import capital

#: Answers, and drawings, that one process keeps.
KEPT = 64
#: In which state the order judges its tyre; the try-out leaves it alone.
STATE = ("worn_mm", "growth_mm", "largest_allowed")
ANY_WHEEL: Document = {
    "wheel": {"diameter_in": 16, "width_in": 7, "offset_mm": 40},
    "tyre": {"size": "205/55R16"},
}
#: The part of a check file's corner that a field of the try-out stands for.
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


def question_of(car: Car, set_up: SetUp, profile: UseProfile) -> Document:
    """A set-up on both surveyed corners of its axle as a check file."""
    height = set_up.ride_height_mm or 0.0
    return {
        "archroom_check": 1,
        "duty": profile.as_document(),
        "corners": {
            corner: car.corner_document(corner, height) | set_up.as_document()
            for corner in car.measured(set_up.axle)
        },
    }


def tried(car: Car, set_up: SetUp, profile: UseProfile) -> Tried:
    """What the engine says to a set-up on both sides of its axle."""
    whole = question_of(car, set_up, profile)
    groups: dict[str, list[str]] = {}
    for corner, document in whole["corners"].items():
        alone = {**whole, "corners": {AXLE_CORNERS[axle_of(corner)][0]: document}}
        groups.setdefault(canonical_json(alone), []).append(corner)
    sides: list[Side] = []
    try:
        for key, corners in groups.items():
            sides.append(Side(tuple(corners), _worked_out(key)[1], key))
    except checkfile.BadCheckFile as bad:
        return Tried(set_up, problems=tuple(_at_field(p.path, p.message) for p in bad.problems))
    except RestsOnStops as rests:
        return Tried(set_up, problems=(("height", _sentence(reason_text(rests))),))
    except Unreachable as stuck:
        text = gettext("The suspension as surveyed cannot be set like this: {reason}")
        reason = text.format(reason=reason_text(stuck))
        return Tried(set_up, problems=(("camber", _sentence(reason)),))
    sides.sort(key=lambda side: (VERDICTS.index(side.answer.verdict), _clearance(side)))
    missing = tuple(corner for corner in AXLE_CORNERS[set_up.axle] if corner not in car.surveys)
    return Tried(set_up, tuple(sides), unmeasured=missing)


def _clearance(side: Side) -> float:
    return min((p.spare_mm for p in side.answer.places), default=0.0)


@lru_cache(maxsize=KEPT)
def _worked_out(key: str) -> tuple[Setting, CornerAnswer]:
    """One corner made ready and answered. Raises what parsing and settling raise."""
    (corner,) = checkfile.parse(json.loads(key)).corners.values()
    ready = _made_ready(_room_key(key))
    setting = replace(ready, corner=corner)
    return setting, corner_answer(setting)


@lru_cache(maxsize=KEPT)
def _made_ready(key: str) -> Setting:
    """A corner settled, with its room, for any wheel and tyre."""
    question = checkfile.parse(json.loads(key))
    ((name, corner),) = question.corners.items()
    return setting_of(name, corner, question.duty)


def _room_key(key: str) -> str:
    """The question with a wheel that suits any corner: no room depends on the one it is for."""
    document = json.loads(key)
    corners = {name: corner | ANY_WHEEL for name, corner in document["corners"].items()}
    return canonical_json(document | {"corners": corners})


def corner_asked(key: str) -> Corner:
    """The corner that a side was asked about."""
    return setting_asked(key).corner


def setting_asked(key: str) -> Setting:
    """The corner that a side was asked about, made ready."""
    return _worked_out(key)[0]


def same_room(one: str, other: str) -> bool:
    """Whether two sides were asked in one room: wheel and tyre are all that differs."""
    return _room_key(one) == _room_key(other)


def drawn(
    key: str, corner: str, other_key: str = "", which: str = ""
) -> tuple[SafeString, tuple[Text, ...]]:
    """The drawing of a side as SVG with its legend; the other set-up's wheel is dashed in it.

    ``which`` names the set-up where two are drawn apart.
    """
    return _drawn(key, corner, other_key, which, speech_of_page())


@lru_cache(maxsize=KEPT)
def _drawn(
    key: str, corner: str, other_key: str, which: str, speech: Speech
) -> tuple[SafeString, tuple[Text, ...]]:
    """The same for one reader: words and figures decide where labels stand."""
    reader = Reader(speech)
    setting, answer = _worked_out(key)
    other = None
    if other_key:
        beside = _worked_out(other_key)[0].corner
        other = section_of(beside.wheel, beside.tyre)
    title = message("drawing.title", corner=message(f"corner.{corner}"))
    scene = lettered_for(
        room_scene(
            setting.room,
            section_of(setting.corner.wheel, setting.corner.tyre),
            answer,
            title=message("drawing.title-of", title=title, which=which) if which else title,
            letter=letter_for(reader),
            other_section=other,
        ),
        reader,
    )
    svg = svg_of(scene, id_prefix=f"tryout-{'-'.join(which.lower().split()) or 'one'}")
    return svg, scene.legend


def forget() -> None:
    """Drop what is kept in this process, as measurements of time do."""
    _worked_out.cache_clear()
    _made_ready.cache_clear()
    _drawn.cache_clear()


def _at_field(path: str, message: str) -> tuple[str, str]:
    steps = path.replace("[", ".").replace("]", "").strip("$.").split(".")
    inside = ".".join(steps[2:]) if steps[0] == "corners" else path
    name = next((name for start, name in FIELDS.items() if inside.startswith(start)), "")
    return name, _sentence(message if name else f"{path}: {message}")


def _sentence(text: str) -> str:
    text = text.strip()
    return f"{capital(text)}{'' if text.endswith('.') else '.'}"


# Onto the order


def start_of(car: Car, axle: str) -> dict[str, str]:
    """What the form of an axle begins with: the order's own wheels and settings."""
    row, plan = car.wheels.get(axle), car.plans.get(axle)
    start: dict[str, str] = {}
    if row is not None:
        start |= {"wheel": str(row.wheel_id), "tyre": str(row.tyre_id)}
        start["spacer"] = number_text(row.spacer_mm) if row.spacer_mm else ""
    if plan is not None:
        adjusters = plan.adjusters or {}
        start |= {
            "camber": number_text(plan.camber_deg),
            "by": plan.camber_by,
            "toe": number_text(plan.toe_deg),
            "height": number_text(adjusters.get("ride_height_mm")),
            "packer": number_text(adjusters.get("bump_stop_mm")),
            "lips": "on" if plan.rolled_lips else "",
        }
    return start

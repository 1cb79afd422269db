"""The adjusters of a corner: which may be adjusted, and their positions at a visit."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from alignment.adjustments.axle_toe import read_at
from alignment.adjustments.data import Geometry
from alignment.adjustments.hand_steps import OutOfRange, out_of_range
from alignment.adjustments.held import WHOLE, Held
from alignment.geometry.adjuster_units import HandSetting
from alignment.geometry.adjustment_problem import TOE_LINK, AdjusterRange, Target, Task
from alignment.geometry.model import ADJUSTERS, CAMBER_ADJUSTERS, LINKS, Suspension
from alignment.models import PlannedSetting, Quantity, RackVisit, Stage, TargetSheet
from alignment.models.accepted import AcceptedAdjustments
from alignment.plans.services.order_targets import Aims
from common.corners import axle_of
from shop.models import WorkOrder
from shop.orders.services.adjuster_parts import AdjustingPart

HEIGHTS = ("ride_height_mm", "bump_stop_mm")
ROD = "rod:"


@dataclass(frozen=True)
class Rows:
    """The rows behind an order's adjustments, each kind fetched once.

    ``accepted`` are the adjustments that were accepted after a visit (pk) at a corner, ``held``
    the adjusters that stay at a corner, ``listed`` the pieces of each part (pk) on the order's
    lines.
    """

    order: WorkOrder
    visits: Sequence[RackVisit]
    plans: Mapping[str, PlannedSetting]
    sheet: TargetSheet | None
    aims: Aims
    geometry: Mapping[str, Geometry]
    parts: Mapping[str, Mapping[str, AdjustingPart]]
    accepted: Mapping[tuple[int, str], AcceptedAdjustments]
    held: Held
    listed: Mapping[int, Decimal]


@dataclass(frozen=True)
class AdjusterPositions:
    """Positions of adjusters: ``recorded`` are those that were noted, ``assumed`` those at the
    position of accepted adjustments, ``unclear`` texts whose unit has no size."""

    at: Mapping[str, float]
    recorded: frozenset[str]
    assumed: frozenset[str]
    unclear: Mapping[str, str]

    @property
    def known(self) -> frozenset[str]:
        return self.recorded | self.assumed


class CornerAdjusters:
    """What can be adjusted at a corner, and its position at a visit."""

    def __init__(self, rows: Rows, corner: str, geometry: Geometry) -> None:
        self.rows, self.corner, self.suspension = rows, corner, geometry.suspension
        self.plan = rows.plans.get(axle_of(corner))
        self.parts = {named(self.suspension, name): row for name, row in rows.parts[corner].items()}
        self.hands = {name: hand_setting_of(row) for name, row in self.parts.items()}
        self.camber_by = self._camber_by()
        named_held = rows.held.get(corner, frozenset())
        self.held = frozenset(self.possible) if WHOLE in named_held else named_held

    def _camber_by(self) -> str:
        if self.plan is not None:
            return self.plan.camber_by
        sheet = self.rows.sheet
        return str((sheet.camber_by or {}).get(axle_of(self.corner), "")) if sheet else ""

    @property
    def stated(self) -> dict[str, float]:
        """Positions that the plan states."""
        adjusters = (self.plan.adjusters or {}) if self.plan else {}
        plain = {k: float(v) for k, v in adjusters.items() if k in ADJUSTERS and v is not None}
        rods = {f"{ROD}{rod}": float(mm) for rod, mm in (adjusters.get("rods_mm") or {}).items()}
        return {named(self.suspension, name): mm for name, mm in (plain | rods).items()}

    @property
    def possible(self) -> tuple[str, ...]:
        """All adjusters of this kind of suspension."""
        kind = self.suspension.kind
        plain = [name for name, kinds in ADJUSTERS.items() if kind in kinds]
        rods = [f"{ROD}{rod.name}" for rod in self.suspension.links if not rod.toe]
        return tuple(name for name in (*plain, *rods) if name not in HEIGHTS)

    @property
    def _offered(self) -> set[str]:
        """Adjusters that parts, the car or the camber method offer, and the toe link."""
        by = CAMBER_ADJUSTERS[self.suspension.kind].get(self.camber_by, self.camber_by)
        return {TOE_LINK, by, *self.suspension.reach}

    def ranges(
        self, stood: Mapping[str, float], recorded: frozenset[str]
    ) -> tuple[AdjusterRange, ...]:
        """Adjusters that parts or the plan's camber method offer and the plan does not set."""
        reach = self.suspension.reach
        offered = self._offered - set(self.stated) - self.held
        found = []
        for name in (name for name in self.possible if name in offered):
            low, high = reach.get(name, (None, None))
            grid = stood.get(name, 0.0) if name in recorded else 0.0
            step = self.hands[name].least if name in self.hands else 0.0
            found.append(AdjusterRange(name, low, high, step, grid))
        return tuple(found)

    def stood(self, visit: RackVisit) -> AdjusterPositions:
        """Positions at a visit.

        A position that was not recorded again is the one that the order recorded last, or that of
        adjustments accepted since; after the work began, what the plan states counts as set.
        """
        stood = dict(self.stated) if visit.stage != Stage.BEFORE else {}
        recorded: set[str] = set()
        assumed: set[str] = set()
        unclear: dict[str, str] = {}
        for earlier in self.rows.visits:
            for position in earlier.positions.all():
                name = named(self.suspension, position.adjuster)
                if position.corner != self.corner or name not in self.possible:
                    continue
                value = self.hands.get(name, HandSetting()).position(position.value, position.unit)
                if value is None:
                    unclear[name] = position.shown
                    continue
                stood[name] = value
                recorded.add(name)
                assumed.discard(name)
                unclear.pop(name, None)
            if earlier.pk == visit.pk:
                break
            taken = self.rows.accepted.get((earlier.pk, self.corner))
            for name, end in (taken.ends if taken else {}).items():
                if name in self.possible:
                    stood[name] = end
                    assumed.add(name)
                    recorded.discard(name)
                    unclear.pop(name, None)
        stood["ride_height_mm"] = self._height(visit)
        return AdjusterPositions(stood, frozenset(recorded), frozenset(assumed), unclear)

    def _height(self, visit: RackVisit) -> float:
        """The body's height at a visit against the survey: as read against before, else planned."""
        planned = self.stated.get("ride_height_mm", 0.0)
        first = next((v for v in self.rows.visits if v.stage == Stage.BEFORE), None)
        if first is not None and visit.stage == Stage.BEFORE:
            return 0.0
        key = (self.corner, str(Quantity.RIDE_HEIGHT.value))
        before = first.values().get(key) if first is not None else None
        now = visit.values().get(key)
        return planned if before is None or now is None else now - before

    def task(
        self, visit: RackVisit, stood: AdjusterPositions, wanted: Mapping[str, Target]
    ) -> Task:
        """What is to be solved at a visit: positions, readings, targets and what may be turned."""
        ranges = self.ranges(stood.at, stood.known)
        stays = {TOE_LINK, *self.held}
        after = {name: value for name, value in self.stated.items() if name not in stays}
        if visit.stage != Stage.BEFORE:
            after["ride_height_mm"] = stood.at["ride_height_mm"]
        read = read_at(visit, self.corner).values
        return Task(stood.at, read, wanted, ranges, after, self.possible)

    @property
    def may_stay(self) -> tuple[str, ...]:
        """Adjusters that can be named as seized: what the parts and the plan offer here."""
        offered = self._offered | {*self.stated, *self.held}
        return tuple(name for name in self.possible if name in offered)

    @property
    def out_of_range(self) -> tuple[OutOfRange, ...]:
        """Planned positions that the parts on the car cannot take."""
        set_here = {k: v for k, v in self.stated.items() if k not in self.held}
        return out_of_range(set_here, self.suspension.reach, self.hands)

    @property
    def shims_listed(self) -> dict[str, int]:
        """By adjuster that new shims set, how many the order's lines list."""
        return {
            name: int(self.rows.listed.get(row.part.pk, 0))
            for name, row in self.parts.items()
            if row.part.shim_mm and row.is_new
        }

    def new_toe_link_length_mm(self, stood: Mapping[str, float]) -> float | None:
        """Length between the joints of the toe rod as it stands, where a line of this order
        brings a new one."""
        row = self.parts.get(TOE_LINK)
        if row is None or not row.is_new:
            return None
        inner, outer = self.suspension.rod_ends(toe_rod(self.suspension))
        return math.dist(inner, outer) + stood.get(TOE_LINK, 0.0)


def toe_rod(suspension: Suspension) -> str:
    """Name of the rod that sets toe."""
    if suspension.kind == LINKS:
        return next(rod.name for rod in suspension.links if rod.toe)
    return suspension.rod_names[-1]


def named(suspension: Suspension, adjuster: str) -> str:
    """An adjuster's name; the toe rod of five links is the toe link."""
    if suspension.kind == LINKS and adjuster == f"{ROD}{toe_rod(suspension)}":
        return TOE_LINK
    return adjuster


def hand_setting_of(row: AdjustingPart) -> HandSetting:
    """How a part is set by hand."""
    part = row.part
    return HandSetting(
        part.step, part.mark_size, part.shim_mm, part.thread_pitch_mm, int(part.threads or 1)
    )

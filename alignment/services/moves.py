"""Moves of an order's corners: from the last readings to what is wanted.

Rear corners come first, since the line from which a rack counts front toe goes with them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from alignment.aims import Aims, aims_of
from alignment.compare import sheet_of
from alignment.geometry import readings
from alignment.geometry.hand import Hand
from alignment.geometry.learned import Learned, TooLittle
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import ADJUSTERS, CAMBER_MEANS, LINKS, Suspension
from alignment.geometry.moves import moves_for
from alignment.geometry.solving import predicted
from alignment.geometry.tasks import (
    QUANTITIES,
    TOE,
    TOE_LINK,
    Forward,
    Means,
    Move,
    Moves,
    Target,
    Task,
    forward_of,
)
from alignment.models import (
    AXLE_CORNERS,
    PlanAxle,
    PlannedSetting,
    Quantity,
    RackVisit,
    Stage,
    TargetSheet,
    ToeReference,
)
from alignment.plugs import Geometry, geometry_of
from alignment.services.teaching import Taught, taught_by_visits
from shop.adjusting import AdjustingPart, adjusting_parts
from shop.models import Corner, WorkOrder

HEIGHTS = ("ride_height_mm", "bump_stop_mm")
ROD = "rod:"
#: Positions nearer than this (mm, degrees) are the same.
SAME_PLACE = 0.05
#: Rear corners before front ones.
ORDER = (Corner.LR, Corner.RR, Corner.LF, Corner.RF)


@dataclass(frozen=True)
class Followed:
    """What was predicted for the last readings, from those before, and what was read.

    ``as_proposed``: no position was recorded with the last readings, so they are held against
    the moves that were proposed. ``doubt_deg`` is what two readings of the rack may differ by.
    """

    before: RackVisit
    predicted: Mapping[str, float]
    read: Mapping[str, float]
    offset: Mapping[str, float]
    as_proposed: bool
    doubt_deg: float


@dataclass(frozen=True)
class CornerMoves:
    """One corner: what it reads, what is wanted, and how to get there; or why nobody can say.

    ``stood`` are the adjusters at the readings and ``recorded`` those that somebody noted,
    ``unclear`` texts whose unit has no size. ``link_now_mm`` is the length of the toe rod where
    a new one comes onto the car. ``thrust_shift_deg`` is what the rear moves add to front toe.
    """

    corner: str
    visit: RackVisit
    read: Mapping[str, float]
    wanted: Mapping[str, Target]
    answer: Moves | None = None
    stood: Mapping[str, float] = field(default_factory=dict)
    recorded: frozenset[str] = frozenset()
    unclear: Mapping[str, str] = field(default_factory=dict)
    hands: Mapping[str, Hand] = field(default_factory=dict)
    camber_by: str = ""
    source: str = ""
    why_not: str = ""
    taught: Taught | None = None
    link_now_mm: float | None = None
    followed: Followed | None = None
    thrust_shift_deg: float = 0.0
    set_anyway: tuple[Move, ...] = ()


@dataclass(frozen=True)
class _Rows:
    """The rows behind an order's moves, each kind fetched once."""

    order: WorkOrder
    visits: Sequence[RackVisit]
    plans: Mapping[str, PlannedSetting]
    sheet: TargetSheet | None
    aims: Aims
    geometry: Mapping[str, Geometry]
    parts: Mapping[str, Mapping[str, AdjustingPart]]


def order_moves(order: WorkOrder) -> list[CornerMoves]:
    """Moves of every corner that was read and has a target, in the order LF, RF, LR, RR."""
    plans = list(PlannedSetting.objects.filter(order=order))
    sheet = sheet_of(order)
    rows = _Rows(
        order,
        list(RackVisit.objects.filter(order=order).with_numbers()),
        {plan.axle: plan for plan in plans},
        sheet,
        aims_of(plans, sheet),
        geometry_of(order),
        adjusting_parts(order),
    )
    forwards = {corner: forward_of(one.motion) for corner, one in rows.geometry.items()}
    taught: dict[str, Taught | str] = {}
    found: dict[str, CornerMoves] = {}
    for corner in ORDER:
        axle, forward = axle_of(corner), forwards.get(corner)
        if forward is None and axle not in taught:
            taught[axle] = _taught(order, axle)
        one = _corner(rows, corner, forward, taught.get(axle, ""), _thrust_shift(found))
        if one is not None:
            found[corner] = one
    return [found[corner] for corner in Corner.values if corner in found]


def axle_of(corner: str) -> str:
    return next(axle for axle, corners in AXLE_CORNERS.items() if corner in corners)


def _corner(
    rows: _Rows,
    corner: str,
    forward: Forward | None,
    taught: Taught | str,
    thrust_shift: float,
) -> CornerMoves | None:
    read_at = [visit for visit in rows.visits if _read(visit, corner)]
    wanted = _wanted(rows.aims, corner)
    if not read_at or not wanted:
        return None
    visit = read_at[-1]
    shift = _shift_at(corner, visit, thrust_shift)
    read = _read(visit, corner)
    if forward is None:
        return _by_visits(corner, visit, read, wanted, taught)
    geometry = rows.geometry[corner]
    bare = CornerMoves(corner, visit, read, wanted, source=geometry.source)
    setup = _Setup(rows, corner, geometry)
    stood, recorded, unclear = setup.stood(visit)
    aims = {q: t if q != TOE else replace(t, deg=t.deg - shift) for q, t in wanted.items()}
    bare = replace(
        bare,
        stood=stood,
        recorded=recorded,
        unclear=unclear,
        hands=setup.hands,
        camber_by=setup.camber_by,
        thrust_shift_deg=shift,
    )
    try:
        task = setup.task(visit, stood, recorded, aims)
        answer = moves_for(forward, task)
        followed = _followed(setup, forward, read_at, aims)
    except Unreachable as stop:
        why = f"With the positions that were recorded the linkage does not go together: {stop}."
        return replace(bare, why_not=why)
    answer = _shifted(answer, shift)
    anyway = [Move(name, stood.get(name, 0.0), end) for name, end in task.after.items()]
    return replace(
        bare,
        answer=answer,
        followed=followed,
        link_now_mm=setup.link_now_mm(stood),
        set_anyway=tuple(move for move in anyway if abs(move.by) > SAME_PLACE),
    )


def _read(visit: RackVisit, corner: str) -> dict[str, float]:
    """Toe, camber and caster that were read at one corner."""
    values = visit.values()
    named = ((name, values.get((corner, name))) for name in QUANTITIES)
    return {name: value for name, value in named if value is not None}


def _wanted(aims: Aims, corner: str) -> dict[str, Target]:
    axle = axle_of(corner)
    left = corner == AXLE_CORNERS[axle][0]
    found = {}
    for name in QUANTITIES:
        aim = aims.get((axle, name))
        if aim is not None:
            value, tolerance = (
                (aim.left, aim.left_tolerance) if left else (aim.right, aim.right_tolerance)
            )
            found[name] = Target(value, tolerance)
    return found


# ---- the thrust line


def _thrust_shift(found: Mapping[str, CornerMoves]) -> float:
    """By how much the rear moves turn the line from which front toe is counted, degrees."""
    after, before = [], []
    for corner in AXLE_CORNERS[PlanAxle.REAR]:
        one = found.get(corner)
        if one is None or one.answer is None or not one.answer.options or TOE not in one.read:
            return 0.0
        before.append(one.read[TOE])
        after.append(one.answer.options[0].predicted.get(TOE, one.read[TOE]))
    return readings.thrust_angle(*after) - readings.thrust_angle(*before)


def _thrust(visit: RackVisit) -> float:
    """The thrust angle that was read, 0.0 where it was not."""
    values = visit.values()
    toes = [values.get((corner, TOE)) for corner in AXLE_CORNERS[PlanAxle.REAR]]
    both = [toe for toe in toes if toe is not None]
    return readings.thrust_angle(both[0], both[1]) if len(both) == 2 else 0.0


def _shift_at(corner: str, visit: RackVisit, thrust_shift: float) -> float:
    """What the turned line adds to the reading of a front wheel that is not touched."""
    if corner not in AXLE_CORNERS[PlanAxle.FRONT] or visit.toe_reference != ToeReference.THRUST:
        return 0.0
    return -thrust_shift if corner == Corner.LF else thrust_shift


def _shifted(answer: Moves, shift: float) -> Moves:
    """Predicted toe as the rack will count it."""
    if not shift:
        return answer
    options = tuple(
        replace(one, predicted={q: v + shift * (q == TOE) for q, v in one.predicted.items()})
        for one in answer.options
    )
    missing = tuple(
        replace(one, wanted_deg=one.wanted_deg + shift, best_deg=one.best_deg + shift)
        if one.quantity == TOE
        else one
        for one in answer.missing
    )
    return replace(answer, options=options, missing=missing)


# ---- a corner's adjusters


class _Setup:
    """What can be moved at a corner, and where it stood at a visit."""

    def __init__(self, rows: _Rows, corner: str, geometry: Geometry) -> None:
        self.rows, self.corner, self.suspension = rows, corner, geometry.suspension
        self.plan = rows.plans.get(axle_of(corner))
        self.parts = {
            _named(self.suspension, name): row for name, row in rows.parts[corner].items()
        }
        self.hands = {name: hand_of(row) for name, row in self.parts.items()}
        self.camber_by = self._camber_by()

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
        return {_named(self.suspension, name): mm for name, mm in (plain | rods).items()}

    @property
    def possible(self) -> tuple[str, ...]:
        """All adjusters of this kind of suspension."""
        kind = self.suspension.kind
        plain = [name for name, kinds in ADJUSTERS.items() if kind in kinds]
        rods = [f"{ROD}{rod.name}" for rod in self.suspension.links if not rod.toe]
        return tuple(name for name in (*plain, *rods) if name not in HEIGHTS)

    def means(self, stood: Mapping[str, float], recorded: frozenset[str]) -> tuple[Means, ...]:
        """Adjusters that parts or the plan's means offer, unless the plan states their place."""
        reach = self.suspension.reach
        by = CAMBER_MEANS[self.suspension.kind].get(self.camber_by, self.camber_by)
        offered = {TOE_LINK, by, *reach} - set(self.stated)
        found = []
        for name in (name for name in self.possible if name in offered):
            low, high = reach.get(name, (None, None))
            grid = stood.get(name, 0.0) if name in recorded else 0.0
            step = self.hands[name].least if name in self.hands else 0.0
            found.append(Means(name, low, high, step, grid))
        return tuple(found)

    def stood(self, visit: RackVisit) -> tuple[dict[str, float], frozenset[str], dict[str, str]]:
        """Positions at a visit, which of them were recorded, and texts without a size.

        A position that was not recorded again stands where the order recorded it last; after
        the work began, what the plan states is taken as set.
        """
        stood = dict(self.stated) if visit.stage != Stage.BEFORE else {}
        recorded: set[str] = set()
        unclear: dict[str, str] = {}
        for earlier in self.rows.visits:
            for position in earlier.positions.all():
                name = _named(self.suspension, position.adjuster)
                if position.corner != self.corner or name not in self.possible:
                    continue
                value = self.hands.get(name, Hand()).position(position.value, position.unit)
                if value is None:
                    unclear[name] = position.shown
                    continue
                stood[name] = value
                recorded.add(name)
                unclear.pop(name, None)
            if earlier.pk == visit.pk:
                break
        stood["ride_height_mm"] = self._height(visit)
        return stood, frozenset(recorded), unclear

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
        self,
        visit: RackVisit,
        stood: Mapping[str, float],
        recorded: frozenset[str],
        wanted: Mapping[str, Target],
    ) -> Task:
        means = self.means(stood, recorded)
        after = {name: value for name, value in self.stated.items() if name != TOE_LINK}
        if visit.stage != Stage.BEFORE:
            after["ride_height_mm"] = stood["ride_height_mm"]
        return Task(stood, _read(visit, self.corner), wanted, means, after, self.possible)

    def link_now_mm(self, stood: Mapping[str, float]) -> float | None:
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


def _named(suspension: Suspension, adjuster: str) -> str:
    """The toe rod of five links is the toe link, whatever it is called."""
    if suspension.kind == LINKS and adjuster == f"{ROD}{toe_rod(suspension)}":
        return TOE_LINK
    return adjuster


def hand_of(row: AdjustingPart) -> Hand:
    """How a part is set by hand."""
    part = row.part
    return Hand(
        part.step, part.mark_size, part.shim_mm, part.thread_pitch_mm, int(part.threads or 1)
    )


# ---- what became of an earlier prediction


def _followed(
    setup: _Setup, forward: Forward, read_at: Sequence[RackVisit], wanted: Mapping[str, Target]
) -> Followed | None:
    if len(read_at) < 2:
        return None
    first, last = read_at[-2:]
    stood, recorded, _ = setup.stood(first)
    earlier = moves_for(forward, setup.task(first, stood, recorded, wanted))
    now, _, _ = setup.stood(last)
    as_proposed = not any(p.corner == setup.corner for p in last.positions.all())
    if as_proposed and earlier.options:
        told: Mapping[str, float] = earlier.options[0].predicted
    else:
        told = predicted(forward, earlier.offset, now)
    told = dict(told)
    if TOE in told:
        told[TOE] += _shift_at(setup.corner, last, _thrust(last) - _thrust(first))
    read = _read(last, setup.corner)
    both = {name: value for name, value in told.items() if name in read}
    accuracy = max(first.accuracy_deg, last.accuracy_deg)
    doubt = readings.change(0.0, 0.0, accuracy).expanded_deg
    return Followed(first, both, read, earlier.offset, as_proposed, doubt)


# ---- without geometry


def _taught(order: WorkOrder, axle: str) -> Taught | str:
    try:
        return taught_by_visits(order, axle)
    except TooLittle as reason:
        return str(reason)


def _by_visits(
    corner: str,
    visit: RackVisit,
    read: Mapping[str, float],
    wanted: Mapping[str, Target],
    taught: Taught | str,
) -> CornerMoves:
    bare = CornerMoves(corner, visit, read, wanted)
    if isinstance(taught, str):
        return replace(
            bare,
            why_not="The joints of this corner are not on record, and the shop's own visits with "
            f"cars of this pattern do not teach enough: {taught}.",
        )
    learned: Learned = taught.learned
    stood = taught.stood(visit, corner)
    means = learned.means(stood)
    if not means:
        return replace(bare, why_not=f"What {taught.said} teach is lost in the rack's accuracy.")
    answer = moves_for(learned, Task(stood, read, wanted, means, possible=learned.adjusters))
    return replace(
        bare,
        answer=answer,
        stood=stood,
        recorded=frozenset(taught.recorded(visit, corner)),
        taught=taught,
        source=f"what {taught.said} taught",
    )

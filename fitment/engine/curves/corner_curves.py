"""How a corner's camber, toe and caster change over travel and lock, as surveyed and as planned.

Travel counts from the planned static height, bump positive, for both settings alike, so that
curves, stops and readings share one axis and the same place on it is the same pose of the hub
against the body. Millimetres and degrees.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.hub_position import Curve, contact_shift, steer_curve, travel_curve
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned, Suspension
from alignment.geometry.motion import Motion, Settled
from common.message import Message, message
from fitment.engine.minimum.setting import motion_for
from fitment.engine.model import Corner, Duty
from fitment.engine.solid.section import section_of

#: Points of a curve over travel and over lock.
TRAVEL_POINTS, STEER_POINTS = 41, 31
#: How far into bump a curve goes where the bump stop is not known, mm.
UNKNOWN_BUMP_MM = 60.0
#: An end that cannot be reached is found to this, mm or degrees.
END_STEP = 0.5

CAMBER, TOE, CASTER, TRACK, OUTBOARD = "camber", "toe", "caster", "track", "outboard"
#: Toe of this wheel and the one across together, steered by one rack.
AXLE_TOE = "axle toe"
QUANTITIES = (CAMBER, TOE, CASTER, TRACK, OUTBOARD)
#: Over lock a wheel's own toe is its lock, and says nothing.
OVER_LOCK = (AXLE_TOE, CAMBER, CASTER)


@dataclass(frozen=True)
class Read:
    """What was read at one travel, as angles of this wheel; None where it was not read."""

    at: float
    camber_deg: float | None = None
    toe_deg: float | None = None


@dataclass(frozen=True)
class Mark:
    """A place on the axis that has a name; ``side`` -1 or +1 where nothing goes beyond it."""

    at: float
    words: Message
    side: int = 0


@dataclass(frozen=True)
class CornerCurves:
    """A corner's curves before (as surveyed) and after (as planned).

    The curves' ``at`` is travel from the planned static height, whichever setting they are of, or
    lock; ``outboard_mm`` still counts from each setting's own static height. ``wheel_mm`` is how
    far inboard of the hub face the wheel's centre plane lies, and the tyre's radius.
    ``steer_before`` and ``steer_after`` are None where the wheel does not steer, at each setting's
    own height.
    ``readings`` are those of a bump-steer sheet, taken at the survey's setting. ``marks`` name
    stops and heights on the axis of travel, ``notes`` what could not be drawn.
    """

    before: Curve
    after: Curve
    steer_before: Curve | None
    steer_after: Curve | None
    wheel_mm: tuple[float, float] = (0.0, 0.0)
    readings: tuple[Read, ...] = ()
    marks: tuple[Mark, ...] = ()
    steer_marks: tuple[Mark, ...] = ()
    notes: tuple[Message, ...] = ()

    @property
    def quantities(self) -> tuple[str, ...]:
        """What can be drawn over travel: caster only where there is a steering axis."""
        return tuple(name for name in QUANTITIES if self.figures(self.after, name) is not None)

    def figures(self, curve: Curve, quantity: str) -> Array | None:
        """See the function of this name, for the wheel of this corner."""
        return figures(curve, quantity, self.wheel_mm)


def figures(
    curve: Curve, quantity: str, wheel_mm: tuple[float, float] = (0.0, 0.0)
) -> Array | None:
    """The figures of one quantity; None where the corner has none. KeyError for another name.

    ``wheel_mm`` as in CornerCurves. Toe of both wheels is nan where one rack does not reach as
    far on the other side.
    """
    if quantity == TRACK:
        return contact_shift(curve, *wheel_mm)
    if quantity == AXLE_TOE:
        return _axle_toe(curve)
    return {
        CAMBER: curve.camber_deg,
        TOE: curve.toe_deg,
        CASTER: curve.caster_deg,
        OUTBOARD: curve.outboard_mm,
    }[quantity]


def _axle_toe(curve: Curve) -> Array | None:
    """Toe of both wheels over the lock of this one, the other its mirror at the rack's other end.

    None over travel, and for measured curves, which have no rack.
    """
    if curve.rack_mm is None:
        return None
    order = np.argsort(curve.rack_mm)
    rack, toe = curve.rack_mm[order], curve.toe_deg[order]
    other: Array = np.interp(-curve.rack_mm, rack, toe, left=np.nan, right=np.nan)
    return curve.toe_deg + other


def corner_curves(corner: Corner, duty: Duty) -> CornerCurves:
    """Curves of a corner between its stops; marks say where ``duty`` goes less far than they allow.

    Where the suspension cannot go all the way the curves end earlier, and a note says so.
    Raises Unreachable where a setting itself cannot be taken.
    """
    survey, limits, planned = corner.survey, corner.limits, corner.planned
    static = -planned.adjusters.ride_height_mm
    bump = limits.bump_mm
    high = static + UNKNOWN_BUMP_MM if bump is None else bump - planned.adjusters.bump_stop_mm
    low = -limits.droop_mm
    notes: list[Message] = []
    if bump is None:
        notes.append(message("curve-note.no-bump", drawn_mm=UNKNOWN_BUMP_MM))
    first, last = _table_span(corner.suspension)
    if first > low or last < high:
        notes.append(message("curve-note.measured", from_mm=first - static, to_mm=last - static))
    motion = motion_for(corner)
    found = []
    for name, plan in (("before", Planned(toe_deg=survey.toe_deg)), ("after", planned)):
        settled = motion.settle([plan])
        own = float(settled.static_travel[0])
        span = (min(max(low, first), own), max(min(high, last), own))
        travel = _travel(motion, settled, span, name, notes)
        steer = None
        if limits.steer_in_deg or limits.steer_out_deg:
            steer = _steer(
                motion, settled, (-limits.steer_out_deg, limits.steer_in_deg), name, notes
            )
        found.append((replace(travel, at=travel.at + own - static), steer))
    (before, steer_before), (after, steer_after) = found
    return CornerCurves(
        before=before,
        after=after,
        steer_before=steer_before,
        steer_after=steer_after,
        wheel_mm=_wheel_mm(corner),
        readings=_readings(corner, static),
        marks=_marks(low - static, high - static, static, bump is not None, duty),
        steer_marks=_steer_marks(limits.steer_in_deg, limits.steer_out_deg),
        notes=tuple(dict.fromkeys(notes)),
    )


def _wheel_mm(corner: Corner) -> tuple[float, float]:
    section = section_of(corner.wheel, corner.tyre, coarse=True)
    return -section.centre_axial_mm, section.tyre_radius_mm


def _table_span(suspension: Suspension) -> tuple[float, float]:
    """Travel from the survey height that measured tables cover; endless where joints say it all."""
    spans = [(-np.inf, np.inf)]
    if suspension.is_read_as_curves:
        spans.append((suspension.table[0].travel_mm, suspension.table[-1].travel_mm))
    sheet = suspension.measured
    if sheet is not None and sheet.instead:
        spans.append((sheet.rows[0].travel_mm, sheet.rows[-1].travel_mm))
    return max(low for low, _ in spans), min(high for _, high in spans)


def _travel(
    motion: Motion, settled: Settled, span: tuple[float, float], name: str, notes: list[Message]
) -> Curve:
    own = float(settled.static_travel[0])

    def curve(at: Array) -> Curve:
        return travel_curve(motion, settled, at)

    wanted = (span[0] - own, span[1] - own)
    return _as_far_as(curve, wanted, TRAVEL_POINTS, name, "mm", notes)


def _steer(
    motion: Motion, settled: Settled, span: tuple[float, float], name: str, notes: list[Message]
) -> Curve:
    def curve(at: Array) -> Curve:
        return steer_curve(motion, settled, at)

    return _as_far_as(curve, span, STEER_POINTS, name, "deg", notes)


def _as_far_as(
    curve: Callable[[Array], Curve],
    span: tuple[float, float],
    points: int,
    name: str,
    unit: str,
    notes: list[Message],
) -> Curve:
    """The curve over a span that holds 0, shortened at an end that cannot be reached."""
    low, high = span
    try:
        return curve(_grid(low, high, points))
    except Unreachable:
        low, high = _reached(curve, low), _reached(curve, high)
    reached = {f"from_{unit}": low, f"to_{unit}": high}
    code = "curve-note.travels" if unit == "mm" else "curve-note.steers"
    notes.append(message(code, curve=message(f"curve.{name}"), **reached))
    return curve(_grid(low, high, points))


def _grid(low: float, high: float, points: int) -> Array:
    """Even steps between the ends, and 0."""
    return np.unique(np.concatenate([np.linspace(low, high, points), [0.0]]))


def _reached(curve: Callable[[Array], Curve], end: float) -> float:
    """The farthest value between 0 and ``end`` that can be reached on the way there."""
    good, bad = 0.0, end
    if _can(curve, end):
        return end
    while abs(bad - good) > END_STEP:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if _can(curve, middle) else (good, middle)
    return good


def _can(curve: Callable[[Array], Curve], at: float) -> bool:
    try:
        curve(np.linspace(0.0, at, 9))
    except Unreachable:
        return False
    return True


def _readings(corner: Corner, static: float) -> tuple[Read, ...]:
    """A sheet's changes from the survey height, as angles on the curves' axis."""
    sheet, survey = corner.suspension.measured, corner.survey
    if sheet is None:
        return ()

    def angle(start: float, change: float | None) -> float | None:
        return None if change is None else start + change

    return tuple(
        Read(
            row.travel_mm - static,
            angle(survey.camber_deg, row.camber_deg),
            angle(survey.toe_deg, row.toe_deg),
        )
        for row in sheet.rows
    )


def _marks(low: float, high: float, static: float, known: bool, duty: Duty) -> tuple[Mark, ...]:
    marks = [Mark(low, message("mark.droop-stop"), -1), Mark(0.0, message("mark.ride-height"))]
    if abs(static) >= END_STEP:
        marks.append(Mark(-static, message("mark.as-surveyed")))
    if duty.droop_fraction < 1.0:
        marks.append(Mark(duty.droop_fraction * low, message("mark.droop-used")))
    if known:
        most = max(fraction for _, fraction in duty.envelope)
        if most < 1.0:
            marks.append(Mark(most * high, message("mark.bump-used")))
        marks.append(Mark(high, message("mark.bump-stop"), 1))
    return tuple(marks)


def _steer_marks(inward: float, outward: float) -> tuple[Mark, ...]:
    marks = [Mark(-outward, message("mark.lock-out"), -1)] if outward else []
    marks.append(Mark(0.0, message("mark.straight-ahead")))
    return tuple(marks + ([Mark(inward, message("mark.lock-in"), 1)] if inward else []))

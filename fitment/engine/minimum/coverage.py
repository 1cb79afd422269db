"""Does the survey cover what the wheel will pass?

A place that nobody measured cannot be called clear. Coverage is judged in the survey pose by
clock angle, on both sides of the planned wheel's centre plane. Degrees and millimetres.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from common.message import Message, message
from fitment.engine.minimum.feature_curves import Course
from fitment.engine.model import BODY, Corner

#: Clock angles that a body edge outboard must cover, steered and not.
OUTBOARD_STEERED_DEG, OUTBOARD_FIXED_DEG = 45.0, 30.0
#: Inboard: the arc, and the widest gap between marks in it.
INBOARD_DEG, INBOARD_GAP_DEG = 60.0, 40.0
#: Step at which edges are looked at, as parts of a piece.
PIECE_PARTS = 64

#: What is missing of a corner whose movement was not measured.
TYPICAL = message("open.movement")

Span = tuple[float, float]


def uncovered(corner: Corner, courses: tuple[Course, ...], spin: Array) -> tuple[Message, ...]:
    """What is missing; empty when the survey covers the duty.

    ``spin`` (3,) is the survey's spin axis.
    """
    centre = corner.wheel.spacer_mm - corner.wheel.offset_mm
    steered = corner.limits.steer_in_deg > 0 or corner.limits.steer_out_deg > 0
    arc = OUTBOARD_STEERED_DEG if steered else OUTBOARD_FIXED_DEG
    missing: list[Message] = []
    outboard = _gaps(_spans(corner, courses, spin, centre, outboard=True), arc)
    missing += [message("open.outboard", from_deg=a, to_deg=b) for a, b in outboard]
    inboard = _gaps(_spans(corner, courses, spin, centre, outboard=False), INBOARD_DEG)
    missing += [
        message("open.inboard", from_deg=a, to_deg=b)
        for a, b in inboard
        if b - a > INBOARD_GAP_DEG + 1e-9
    ]
    if all(course.feature.carried_by == BODY for course in courses):
        missing.append(message("open.carried"))
    if corner.suspension.typical:
        missing.append(TYPICAL)
    return tuple(missing)


def _spans(
    corner: Corner, courses: tuple[Course, ...], spin: Array, centre: float, *, outboard: bool
) -> list[Span]:
    """Clock spans (degrees) that one side covers; lone points are spans of no width."""
    side = "outboard" if outboard else "inboard"
    spans = [(arc.from_deg, arc.to_deg) for arc in corner.survey.open if arc.side == side]
    for course in courses:
        if course.feature.carried_by != BODY or (outboard and not course.is_edge):
            continue
        last = len(course.knots) - 1
        along = (
            np.linspace(0, last, last * PIECE_PARTS + 1)
            if course.is_edge
            else np.arange(last + 1.0)
        )
        points = course.at(along)
        up, forward = frames.wheel_axes(spin)
        clock = np.degrees(np.arctan2(points @ forward, points @ up))
        if course.polar and course.feature.taken_at is None:
            index = np.minimum(along.astype(int), max(last - 1, 0))
            following = course.knots[np.minimum(index + 1, last), 0]
            clock = np.degrees(
                course.knots[index, 0] + (along - index) * (following - course.knots[index, 0])
            )
        here = (points @ spin >= centre) == outboard
        if not course.is_edge:
            spans += [(float(angle), float(angle)) for angle in clock[here]]
            continue
        both = here[1:] & here[:-1] & (np.abs(np.diff(clock)) < 90.0)
        spans += [
            (min(a, b), max(a, b)) for a, b in zip(clock[:-1][both], clock[1:][both], strict=True)
        ]
    return spans


def _gaps(spans: list[Span], arc: float) -> list[Span]:
    """Parts of [-arc, arc] that no span covers, rising; those under a hundredth are dropped."""
    gaps, reached = [], -arc
    for low, high in sorted(spans):
        if low > reached + 0.01:
            gaps.append((reached, min(low, arc)))
        reached = max(reached, high)
        if reached >= arc:
            break
    if reached < arc - 0.01:
        gaps.append((reached, arc))
    return [(low, high) for low, high in gaps if low < arc and high > low]

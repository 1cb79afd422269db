"""Whether a traced tyre profile can be a tyre.

A profile is a list of (axial from the centre plane, radius from the spin axis), both in
millimetres, outboard positive, from the outboard bead over the crown to the inboard bead.
"""

from __future__ import annotations

from itertools import combinations

from common.numerals import fixed
from fitment.engine.checkfile.plausible import BEAD_SLACK_MM

Point = tuple[float, float]


def profile_fault(profile: tuple[Point, ...], rim_radius_mm: float) -> str:
    """Why a profile cannot be a tyre on a rim of this bead-seat radius; empty if it can."""
    if _crosses_itself(profile):
        return "crosses itself or turns back on itself"
    first, last = profile[0], profile[-1]
    crown = max(radius for _, radius in profile)
    if not first[0] > last[0]:
        return "should start at the outboard bead (axial above 0) and end at the inboard one"
    if _area(profile) <= 0 or crown in (first[1], last[1]):
        return "should run from the outboard bead over the crown to the inboard bead"
    for bead, side in ((first, "outboard"), (last, "inboard")):
        if abs(bead[1] - rim_radius_mm) > BEAD_SLACK_MM:
            return (
                f"has its {side} end at radius {bead[1]:g} mm, while the bead seat of this wheel "
                f"is at {fixed(rim_radius_mm, 1)} mm"
            )
    return ""


def _area(profile: tuple[Point, ...]) -> float:
    """Twice the enclosed area; positive when the profile goes outboard, crown, inboard."""
    after = (*profile[1:], profile[0])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(profile, after, strict=True))


def _crosses_itself(profile: tuple[Point, ...]) -> bool:
    sides = list(zip(profile, (*profile[1:], profile[0]), strict=True))
    if any(start == end for start, end in sides):
        return True
    for (i, one), (j, other) in combinations(enumerate(sides), 2):
        if j == i + 1:
            if _folds_back(one[0], one[1], other[1]):
                return True
        elif i == 0 and j == len(sides) - 1:
            if _folds_back(other[0], other[1], one[1]):
                return True
        elif _meet(one, other):
            return True
    return False


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _folds_back(a: Point, b: Point, c: Point) -> bool:
    """Whether the line from b to c runs back along the line from a to b."""
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return _turn(a, b, c) == 0 and ahead < 0


def _meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two sides that share no corner have a point in common."""
    (a, b), (c, d) = one, other
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if all(turn == 0 for turn in turns):
        return all(
            min(a[k], b[k]) <= max(c[k], d[k]) and min(c[k], d[k]) <= max(a[k], b[k])
            for k in (0, 1)
        )
    return turns[0] * turns[1] <= 0 and turns[2] * turns[3] <= 0

"""Gaps as they are drawn: from which point of the wheel to which point of a place.

Same plane as the drawing: axial from the hub face and radius from the spin axis, mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from fitment.engine.drawing.scene import Point, Ring
from fitment.engine.model import SpotAnswer
from fitment.engine.solid.section import Section

#: Places farther away than this are named, not dimensioned.
DIMENSION_MM = 60.0
#: More than so many dimensions in one drawing cannot be read on a phone.
MOST_DIMENSIONS = 7
#: Outlines that differ by less than this are not worth a dimension.
SAME_MM = 1.5
#: A gap or half thickness of less than this gives no direction to draw it in.
NO_DIRECTION_MM = 0.05


@dataclass(frozen=True)
class Gap:
    """A place's gap as drawn: from the wheel to the surface of the place; a place that was not
    measured has none to draw."""

    place: SpotAnswer
    touch: Point
    surface: Point
    outward: Point
    drawn: bool


def gaps_of(
    places: Sequence[SpotAnswer],
    half: Mapping[str, float],
    section: Section,
    view: tuple[float, float, float, float],
) -> list[Gap]:
    """Gaps with the tightest first."""
    gaps: list[Gap] = []
    middle = (section.centre_axial_mm, (section.rim_radius_mm + section.tyre_radius_mm) / 2)
    for place in sorted(places, key=lambda answer: answer.order_mm):
        touch, nearest = place.touch_mm, place.nearest_mm
        if not place.is_measured:  # named, without a gap
            gaps.append(Gap(place, touch, nearest, (0.0, 0.0), drawn=False))
            continue
        signed = place.clearance_mm + half.get(place.place, 0.0)
        across = (nearest[0] - touch[0], nearest[1] - touch[1])
        if math.hypot(*across) < NO_DIRECTION_MM or abs(signed) < NO_DIRECTION_MM:
            across, signed = (touch[0] - middle[0], touch[1] - middle[1]), 1.0
        length = math.copysign(math.hypot(*across), signed)
        outward = (across[0] / length, across[1] / length)
        surface = (
            touch[0] + outward[0] * place.clearance_mm,
            touch[1] + outward[1] * place.clearance_mm,
        )
        seen = view[0] < surface[0] < view[2] and 0.0 <= surface[1] < view[3]
        near = place.clearance_mm <= DIMENSION_MM
        drawn = seen and near and sum(gap.drawn for gap in gaps) < MOST_DIMENSIONS
        gaps.append(Gap(place, touch, surface, outward, drawn))
    return gaps


def differences_of(
    gaps: list[Gap], other: tuple[Ring, ...]
) -> dict[str, tuple[Point, Point, float]]:
    """By place, where the two outlines differ: (from, to, by).

    ``by`` is how far this outline stands beyond the other one towards the place, mm.
    """
    found: dict[str, tuple[Point, Point, float]] = {}
    for gap in gaps if other else ():
        nearest, inside = _nearest_on(other, gap.touch)
        by = math.dist(nearest, gap.touch) * (-1.0 if inside else 1.0)
        if gap.drawn and abs(by) >= SAME_MM:
            ends = (nearest, gap.touch) if by > 0 else (gap.touch, nearest)
            found[gap.place.place] = (*ends, by)
    return found


def _nearest_on(rings: tuple[Ring, ...], point: Point) -> tuple[Point, bool]:
    """The nearest point of the outline of the rings' union, and whether point is inside it."""
    best, nearest, inside = math.inf, point, False
    p = np.array(point)
    masks = []
    for ring in rings:
        a = np.asarray(ring, dtype=float)
        b = np.roll(a, -1, axis=0)
        along = b - a
        squared = np.maximum((along**2).sum(axis=1), 1e-12)
        t = np.clip(((p - a) * along).sum(axis=1) / squared, 0.0, 1.0)
        foot = a + t[:, None] * along
        masks.append((foot, np.hypot(*(foot - p).T)))
        inside |= _contains(ring, point)
    for index, (foot, away) in enumerate(masks):
        for i in np.argsort(away)[:40]:
            if away[i] >= best:
                break
            at = (float(foot[i, 0]), float(foot[i, 1]))
            if any(_contains(r, at, 0.01) for j, r in enumerate(rings) if j != index):
                continue
            best, nearest = float(away[i]), at
            break
    return nearest, inside


def _contains(ring: Ring, point: Point, within: float = 0.0) -> bool:
    """Whether a point lies inside a ring, by more than ``within`` mm."""
    a = np.asarray(ring, dtype=float)
    b = np.roll(a, -1, axis=0)
    x, y = point
    crosses = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(crosses, b[:, 1] - a[:, 1], 1.0)
    at = a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
    if not int((crosses & (at > x)).sum()) % 2:
        return False
    if not within:
        return True
    along = b - a
    t = ((x - a[:, 0]) * along[:, 0] + (y - a[:, 1]) * along[:, 1]) / np.maximum(
        (along**2).sum(axis=1), 1e-12
    )
    foot = a + np.clip(t, 0.0, 1.0)[:, None] * along
    return bool(np.hypot(foot[:, 0] - x, foot[:, 1] - y).min() > within)

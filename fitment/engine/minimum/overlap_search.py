"""Pattern search over poses, with the least along the edge inside it: overlaps and near touches.

    min over (steer, share of height) of  φ = min { g : place along the edge }

Inside a solid the distance to its boundary has ridges where two sides are equally near, and an edge
is deepest on them. There no bowl shows in all three coordinates, while φ still falls along a ridge:
it is followed by steps to ROUND neighbours of a pose, halved where none is deeper and doubled where
one is (Torczon 1997). The places along the edge are windows about the last one; at the end the
whole edge is looked at by halving stretches whose middle, less half their length, is deeper than
what was found, for g changes no faster than a place moves (Piyavskii 1972), and the search goes on
from there, AGAIN times.

What differs from the textbook: a ridge may fall in a cone of directions narrower than two degrees,
and a search among fixed neighbours ends high on it. But round a place on a ridge, φ has a valley
ahead and one behind on a circle of poses; so where no neighbour is deeper, the directions of both
are narrowed down by halving before the step is. Millimetres; steer in radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.pattern_search import CELL_MM, Hollows, clearance_at
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.solid.section import Section

#: Features that overlap or come nearer than this (mm) are followed along ridges of the distance:
#: so near a solid its outline's corners show, and clearance has ridges like inside.
RIDGE_MM = 1.0
#: Hollows of a feature that are followed so.
RIDGES = 4
#: Longest stretches of an edge that are looked at first, and half of the shortest, mm.
STRETCH_MM, SHORT_MM = 16.0, 0.02
#: Parts into which a stretch is cut that may hold something deeper.
CUTS = 4
#: The search ends when its step is this part of a grid's.
SMALLEST_STEP = 2.0**-8
#: Neighbours of a pose: so many evenly round it. Where none is deeper, the angle between two is
#: halved so often, to within a degree: a ridge may fall in directions 1.25° wide alone.
ROUND, HALVINGS = 12, 4
#: A neighbour that is deeper by less than this is no reason for longer steps, mm.
GAIN_MM = 2e-4
#: How often a search goes on from another place along the edge that is deeper by more than
#: this, mm.
AGAIN, DEEPER_MM = 3, 0.005

#: Places along an edge that are tried at a pose, in steps: a wide window, then closer ones.
_WINDOWS = (np.linspace(-1.5, 1.5, 25), np.linspace(-0.125, 0.125, 9), np.linspace(-1, 1, 9) / 32)
_POINT = (np.zeros(1),)


@dataclass(frozen=True)
class Stretches:
    """Stretches of edges, each of a row of some spots: middle and half along, half in mm, (m,)."""

    row: Index
    middle: Array
    half: Array
    reach: Array

    def at(self, pick: Index | Flags) -> Stretches:
        """The stretches that ``pick`` names."""
        return Stretches(self.row[pick], self.middle[pick], self.half[pick], self.reach[pick])

    def cut(self) -> Stretches:
        """All of them cut into ``CUTS`` parts."""
        share = (2 * np.arange(CUTS) + 1) / CUTS - 1
        middle = (self.middle[:, None] + self.half[:, None] * share).ravel()
        half, reach = (np.repeat(part, CUTS) / CUTS for part in (self.half, self.reach))
        return Stretches(np.repeat(self.row, CUTS), middle, half, reach)


def down_ridges(room: Room, section: Section, start: Hollows) -> tuple[Array, Array]:
    """Follow ridges of the overlap from hollows: places (n, 3) and clearances (n,) there."""
    place, value = start.spots.place.copy(), np.full(len(start.step), np.inf)
    edge, widest = start.step[:, 2] > 0, 1.0
    points, rows = np.flatnonzero(~edge), np.flatnonzero(edge)
    if len(points):
        place[points], value[points] = _followed(room, section, start.at(points), 1.0, _POINT)
    for _ in range(AGAIN if len(rows) else 0):
        spots = Moments(start.spots.which, place, start.spots.loaded)
        part = replace(start, spots=spots).at(rows)
        place[rows], value[rows] = _followed(room, section, part, widest, _WINDOWS)
        best = least_of_each(start.spots.which, value)
        best = best[np.isin(best, rows)]
        spots = Moments(start.spots.which, place, start.spots.loaded).at(best)
        along, depth = deepest(
            room, section, spots, whole_edges(room, spots), value[best] - DEEPER_MM
        )
        rows, widest = best[np.isfinite(depth)], 0.125
        if not len(rows):
            break
        place[rows, 2], value[rows] = along[np.isfinite(depth)], depth[np.isfinite(depth)]
    return place, value


def _followed(
    room: Room, section: Section, start: Hollows, widest: float, windows: Sequence[Array]
) -> tuple[Array, Array]:
    """Places (n, 3) and clearances (n,) to which steps of poses lead from hollows.

    Steps begin at ``widest`` of the grid's, are halved wherever they gain nothing, and doubled
    again wherever they do. At every pose the deepest place in ``windows`` round the last one along
    the edge is looked for.
    """
    which = start.spots.which
    place, value = start.spots.place.copy(), np.full(len(which), np.inf)
    scale, active = np.full(len(which), widest), np.arange(len(which))
    while len(active):
        circle = _Circle(room, section, start.at(active), place[active], scale[active], windows)
        there, least, angle = circle.lowest()
        # A ridge leaves the circle in a direction between those that were looked at.
        close = np.flatnonzero(least > value[active] - GAIN_MM)
        if len(close):
            found, gaps = circle.at(close).between(angle[close])
            lower = gaps < least[close]
            there[close[lower]], least[close[lower]] = found[lower], gaps[lower]
        gained, worth = least < value[active] - 1e-9, least < value[active] - GAIN_MM
        moved = worth & np.any(there[:, :2] != place[active, :2], axis=1)
        place[active[gained]], value[active[gained]] = there[gained], least[gained]
        scale[active] = np.where(moved, np.minimum(2 * scale[active], widest), scale[active] / 2)
        lowest = np.full(len(room.courses), np.inf)
        np.minimum.at(lowest, which, value)
        hopeful = value[active] - CELL_MM * scale[active] <= lowest[which[active]]
        active = active[(scale[active] > SMALLEST_STEP) & hopeful]
    return place, value


@dataclass(frozen=True)
class _Circle:
    """Poses round places (n, 3), at ``scale`` (n,) of the steps of hollows (n,), and the deepest
    place of an edge in them."""

    room: Room
    section: Section
    start: Hollows
    place: Array
    scale: Array
    windows: Sequence[Array]

    def at(self, pick: Index) -> _Circle:
        """The circles that ``pick`` names."""
        start, place, scale = self.start.at(pick), self.place[pick], self.scale[pick]
        return replace(self, start=start, place=place, scale=scale)

    def lowest(self) -> tuple[Array, Array, Array]:
        """The lowest of each middle and of ROUND poses round it: places (n, 3) and clearances (n,);
        and the two directions (n, 2), one on each side, that are lowest on the circle."""
        angles = np.tile(np.arange(ROUND) * 2 * np.pi / ROUND, (len(self.place), 1))
        there, depth = self._looked(angles, middle=True)
        rows, best = np.arange(len(depth)), np.argmin(depth, axis=1)
        ahead = np.argmin(depth[:, 1:], axis=1)
        opposite = (ahead[:, None] + np.arange(ROUND // 3, ROUND - ROUND // 3 + 1)) % ROUND
        behind = opposite[rows, np.argmin(np.take_along_axis(depth[:, 1:], opposite, 1), axis=1)]
        directions = np.stack([ahead, behind], axis=-1) * 2 * np.pi / ROUND
        return there[rows, best], depth[rows, best], directions

    def between(self, angle: Array) -> tuple[Array, Array]:
        """The lowest on each circle near two directions (n, 2): places (n, 3), clearances (n,)."""
        there, depth = self._looked(angle)
        for halving in range(1, HALVINGS + 1):
            beside = 2 * np.pi / ROUND / 2**halving
            tried = np.concatenate([angle - beside, angle + beside], axis=1)
            places, gaps = self._looked(tried)
            for side in (slice(0, 2), slice(2, 4)):
                lower = gaps[:, side] < depth
                angle = np.where(lower, tried[:, side], angle)
                there = np.where(lower[..., None], places[:, side], there)
                depth = np.where(lower, gaps[:, side], depth)
        rows, best = np.arange(len(depth)), np.argmin(depth, axis=1)
        return there[rows, best], depth[rows, best]

    def _looked(self, angles: Array, *, middle: bool = False) -> tuple[Array, Array]:
        """Places (n, m, 3) where poses in directions (n, m) are deepest, and how deep (n, m);
        the middle of each circle before them where asked for."""
        which, loaded = self.start.spots.which, self.start.spots.loaded
        around = np.stack([np.cos(angles), np.sin(angles), np.zeros_like(angles)], axis=-1)
        if middle:
            around = np.concatenate([np.zeros((len(angles), 1, 3)), around], axis=1)
        unit = 2 * self.scale[:, None] * self.start.step
        low, high = self.start.low[:, None], self.start.high[:, None]
        poses = np.clip(self.place[:, None] + unit[:, None] * around, low, high)
        shared = self.room.poses(Moments.of_places(which, poses, loaded))
        for window in self.windows:
            tried = np.repeat(poses[:, :, None], len(window), axis=2)
            tried[..., 2] += unit[:, 2, None, None] * window
            tried = np.clip(tried, low[:, None], high[:, None])
            spots = Moments.of_places(which, tried, loaded)
            pick = np.repeat(np.arange(poses[..., 0].size), len(window))
            gaps = clearance_at(self.room, self.section, spots, shared.at(pick))
            gaps = gaps.reshape(tried.shape[:3])
            place_of = np.argmin(gaps, axis=2)[:, :, None]
            poses = np.take_along_axis(tried, place_of[..., None], axis=2)[:, :, 0]
        return poses, np.take_along_axis(gaps, place_of, axis=2)[:, :, 0]


def least_of_each(which: Index, value: Array, count: int = 1) -> Index:
    """The rows with the ``count`` least values of every feature, by feature."""
    order = np.lexsort((value, which))
    begins = np.flatnonzero(np.diff(which[order], prepend=-1))
    rank = np.arange(len(order)) - np.repeat(begins, np.diff(begins, append=len(order)))
    return order[rank < count]


def deepest(
    room: Room,
    section: Section,
    spots: Moments,
    stretches: Stretches,
    below: Array,
    short_mm: float = SHORT_MM,
) -> tuple[Array, Array]:
    """Places (n,) on stretches where they are deepest in the poses of ``spots``, and how deep.

    Within ``short_mm`` of the least clearance of a spot's stretches, for spots at which that is
    less than ``below`` (n,), mm; infinity for the others.
    """
    poses = room.poses(spots)
    along, value = spots.along.copy(), np.full(len(below), np.inf)
    while len(stretches.row):
        row, middle, reach = stretches.row, stretches.middle, stretches.reach
        place = np.column_stack([spots.place[row, :2], middle])
        seen = Moments(spots.which[row], place, spots.loaded[row])
        gaps = clearance_at(room, section, seen, poses.at(row))
        order = np.lexsort((gaps, row))
        first = order[np.flatnonzero(np.diff(row[order], prepend=-1))]
        better = first[gaps[first] < value[row[first]]]
        along[row[better]], value[row[better]] = middle[better], gaps[better]
        hopeful = (gaps - reach < np.minimum(value, below)[row]) & (reach > short_mm)
        stretches = stretches.at(hopeful).cut()
    return along, np.where(value < below, value, np.inf)


def whole_edges(room: Room, spots: Moments) -> Stretches:
    """Stretches that cover the edges of spots."""
    parts = []
    for index in np.unique(spots.which):
        rows = np.flatnonzero(spots.which == index)
        speed = speed_along(room, int(index))
        counts = np.maximum(np.ceil(speed / STRETCH_MM), 1).astype(int)
        middle = np.concatenate([i + (np.arange(n) + 0.5) / n for i, n in enumerate(counts)])
        half, reach = np.repeat(0.5 / counts, counts), np.repeat(speed / counts / 2, counts)
        owner = np.repeat(rows, len(middle))
        parts.append((owner, *(np.tile(part, len(rows)) for part in (middle, half, reach))))
    return Stretches(*(np.concatenate(part) for part in zip(*parts, strict=True)))


def speed_along(room: Room, index: int) -> Array:
    """Millimetres that a place moves at most per unit along each piece of a feature's edge."""
    course = room.courses[index]
    run = np.diff(course.knots, axis=0)
    if course.polar:
        radius = np.abs(course.knots[:, 1])
        run[:, 0] *= np.maximum(radius[:-1], radius[1:])
    speed: Array = np.sqrt(np.sum(run * run, axis=1))
    return speed

"""Pattern search over poses, with the least along the edge inside it: overlaps and near touches.

    min over (steer, share of height) of  φ = min { g : place along the edge }

Inside a solid the distance to its boundary has ridges where two sides are equally near, and an edge
is deepest on them. There no bowl shows in all three coordinates, while φ still falls along a ridge:
it is followed by steps to ROUND neighbours of a pose, halved where none is deeper (Torczon 1997).
The places along the edge are windows about the last one; at the end the whole edge is looked at by
halving stretches whose middle, less half their length, is deeper than what was found, for g changes
no faster than a place moves (Piyavskii 1972), and the search goes on from there, AGAIN times.

What differs from the textbook: neighbours lie on a circle that is turned from round to round, so
that no direction of a ridge is missed for good. Millimetres; steer in radians.
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
RIDGES = 6
#: Longest stretches of an edge that are looked at first, and half of the shortest, mm.
STRETCH_MM, SHORT_MM = 16.0, 0.02
#: Parts into which a stretch is cut that may hold something deeper.
CUTS = 4
#: The search ends when its step is this part of a grid's.
SMALLEST_STEP = 2.0**-8
#: Neighbours of a pose: so many evenly round it, turned a little further every round.
ROUND, TURN = 12, np.radians(11.0)
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

    Steps begin at ``widest`` of the grid's and are halved wherever they gain nothing. At every
    pose the deepest place in ``windows`` round the last one along the edge is looked for.
    """
    which, loaded = start.spots.which, start.spots.loaded
    step, place = 2 * start.step, start.spots.place.copy()
    value, scale = np.full(len(place), np.inf), np.full(len(place), widest)
    active, turn = np.arange(len(place)), 0.0
    while len(active):
        unit = scale[active, None] * step[active]
        angle = turn + np.arange(ROUND) * 2 * np.pi / ROUND
        around = np.column_stack([np.cos(angle), np.sin(angle), np.zeros(ROUND)])
        around = np.concatenate([np.zeros((1, 3)), around])
        low, high = start.low[active, None], start.high[active, None]
        poses = np.clip(place[active, None] + unit[:, None] * around, low, high)
        shared = room.poses(Moments.of_places(which[active], poses, loaded[active]))
        for window in windows:
            tried = np.repeat(poses[:, :, None], len(window), axis=2)
            tried[..., 2] += unit[:, 2, None, None] * window
            tried = np.clip(tried, low[:, None], high[:, None])
            spots = Moments.of_places(which[active], tried, loaded[active])
            pick = np.repeat(np.arange(poses[..., 0].size), len(window))
            gaps = clearance_at(room, section, spots, shared.at(pick)).reshape(tried.shape[:3])
            place_of = np.argmin(gaps, axis=2)[:, :, None]
            poses = np.take_along_axis(tried, place_of[..., None], axis=2)[:, :, 0]
        depth = np.take_along_axis(gaps, place_of, axis=2)[:, :, 0]
        best, rows = np.argmin(depth, axis=1), np.arange(len(active))
        there, least = poses[rows, best], depth[rows, best]
        gained = least < value[active] - 1e-9
        moved = gained & np.any(there[:, :2] != place[active, :2], axis=1)
        place[active[gained]], value[active[gained]] = there[gained], least[gained]
        scale[active[~moved]] /= 2
        lowest = np.full(len(room.courses), np.inf)
        np.minimum.at(lowest, which, value)
        hopeful = value[active] - CELL_MM * scale[active] <= lowest[which[active]]
        active = active[(scale[active] > SMALLEST_STEP) & hopeful]
        turn += TURN
    return place, value


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

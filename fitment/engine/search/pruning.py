"""What of a room can ever be nearest to a wheel and tyre of a certain range.

Every tyre of the range holds a common core. Seen from any point of that core, what lies
behind something else on the same ray is farther from every convex tyre around the core: so of
all the places that a feature passes, only its front is kept. (a, r) as in ``room``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.envelope import HEIGHTS
from fitment.engine.minimum.room import Moments, Room

#: Width of the rays in which only the nearest place of a feature is kept, rad.
RAY = np.radians(0.9)
#: How far behind the front, seen from the edges of the core, a place may lie and be kept, mm.
BEHIND_MM = 3.0
#: Cells in which one place is kept where rims are concerned, mm.
CELL_MM = 4.0


@dataclass(frozen=True)
class Samples:
    """Spots of a room with where they are seen, and for each feature the step between them.

    ``axial`` and ``radius`` (n,), ``step`` (features, 3) in steer, share and along, ``low`` and
    ``high`` (features, 3) their bounds.
    """

    spots: Moments
    axial: Array
    radius: Array
    step: Array
    low: Array
    high: Array

    def at(self, pick: Index) -> Samples:
        """The samples that ``pick`` names, in the order of their features."""
        pick = pick[np.argsort(self.spots.which[pick], kind="stable")]
        return Samples(
            self.spots.at(pick), self.axial[pick], self.radius[pick], self.step, self.low, self.high
        )


@dataclass(frozen=True)
class Core:
    """What all tyres of a range have in common: a rectangle in (a, r)."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def eyes(self) -> list[tuple[float, float]]:
        """Points from which fronts are looked for, the middle last."""
        middle = (self.left + self.right) / 2
        sides = [(a, r) for a in (self.left, self.right) for r in (self.bottom, self.top)]
        return [*sides, (middle, (self.bottom + self.top) / 2)]


def samples_of(room: Room, finer: int) -> Samples:
    """Samples of all features, ``finer`` times as close as those of a first look."""
    steer = _between(room.envelope.steer_grid(), finer)
    along = [
        _between(course.samples(), finer) if course.is_edge else course.samples()
        for course in room.courses
    ]
    heights = 1 + (HEIGHTS - 1) * max(1, finer // 2)
    parts, axial, radius, step, low, high = [], [], [], [], [], []
    for index, sweep in enumerate(room.swept(steer, heights, along)):
        grids = (np.radians(sweep.steer_deg), sweep.share, sweep.along)
        place = np.stack(np.meshgrid(*grids, indexing="ij"), axis=-1).reshape(-1, 3)
        for kind, part_of_lock in enumerate(sweep.steer_shares):
            count = len(place)
            there = place * [part_of_lock, 1.0, 1.0]
            parts.append(Moments(np.full(count, index), there, np.full(count, kind)))
            axial.append(sweep.axial_mm[kind].ravel())
            radius.append(sweep.radius_mm[kind].ravel())
        step.append([_widest(grids[0]), _widest(grids[1]), _widest(grids[2]) * sweep.is_edge])
        low.append([grid[0] for grid in grids])
        high.append([grid[-1] for grid in grids])
    return Samples(
        Moments.joined(parts),
        np.concatenate(axial),
        np.concatenate(radius),
        np.array(step),
        np.array(low),
        np.array(high),
    )


def front(samples: Samples, core: Core) -> Samples:
    """The samples that could be nearest to a tyre around ``core``."""
    pick = np.arange(len(samples.axial))
    *sides, middle = core.eyes
    for eye in sides:
        pick = pick[_nearest(samples, pick, eye, BEHIND_MM)]
    return samples.at(pick[_nearest(samples, pick, middle, 0.0)])


def near_rims(samples: Samples, largest_radius: float) -> Samples:
    """One sample per cell of all that comes near or inside rims of up to that radius."""
    pick = np.flatnonzero(samples.radius < largest_radius)
    across = np.rint(samples.axial[pick] / CELL_MM).astype(int)
    across -= across.min(initial=0)
    up = np.rint(samples.radius[pick] / CELL_MM).astype(int)
    width, height = int(across.max(initial=0)) + 1, int(up.max(initial=0)) + 1
    key = (samples.spots.which[pick] * height + up) * width + across
    first = np.full(int(key.max(initial=-1)) + 1, -1)
    first[key[::-1]] = np.arange(len(key))[::-1]
    first = first[first >= 0]
    return samples.at(pick[np.sort(first)])


def _nearest(samples: Samples, pick: Index, eye: tuple[float, float], behind: float) -> Flags:
    """Which samples no other of their feature hides from ``eye`` by more than ``behind``."""
    across, up = samples.axial[pick] - eye[0], samples.radius[pick] - eye[1]
    distance = np.hypot(across, up)
    ray = np.floor((np.arctan2(up, across) + np.pi) / RAY).astype(int)
    key = samples.spots.which[pick] * (int(2 * np.pi / RAY) + 2) + ray
    least = np.full(int(key.max(initial=0)) + 1, np.inf)
    np.minimum.at(least, key, distance)
    return np.asarray(distance <= least[key] + behind, bool)


def _between(grid: Array, parts: int) -> Array:
    """A grid with every step split into so many."""
    at = np.linspace(0, len(grid) - 1, parts * (len(grid) - 1) + 1)
    return np.interp(at, np.arange(len(grid)), grid)


def _widest(grid: Array) -> float:
    return float(np.max(np.diff(grid), initial=0.0))

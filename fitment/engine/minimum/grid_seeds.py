"""The first look at a room: where over its grid a tightest moment could lie.

Grid sampling (standard method): every feature of a room is seen at a grid of poses and samples. Its
hollows, the points of the grid that no neighbour undercuts, are where a search begins; what lies
lower between them is found by ``branch_and_bound``. Millimetres; steer in radians.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.envelope import HEIGHTS
from fitment.engine.minimum.overlap_search import RIDGE_MM
from fitment.engine.minimum.pattern_search import Hollows
from fitment.engine.minimum.room import FeatureSweep, Moments, Room
from fitment.engine.solid.section import COARSE_ERROR_MM, Section

#: A hollow of the grid may end this far below its grid value (mm); others cannot win.
HOLLOW_MM = 6.0
#: Points of the grid, nearest to the wheel's box, that say how near the nearest can be.
FIRST = 64
#: Hollows followed per feature, and where it overlaps, where a proof goes less far.
HOLLOWS, DEEP_HOLLOWS = 3, 8
#: Steps between samples of an edge that overlaps are looked at in so many parts, and how many
#: closer samples a feature may have in all.
RIDGE_PARTS, CLOSER = 5, 500


@dataclass(frozen=True)
class Grid:
    """A feature's sweep and the distances of its points to the wheel (kinds, steer, height,
    sample)."""

    index: int
    sweep: FeatureSweep
    gaps: Array

    @property
    def ticks(self) -> tuple[Array, Array, Array]:
        """Steer (rad) without load, share of height and place along the feature of its samples."""
        return np.radians(self.sweep.steer_deg), self.sweep.share, self.sweep.along

    @property
    def is_deep(self) -> bool:
        """Whether it lies so near or so deep that it is looked at again at closer samples."""
        return float(self.gaps.min()) < RIDGE_MM

    def hollows(self) -> Hollows:
        """Points that could lead to the tightest moment."""
        hollow = self.gaps <= self.gaps.min() + HOLLOW_MM + 2 * COARSE_ERROR_MM
        hollow &= local_minima(self.gaps, edges=self.sweep.is_edge)
        picked = np.argwhere(hollow)
        # Each load repeats the hollows of a deep place a little beside them.
        deep = DEEP_HOLLOWS * max(1.0, len(self.gaps) / 2)
        count = int(deep) if self.is_deep else HOLLOWS
        return self.at(picked[np.argsort(self.gaps[tuple(picked.T)])[:count]])

    def at(self, picked: Index) -> Hollows:
        """Hollows of points (n, 4) of the grid."""
        ticks = list(zip(self.ticks, picked[:, 1:].T, strict=True))
        kind = picked[:, 0]
        scale = np.ones((len(picked), 3))
        scale[:, 0] = self.sweep.steer_shares[kind]
        place = np.stack([tick[at] for tick, at in ticks], axis=-1)
        step = np.stack([_spacing(tick)[at] for tick, at in ticks], axis=-1)
        return Hollows(
            Moments(np.full(len(picked), self.index), place * scale, kind),
            step * scale * [0.5, 0.5, 0.5 if self.sweep.is_edge else 0.0],
            scale * [tick[0] for tick, _ in ticks],
            scale * [tick[-1] for tick, _ in ticks],
        )


def first_look(room: Room, coarse: Section) -> Hollows:
    """Hollows of all features over the room's grid."""
    grids = _grids(dict(enumerate(room.sweeps)), coarse)
    parts = {grid.index: grid.hollows() for grid in grids}
    # Deep inside, the grid is too wide for ridges: look again at closer samples.
    deep = [grid for grid in grids if grid.is_deep and _passes(room, grid)]
    if deep:
        along: list[Array | None] = [None] * len(grids)
        finer = {grid.index: _finer(len(grid.sweep.along)) for grid in deep}
        for grid in deep:
            along[grid.index] = _closer(grid.sweep.along, finer[grid.index])
        closer = room.swept(room.envelope.steer_grid(), HEIGHTS, along)
        again = {grid.index: sweep for grid, sweep in zip(deep, closer, strict=True)}
        for grid in _grids(again, coarse):
            part = grid.hollows()
            step = part.step * [1.0, 1.0, float(finer[grid.index])]
            parts[grid.index] = replace(part, step=step)
    return Hollows.joined(list(parts.values()))


def _passes(room: Room, grid: Grid) -> bool:
    """Whether a feature is an edge that moves against the wheel."""
    return grid.sweep.is_edge and bool(room.moving[grid.index])


def _grids(sweeps: Mapping[int, FeatureSweep], coarse: Section) -> list[Grid]:
    """Grids of some features, with distances that are exact where they could be a hollow's.

    Elsewhere they are no more than the distance. A box round the whole wheel, its corners cut,
    is nearer than the wheel: points that are further from it than a hollow may lie above the
    least distance need no closer look.
    """
    seen, shapes = [], []
    for sweep in sweeps.values():
        seen.append((sweep.axial_mm.ravel(), sweep.radius_mm.ravel()))
        shapes.append(sweep.axial_mm.shape)
    axial, radius = (np.concatenate(part) for part in zip(*seen, strict=True))
    sizes = [math.prod(shape) for shape in shapes]
    first = np.cumsum([0, *sizes[:-1]])
    low, high, top = coarse.box
    gaps = np.maximum(low - axial, axial - high)
    np.maximum(gaps, 0.0, out=gaps)
    gaps *= gaps
    above = np.maximum(radius - top, 0.0)
    above *= above
    gaps += above
    np.sqrt(gaps, out=gaps)
    nearest = [
        begin + np.argpartition(gaps[begin : begin + size], min(FIRST, size - 1))[:FIRST]
        for begin, size in zip(first, sizes, strict=True)
    ]
    some = np.concatenate(nearest)
    starts = np.cumsum([0, *(len(part) for part in nearest[:-1])])
    least = np.minimum.reduceat(coarse.distance(axial[some], radius[some]), starts)
    reach = np.repeat(np.maximum(least + HOLLOW_MM + 2 * COARSE_ERROR_MM, 0.0), sizes)
    look = np.flatnonzero(gaps <= reach)
    gaps[look] = np.maximum(gaps[look], coarse.past_corners(axial[look], radius[look]))
    look = look[gaps[look] <= reach[look]]
    gaps[look] = coarse.distance(axial[look], radius[look])
    return [
        Grid(index, sweep, gaps[begin : begin + size].reshape(shape))
        for (index, sweep), begin, size, shape in zip(
            sweeps.items(), first, sizes, shapes, strict=True
        )
    ]


def _finer(count: int) -> int:
    """Into how many parts the steps between so many samples are cut."""
    return max(1, min(RIDGE_PARTS, CLOSER // count))


def _closer(along: Array, parts: int) -> Array:
    """Samples with so many steps for each one."""
    at = np.linspace(0, len(along) - 1, parts * (len(along) - 1) + 1)
    return np.interp(at, np.arange(len(along)), along)


def _spacing(grid: Array) -> Array:
    """The wider of the two steps beside every point of a grid; 0 for a single point."""
    step = np.diff(grid)
    wider: Array = np.maximum(np.append(step, 0.0), np.insert(step, 0, 0.0))
    return wider


def local_minima(gaps: Array, *, edges: bool) -> Flags:
    """Grid points (kind, steer, height, sample) that no neighbour undercuts."""
    low = np.ones(gaps.shape, bool)
    for axis in (1, 2, 3) if edges else (1, 2):
        before, after = [slice(None)] * 4, [slice(None)] * 4
        before[axis], after[axis] = slice(None, -1), slice(1, None)
        low[tuple(before)] &= gaps[tuple(before)] <= gaps[tuple(after)]
        low[tuple(after)] &= gaps[tuple(after)] <= gaps[tuple(before)]
    return low

"""The tightest moment of every place: a minimum over the continuous envelope.

The room's grid gives a first look at every feature; each hollow in it is then followed down
by a pattern search over steer, height within the envelope and the place along an edge, all
hollows of all features at once, until the clearance moves by about a hundredth of a millimetre.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.descent import NEIGHBOURS, Hollows, clearance_at, down, shared_poses
from fitment.engine.envelope import HEIGHTS
from fitment.engine.room import FeatureSweep, Room, Spots
from fitment.engine.section import COARSE_ERROR_MM, Section

#: A hollow of the grid may end this far below its grid value (mm); others cannot win.
HOLLOW_MM = 6.0
#: Points of the grid, nearest to the wheel's box, that say how near the nearest can be.
FIRST = 64
#: Hollows followed per feature.
HOLLOWS = 8
#: Overlaps deeper than this (mm) lie on ridges of the distance, where the least clearance is
#: sharp along an edge: there every pose first finds its own deepest point of the edge.
RIDGE_MM = -1.0
RIDGE_STEP = 2.0**-8
#: Step at which the search along a ridge turns from the rough section to the true one.
RIDGE_TURN = 2.0**-5
#: Samples along an edge per sample of the first look, where an overlap is deep.
RIDGE_PARTS = 5
#: Hollows followed down their ridges.
RIDGES = 3

_WINDOW = np.linspace(-1.5, 1.5, 25)
_NARROW = np.linspace(-0.125, 0.125, 9)
_HAIR = np.linspace(-0.03125, 0.03125, 9)


@dataclass(frozen=True)
class Closest:
    """The tightest moments, one per feature of a room in its order: clearance (n,) and where."""

    clearance_mm: Array
    spots: Spots


def closest(room: Room, section: Section, coarse: Section) -> Closest:
    """Tightest moment of every feature against ``section``; ``coarse`` is its rough twin."""
    hollows = _hollows(room, coarse)
    which, loaded = hollows.spots.which, hollows.spots.loaded
    place, value = down(room, section, hollows)
    spots = Spots(which, place, loaded)
    deep = np.flatnonzero((value < RIDGE_MM) & (hollows.step[:, 2] > 0))
    if len(deep):
        deep = _least(which, value, deep, RIDGES)
        found = replace(hollows, spots=spots)
        place[deep], rough = _down_ridges(room, coarse, found.at(deep), 1.0, RIDGE_TURN)
        deep = deep[_least(which[deep], rough, np.arange(len(deep)), 1)]
        place[deep], value[deep] = _down_ridges(
            room, section, found.at(deep), 4 * RIDGE_TURN, RIDGE_STEP
        )
    winners = _least(which, value, np.arange(len(value)), 1)
    return Closest(value[winners], Spots(which, place, loaded).at(winners))


def _least(which: Index, value: Array, rows: Index, count: int) -> Index:
    """Of some rows the ``count`` with the least value of every feature, by feature."""
    order = rows[np.lexsort((value[rows], which[rows]))]
    return np.concatenate([order[which[order] == one][:count] for one in np.unique(which[rows])])


def _down_ridges(
    room: Room, section: Section, start: Hollows, widest: float, finest: float
) -> tuple[Array, Array]:
    """Follow ridges of the overlap from hollows: places (n, 3) and clearances (n,) there.

    Steps begin at ``widest`` of a hollow's own and are halved wherever they gain nothing, down
    to ``finest``.
    """
    step, place = 2 * start.step, start.spots.place.copy()
    around = NEIGHBOURS[NEIGHBOURS[:, 2] == 0]
    value, scale = np.full(len(place), np.inf), np.full(len(place), widest)
    active = np.arange(len(place))
    while len(active):
        low, high = start.low[active, None], start.high[active, None]
        unit = scale[active, None] * step[active]
        poses = np.clip(place[active, None] + unit[:, None] * around, low, high)
        for window in (_WINDOW, _NARROW, _HAIR):
            tried = np.repeat(poses[:, :, None], len(window), axis=2)
            tried[..., 2] += unit[:, 2, None, None] * window
            tried = np.clip(tried, low[:, None], high[:, None])
            count = tried[0].size // 3
            spots = Spots(
                np.repeat(start.spots.which[active], count),
                tried.reshape(-1, 3),
                np.repeat(start.spots.loaded[active], count),
            )
            pose = np.repeat(np.arange(9 * len(active)), len(window))
            shared = shared_poses(room, tried[:, :, 0], start.spots.loaded[active], pose)
            gaps = clearance_at(room, section, spots, shared).reshape(tried.shape[:3])
            deepest = np.argmin(gaps, axis=2)[:, :, None]
            poses = np.take_along_axis(tried, deepest[..., None], axis=2)[:, :, 0]
        depth = np.take_along_axis(gaps, deepest, axis=2)[:, :, 0]
        best = np.argmin(depth, axis=1)
        rows = np.arange(len(active))
        there, least = poses[rows, best], depth[rows, best]
        gained = least < value[active] - 1e-9
        moved = gained & np.any(there[:, :2] != place[active, :2], axis=1)
        place[active[gained]], value[active[gained]] = there[gained], least[gained]
        scale[active[~moved]] /= 2
        active = np.flatnonzero(scale > finest)
    return place, value


def _hollows(room: Room, coarse: Section) -> Hollows:
    """Hollows of the room's grid that could hold the tightest moment of their feature."""
    parts = _hollows_of(dict(enumerate(room.sweeps)), coarse)
    # Deep inside, the grid is too wide for ridges: look again at closer samples.
    deep = {
        index: room.sweeps[index]
        for index, (_, least) in parts.items()
        if least < RIDGE_MM and room.sweeps[index].is_edge and room.moving[index]
    }
    if deep:
        along = [
            _closer(deep[index].along) if index in deep else None
            for index in range(len(room.sweeps))
        ]
        closer = room.swept(room.envelope.steer_grid(), HEIGHTS, along)
        for index, (part, least) in _hollows_of(
            dict(zip(deep, closer, strict=True)), coarse
        ).items():
            parts[index] = replace(part, step=part.step * [1.0, 1.0, float(RIDGE_PARTS)]), least
    found = [part for part, _ in parts.values()]
    return Hollows(
        Spots.joined([part.spots for part in found]),
        np.concatenate([part.step for part in found]),
        np.concatenate([part.low for part in found]),
        np.concatenate([part.high for part in found]),
    )


def _hollows_of(
    sweeps: Mapping[int, FeatureSweep], coarse: Section
) -> dict[int, tuple[Hollows, float]]:
    """Hollows of some features' grids, by feature, and the least clearance on each grid."""
    found = {}
    for (index, sweep), gaps in zip(
        sweeps.items(), _near_gaps(coarse, list(sweeps.values())), strict=True
    ):
        least = float(gaps.min())
        hollow = gaps <= least + HOLLOW_MM + 2 * COARSE_ERROR_MM
        hollow &= _local_minima(gaps, edges=sweep.is_edge)
        picked = np.argwhere(hollow)
        picked = picked[np.argsort(gaps[tuple(picked.T)])[:HOLLOWS]]
        grids = list(zip(_grids(sweep), picked[:, 1:].T, strict=True))
        place = np.stack([grid[at] for grid, at in grids], axis=-1)
        step = np.stack([_spacing(grid)[at] for grid, at in grids], axis=-1)
        hollows = Hollows(
            Spots(np.full(len(picked), index), place, picked[:, 0] == 1),
            step * [0.5, 0.5, 0.5 if sweep.is_edge else 0.0],
            np.tile([grid[0] for grid, _ in grids], (len(picked), 1)),
            np.tile([grid[-1] for grid, _ in grids], (len(picked), 1)),
        )
        found[index] = hollows, least
    return found


def _near_gaps(coarse: Section, sweeps: Sequence[FeatureSweep]) -> list[Array]:
    """For each sweep (plain and loaded, steer, height, sample) the distances of its points.

    Exact where a point could belong to a hollow, elsewhere no more than the distance. A box
    round the whole wheel is nearer than the wheel: points that are further from it than a
    hollow may lie above the least distance need no closer look.
    """
    seen, shapes = [], []
    for sweep in sweeps:
        looks = [(sweep.axial_mm, sweep.radius_mm)]
        if sweep.loaded_axial_mm is not None and sweep.loaded_radius_mm is not None:
            looks.append((sweep.loaded_axial_mm, sweep.loaded_radius_mm))
        seen += [(axial.ravel(), radius.ravel()) for axial, radius in looks]
        shapes.append((len(looks), *sweep.axial_mm.shape))
    axial, radius = (np.concatenate(part) for part in zip(*seen, strict=True))
    sizes = [math.prod(shape) for shape in shapes]
    first = np.cumsum([0, *sizes[:-1]])
    low, high, top = coarse.box
    out = np.maximum(np.maximum(low - axial, axial - high), 0.0)
    gaps = np.sqrt(out * out + np.maximum(radius - top, 0.0) ** 2)
    nearest = [
        begin + np.argpartition(gaps[begin : begin + size], min(FIRST, size - 1))[:FIRST]
        for begin, size in zip(first, sizes, strict=True)
    ]
    some = np.concatenate(nearest)
    starts = np.cumsum([0, *(len(part) for part in nearest[:-1])])
    least = np.minimum.reduceat(coarse.distance(axial[some], radius[some]), starts)
    reach = np.repeat(np.maximum(least + HOLLOW_MM + 2 * COARSE_ERROR_MM, 0.0), sizes)
    look = np.flatnonzero(gaps <= reach)
    gaps[look] = coarse.distance(axial[look], radius[look])
    return [
        gaps[begin : begin + size].reshape(shape)
        for begin, size, shape in zip(first, sizes, shapes, strict=True)
    ]


def _closer(along: Array) -> Array:
    """Samples with RIDGE_PARTS steps for each one."""
    at = np.linspace(0, len(along) - 1, RIDGE_PARTS * (len(along) - 1) + 1)
    return np.interp(at, np.arange(len(along)), along)


def _grids(sweep: FeatureSweep) -> tuple[Array, Array, Array]:
    """Steer (rad), share of height and place along the feature at which a sweep was sampled."""
    heights = sweep.axial_mm.shape[1]
    share = np.linspace(0.0, 1.0, heights) if heights > 1 else np.zeros(1)
    return np.radians(sweep.steer_deg), share, sweep.along


def _spacing(grid: Array) -> Array:
    """The wider of the two steps beside every point of a grid; 0 for a single point."""
    step = np.diff(grid)
    wider: Array = np.maximum(np.append(step, 0.0), np.insert(step, 0, 0.0))
    return wider


def _local_minima(gaps: Array, *, edges: bool) -> Flags:
    """Grid points (kind, steer, height, sample) that no neighbour undercuts."""
    low = np.ones(gaps.shape, bool)
    for axis in (1, 2, 3) if edges else (1, 2):
        before, after = [slice(None)] * 4, [slice(None)] * 4
        before[axis], after[axis] = slice(None, -1), slice(1, None)
        low[tuple(before)] &= gaps[tuple(before)] <= gaps[tuple(after)]
        low[tuple(after)] &= gaps[tuple(after)] <= gaps[tuple(before)]
    return low

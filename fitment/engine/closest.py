"""The tightest moment of every place: a minimum over the continuous envelope.

The room's grid gives a first look at every feature; each hollow in it is then followed down
by a pattern search over steer, height within the envelope and the place along an edge, all
hollows of all features at once, until the clearance moves by less than FOUND_MM.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from fitment.engine.room import FeatureSweep, Room
from fitment.engine.section import COARSE_ERROR_MM, Section

#: A hollow of the grid may end this far below its grid value (mm); others cannot win.
HOLLOW_MM = 6.0
#: Hollows followed per feature.
HOLLOWS = 8
#: Pattern search ends when its step is this part of a grid cell: about 0.01 mm of clearance.
SMALLEST_STEP = 2.0**-11
#: Clearance that one grid cell can change at the most, mm: prunes hollows that have lost.
CELL_MM = 60.0
MAX_ROUNDS = 60

#: Overlaps deeper than this (mm) lie on ridges of the distance, where along the edge the least
#: clearance is sharp: there every pose first finds its own deepest point of the edge.
RIDGE_MM = -1.0
RIDGE_STEP = 2.0**-8
_WINDOW = np.linspace(-1.5, 1.5, 25)
_NARROW = np.linspace(-0.125, 0.125, 9)

_STENCIL = np.array([[i, j, k] for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)], float)
_CENTRE = 13


@dataclass(frozen=True)
class Closest:
    """The tightest moments (n,), one per feature of a room: clearance and where it is.

    ``along`` the feature, ``steer`` (rad), ``share`` of the envelope's height, ``loaded``.
    """

    clearance_mm: Array
    along: Array
    steer: Array
    share: Array
    loaded: Array


def clearance_at(
    room: Room,
    section: Section,
    which: Array,
    along: Array,
    steer: Array,
    share: Array,
    loaded: Array,
) -> Array:
    """Clearance (n,) of points along features at poses of the envelope, half thickness taken off."""
    axial, radius = meridian_at(room, which, along, steer, share, loaded)
    return section.distance(axial, radius) - room.half_thickness_mm[which]


def meridian_at(
    room: Room, which: Array, along: Array, steer: Array, share: Array, loaded: Array
) -> tuple[Array, Array]:
    """Axial and radius (n,) of points along features at poses of the envelope."""
    points = room.points(which, along)
    poses = room.envelope.poses(room.hubs, steer, share, loaded)
    moving = room.moving[which][:, None]
    hub = np.where(moving, poses.hub, 0.0)
    spin = np.where(moving, poses.spin, room.rest_spin)
    return frames.meridian(points, hub, spin)


def closest(room: Room, section: Section, coarse: Section) -> Closest:
    """Tightest moment of every feature of ``room`` against ``section``; ``coarse`` is its rough twin."""
    found = _hollows(room, coarse)
    which, at, step, low, high, loaded = found
    value = clearance_at(room, section, which, at[:, 2], at[:, 0], at[:, 1], loaded)
    scale = np.ones(len(which))
    active = np.arange(len(which))
    for _ in range(MAX_ROUNDS):
        trial = at[active, None] + scale[active, None, None] * step[active, None] * _STENCIL
        trial = np.clip(trial, low[active, None], high[active, None])
        flat = trial.reshape(-1, 3)
        tried = clearance_at(
            room,
            section,
            np.repeat(which[active], 27),
            flat[:, 2],
            flat[:, 0],
            flat[:, 1],
            np.repeat(loaded[active], 27),
        ).reshape(-1, 27)
        tried[:, _CENTRE] = value[active]
        best = np.argmin(tried, axis=1)
        better = tried[np.arange(len(active)), best] < value[active] - 1e-12
        best = np.where(better, best, _CENTRE)
        at[active] = trial[np.arange(len(active)), best]
        value[active] = tried[np.arange(len(active)), best]
        scale[active] = np.where(better, scale[active], scale[active] / 2)
        floor = np.full(len(room.courses), np.inf)
        np.minimum.at(floor, which, value)
        hopeful = value - CELL_MM * scale <= floor[which] + 1e-9
        active = np.flatnonzero((scale > SMALLEST_STEP) & hopeful)
        if not len(active):
            break
    order = np.lexsort((value, which))
    winners = order[np.unique(which[order], return_index=True)[1]]
    for row in winners:
        if value[row] < RIDGE_MM and step[row, 2] > 0:
            at[row], value[row] = _down_ridge(
                room,
                section,
                int(which[row]),
                at[row],
                2 * step[row],
                low[row],
                high[row],
                bool(loaded[row]),
            )
    return Closest(value[winners], at[winners, 2], at[winners, 0], at[winners, 1], loaded[winners])


def _down_ridge(
    room: Room,
    section: Section,
    index: int,
    at: Array,
    step: Array,
    low: Array,
    high: Array,
    loaded: bool,
) -> tuple[Array, float]:
    """Follow a ridge of the overlap from ``at`` (steer, share, along): place and depth found."""
    around = _STENCIL[_STENCIL[:, 2] == 0] * step
    value, scale = np.inf, 1.0
    while scale > RIDGE_STEP:
        poses = np.clip(at + scale * around, low, high)
        along = poses[:, 2:]
        for window in (_WINDOW, _NARROW):
            tried = np.clip(along + scale * step[2] * window, low[2], high[2])
            shape = tried.shape
            gaps = clearance_at(
                room,
                section,
                np.full(tried.size, index),
                tried.ravel(),
                np.repeat(poses[:, 0], shape[1]),
                np.repeat(poses[:, 1], shape[1]),
                np.full(tried.size, loaded),
            ).reshape(shape)
            deepest = np.argmin(gaps, axis=1)
            along = tried[np.arange(len(tried)), deepest][:, None]
        depth = gaps.min(axis=1)
        best = int(np.argmin(depth))
        if depth[best] < value - 1e-9:
            centred = bool(np.all(poses[best, :2] == at[:2]))
            at, value = np.array([*poses[best, :2], along[best, 0]]), float(depth[best])
            scale = scale / 2 if centred else scale
        else:
            scale /= 2
    return at, value


def _hollows(room: Room, coarse: Section) -> tuple[Array, ...]:
    """Where to start: feature, (steer, share, along) with steps and bounds, loaded."""
    rows = []
    for index, sweep in enumerate(room.sweeps):
        looks = [(False, sweep.axial_mm, sweep.radius_mm)]
        if sweep.loaded_axial_mm is not None and sweep.loaded_radius_mm is not None:
            looks.append((True, sweep.loaded_axial_mm, sweep.loaded_radius_mm))
        gaps = np.stack([coarse.distance(axial, radius) for _, axial, radius in looks])
        hollow = gaps <= gaps.min() + HOLLOW_MM + 2 * COARSE_ERROR_MM
        hollow &= _local_minima(gaps, edges=sweep.shape == "edge")
        picked = np.argwhere(hollow)
        picked = picked[np.argsort(gaps[tuple(picked.T)])[:HOLLOWS]]
        rows += [_start(room, index, sweep, looks[p[0]][0], *p[1:]) for p in picked]
    return tuple(np.array(part) for part in zip(*rows, strict=True))


def _start(
    room: Room, index: int, sweep: FeatureSweep, loaded: bool, i: int, j: int, k: int
) -> tuple[object, ...]:
    """One hollow: a row of what ``_hollows`` returns."""
    moving = bool(room.moving[index])
    steer = np.radians(sweep.steer_deg)
    share = np.linspace(0.0, 1.0, sweep.axial_mm.shape[1]) if moving else np.zeros(1)
    along = sweep.along
    step = [
        _spacing(steer, i),
        _spacing(share, j),
        _spacing(along, k) if sweep.shape == "edge" else 0.0,
    ]
    low, high = [steer[0], share[0], along[0]], [steer[-1], share[-1], along[-1]]
    return index, [steer[i], share[j], along[k]], [part / 2 for part in step], low, high, loaded


def _spacing(grid: Array, index: int) -> float:
    """Widest step of a grid beside one of its points; 0 for a single point."""
    steps = np.diff(grid[max(index - 1, 0) : index + 2])
    return float(steps.max()) if len(steps) else 0.0


def _local_minima(gaps: Array, *, edges: bool) -> Array:
    """Grid points (kind, steer, height, sample) that no neighbour undercuts."""
    low = np.ones(gaps.shape, bool)
    for axis in (1, 2, 3) if edges else (1, 2):
        before, after = [slice(None)] * 4, [slice(None)] * 4
        before[axis], after[axis] = slice(None, -1), slice(1, None)
        low[tuple(before)] &= gaps[tuple(before)] <= gaps[tuple(after)]
        low[tuple(after)] &= gaps[tuple(after)] <= gaps[tuple(before)]
    return low

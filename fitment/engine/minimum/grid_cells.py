"""The first cells of a branch and bound: those of a room's grid that may come near the wheel.

A cell is held against a box round the wheel, its corners cut: for a way n out of the solid, with
h the most that the solid reaches along it, d(x) ≥ n·x - h, and n·x is least over a cell's corners
but for what the cell may lie off their hull (``cells``). Most of a room is left by that alone.
Millimetres; steer in radians.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine.minimum.cells import BITS, KINK, Cells, remainder
from fitment.engine.minimum.room import FeatureSweep, Room
from fitment.engine.solid.section import COARSE_ERROR_MM, Section

#: Ways out of the box round a solid: its sides, and the slants that cut its corners.
_HALF = np.sqrt(0.5)
WAYS_OUT = np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [_HALF, _HALF], [-_HALF, _HALF]])


def first_cells(room: Room, coarse: Section, goal: Array) -> tuple[Cells, Array]:
    """The cells of the room's grid that may come nearer than ``goal`` (features,), mm.

    Also a bound (features,) of how near the others come; infinity where there are none. Distances
    are to the wheel, half thickness not taken off.
    """
    parts, bound = [], np.full(len(goal), np.inf)
    for moving in (True, False):
        picked = np.flatnonzero(room.moving == moving)
        if len(picked):
            grid = _Grid(room, picked)
            lower = grid.outside(coarse) - COARSE_ERROR_MM
            stays = lower < goal[grid.owner]
            least = np.where(stays, np.inf, lower).min(axis=(0, 1, 2))
            np.minimum.at(bound, grid.owner, least)
            parts.append(grid.cells(np.nonzero(stays)))
    return Cells.joined(parts), bound


class _Grid:
    """The grid cells of features that share their poses: (kinds, steer, height, place)."""

    def __init__(self, room: Room, picked: Index) -> None:
        self.room = room
        sweeps = [room.sweeps[index] for index in picked]
        self.axial, self.radius = _together(sweeps)
        kinds, steers, heights, _ = self.axial.shape
        steer, share = sweeps[0].steer, sweeps[0].share
        along = np.concatenate([sweep.along for sweep in sweeps])
        begin = np.cumsum([0, *(len(sweep.along) for sweep in sweeps)])
        behind = [
            np.arange(first, last - sweep.is_edge)
            for first, last, sweep in zip(begin[:-1], begin[1:], sweeps, strict=True)
        ]
        self.owner = np.repeat(picked, [len(part) for part in behind])
        back = np.concatenate(behind)
        front = back + np.array([sweep.is_edge for sweep in room.sweeps])[self.owner]
        #: For each coordinate the grid's points below and above each cell, and the ticks, those of
        #: steer (kinds, steers).
        self.sides = (*(_sides(count) for count in (steers, heights)), (back, front))
        self.ticks = steer, share, along
        self.zone = room.motion_bounds.zone(
            (steer[:, self.sides[0][0]] + steer[:, self.sides[0][1]]) / 2
        )
        self.kinds = np.arange(kinds)

    def outside(self, section: Section) -> Array:
        """Lower bounds of the cells' distances to the box, its corners cut, round a solid."""
        outline = np.concatenate([section.start, section.end])
        lower = np.full((len(self.kinds), *(len(side[0]) for side in self.sides)), -np.inf)
        for way in WAYS_OUT:
            past = self.axial * way[0] + self.radius * way[1]
            past -= np.max(outline @ way)
            np.maximum(lower, self._least_of_corners(past), out=lower)
        return lower - self._error()[:, :, None]

    def _least_of_corners(self, values: Array) -> Array:
        """The least of values (kinds, steer, height, sample) over the corners of each cell."""
        if values.shape[1] > 1:
            values = np.minimum(values[:, :-1], values[:, 1:])
        if values.shape[2] > 1:
            values = np.minimum(values[:, :, :-1], values[:, :, 1:])
        back, front = self.sides[2]
        return np.minimum(values[..., back], values[..., front])

    def _error(self) -> Array:
        """What cells can lie off their corners' hull, (kinds, steer, place)."""
        room, steer, (back, front) = self.room, self.sides[0], self.sides[2]
        shape = (len(self.kinds), len(steer[0]), len(back))
        far = np.sqrt(self.axial**2 + self.radius**2)

        def extent(values: Array, pick: np.ufunc) -> Array:
            values = pick.reduce(values, axis=(0, 2))
            values = pick(values[steer[0]], values[steer[1]])
            return np.broadcast_to(pick(values[:, back], values[:, front]), shape)

        speeds = room.motion_bounds.speeds.at(
            room.carrier[self.owner][None, None], self.kinds[:, None, None], self.zone[:, :, None]
        )
        size = np.empty((*shape, 3))
        for axis, (tick, side) in enumerate(zip(self.ticks, self.sides, strict=True)):
            step = tick[..., side[1]] - tick[..., side[0]]
            size[..., axis] = (step[..., None], step.max(), step)[axis]
        along = room.along_speeds(self.owner, self.ticks[2][back], self.ticks[2][front])
        run, bend = (np.broadcast_to(part, shape) for part in along)
        rest, far_off = remainder(
            speeds,
            (run, bend),
            size,
            (
                extent(far, np.maximum),
                extent(np.abs(self.axial), np.maximum),
                extent(self.radius, np.minimum),
                extent(self.radius, np.maximum),
            ),
        )
        error = rest.sum(axis=-1) + room.motion_bounds.error_mm(far_off)
        jump = np.sum(
            room.motion_bounds.kinks.turn[self.kinds[:, None], self.zone][:, :, None]
            * size[..., :2],
            axis=-1,
        )
        return np.asarray(error + KINK * jump * far_off, float)

    def cells(self, picked: tuple[Index, ...]) -> Cells:
        """The cells at ``picked`` (kind, steer, height, place)."""
        kind, where = picked[0], picked[1:]
        corners = []
        for bits in BITS:
            at = [side[bit][row] for side, bit, row in zip(self.sides, bits, where, strict=True)]
            corners.append((self.axial[kind, *at], self.radius[kind, *at]))
        steer, *others = self.ticks
        low, high = (
            np.stack(
                [
                    steer[kind, self.sides[0][bit][where[0]]],
                    *(
                        tick[side[bit][row]]
                        for tick, side, row in zip(others, self.sides[1:], where[1:], strict=True)
                    ),
                ],
                axis=-1,
            )
            for bit in (0, 1)
        )
        seen = np.array(corners).transpose(2, 0, 1)
        return Cells(self.owner[where[2]], kind, self.zone[kind, where[0]], low, high, seen)


def _together(sweeps: Sequence[FeatureSweep]) -> tuple[Array, Array]:
    """Axial and radius (kinds, steer, height, samples) of all features, side by side."""
    axial = np.concatenate([sweep.axial_mm for sweep in sweeps], axis=3)
    return axial, np.concatenate([sweep.radius_mm for sweep in sweeps], axis=3)


def _sides(count: int) -> tuple[Index, Index]:
    """The points below and above each cell of a row of points; a lone point is one cell."""
    back = np.arange(max(count - 1, 1))
    return back, np.minimum(back + 1, count - 1)

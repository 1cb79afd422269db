"""Cells of a room: boxes of (steer, share of height, along a feature), and where they can lie.

A cell's image in the section (a, r) is bounded from the images F of its eight corners. With I the
trilinear interpolation between them and h_u the cell's size along coordinate u,

    |F - I| ≤ Σ_u min( h_u² |F_uu| / 8,  h_u |F_u| / 2 ),

since interpolation along one coordinate errs by no more than either and is an average along the
others. I itself is a zonogon (centre m, ways g_u: mean and half differences of the corners) but
for a twist, which is measured at the corners, where it is greatest. So

    F(cell) ⊂ { m + Σ t_u g_u : |t_u| ≤ 1 } ⊕ disc(twist + Σ_u …).

A textbook's Taylor model (Berz & Hoffstätter, 1998) would expand about the middle and need the
slope there; corners need none, and halves of a cell share four of them. Bounds of F_u and F_uu:
``bends``. Millimetres; steer in radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.bends import Speeds
from fitment.engine.minimum.room import FeatureSweep, Room, Spots
from fitment.engine.solid.section import COARSE_ERROR_MM, Section

#: Corner j of a cell lies at the upper bound of coordinate u where BITS[j, u] is 1.
BITS = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
SIGNS = 2.0 * BITS - 1.0
#: The corners at the lower and at the upper bound of each coordinate, (3, 4).
LOWER, UPPER = (np.array([np.flatnonzero(BITS[:, u] == bit) for u in range(3)]) for bit in (0, 1))
#: Ways out of the box round a solid: its sides, and the slants that cut its corners.
_HALF = np.sqrt(0.5)
WAYS_OUT = np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [_HALF, _HALF], [-_HALF, _HALF]])
#: Of corners: greatest distance from the hub, greatest axial size, least and greatest radius.
Extent = tuple[Array, Array, Array, Array]
#: Interpolation between the ends of a stretch errs by this part of its length times the jump of
#: the slope somewhere in it.
KINK = 0.25
#: No radius in a cell counts as less than this, mm.
LEAST_RADIUS_MM = 1e-3


@dataclass(frozen=True)
class Cells:
    """n cells: feature, loaded or not, zone of steer of the room's bends, bounds (n, 3), and
    what the corners are seen at, (n, 8, 2)."""

    which: Index
    loaded: Flags
    zone: Index
    low: Array
    high: Array
    seen: Array

    def at(self, pick: Index | Flags) -> Cells:
        """The cells that ``pick`` names."""
        return Cells(*(getattr(self, part.name)[pick] for part in fields(self)))

    @staticmethod
    def joined(parts: Sequence[Cells]) -> Cells:
        """All cells of some lists as one."""
        columns = ([getattr(one, part.name) for one in parts] for part in fields(Cells))
        return Cells(*(np.concatenate(column) for column in columns))

    @property
    def middles(self) -> Spots:
        """The spots in the middle of the cells."""
        return Spots(self.which, (self.low + self.high) / 2, self.loaded)

    def halved(self, room: Room, axis: Index) -> Cells:
        """Both halves of every cell, cut across coordinate ``axis`` (n,)."""
        rows = np.arange(len(axis))
        middle = (self.low[rows, axis] + self.high[rows, axis]) / 2
        lower, upper = LOWER[axis], UPPER[axis]
        cut = np.where(BITS[lower] == 0, self.low[:, None], self.high[:, None])
        cut[rows[:, None], np.arange(4), axis[:, None]] = middle[:, None]
        where = room.meridian(Spots.of_places(self.which, cut, self.loaded))
        face = np.stack(where, axis=-1).reshape(len(axis), 4, 2)
        first, second, high, low = (
            part.copy() for part in (self.seen, self.seen, self.high, self.low)
        )
        first[rows[:, None], upper] = face
        second[rows[:, None], lower] = face
        high[rows, axis] = low[rows, axis] = middle
        which, loaded, zone = self.which, self.loaded, self.zone
        return Cells.joined(
            [
                Cells(which, loaded, zone, self.low, high, first),
                Cells(which, loaded, zone, low, self.high, second),
            ]
        )


@dataclass(frozen=True)
class Images:
    """Where cells can lie in the section: zonogons, ``centre`` (n, 2) and ``ways`` (n, 3, 2),
    each widened by ``error_mm`` (n,); ``reach_mm`` (n, 3) is what each coordinate adds."""

    centre: Array
    ways: Array
    error_mm: Array
    reach_mm: Array


def images(room: Room, cells: Cells) -> Images:
    """Images of cells in the section."""
    centre = cells.seen.mean(axis=1)
    ways = (SIGNS.T / 8.0) @ cells.seen
    off = cells.seen - centre[:, None] - SIGNS @ ways
    twist = np.sqrt(np.max(off[..., 0] ** 2 + off[..., 1] ** 2, axis=1))
    axial, radius = np.abs(cells.seen[..., 0]), cells.seen[..., 1]
    far = np.sqrt(np.max(axial * axial + radius * radius, axis=1))
    speeds = room.bends.speeds.at(room.carrier[cells.which], cells.loaded.astype(int), cells.zone)
    along = room.along_speeds(cells.which, cells.low[:, 2], cells.high[:, 2])
    size = cells.high - cells.low
    extent = far, axial.max(axis=1), radius.min(axis=1), radius.max(axis=1)
    rest, far = remainder(speeds, along, size, extent)
    error = twist + rest.sum(axis=1) + room.bends.error_mm(far)
    kinks = room.bends.kinks
    if len(kinks.travel):
        low, high, bent = cells.low[:, :2], cells.high[:, :2], cells.loaded
        jump = np.sum(kinks.turn[bent.astype(int), cells.zone] * size[:, :2], axis=1)
        error += (
            kinks.crossed(room.envelope, low, high, bent)
            * room.moving[cells.which]
            * (KINK * jump * far)
        )
    return Images(centre, ways, error, np.sqrt(np.sum(ways * ways, axis=2)) + rest)


def remainder(
    speeds: Speeds, along: tuple[Array, Array], size: Array, extent: Extent
) -> tuple[Array, Array]:
    """By coordinate what cells of ``size`` (..., 3) can lie off the interpolation between corners.

    ``along`` are the bounds of first and second derivatives along the feature. Returns also the
    greatest distance from the hub of the whole cell.
    """
    far, axial, near, radius = (part[..., None] for part in extent)
    run, bend = (part[..., None] for part in along)

    def lengths(far: Array) -> Array:
        return np.concatenate([speeds.point + speeds.spin * far, run], axis=-1) * size

    # No place of a cell is farther from its nearest corner than half its lengths together.
    slack = lengths(far).sum(axis=-1, keepdims=True) / 2
    far, axial, radius = far + slack, axial + slack, radius + slack
    length = lengths(far)
    near = np.maximum(near - length.sum(axis=-1, keepdims=True) / 2, LEAST_RADIUS_MM)
    both = speeds.point2 + 2 * speeds.point * speeds.spin
    bend_a = both + far * speeds.spin2
    bend_r = (
        both
        + radius * speeds.spin**2
        + axial * speeds.spin2
        + (speeds.point + axial * speeds.spin) ** 2 / near
    )
    second = np.concatenate([np.hypot(bend_a, bend_r), bend + run * run / near], axis=-1)
    return np.minimum(size * size * second / 8, length / 2), far[..., 0]


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
        steer = np.radians(sweeps[0].steer_deg)
        share = np.linspace(0.0, 1.0, heights) if heights > 1 else np.zeros(1)
        along = np.concatenate([sweep.along for sweep in sweeps])
        begin = np.cumsum([0, *(len(sweep.along) for sweep in sweeps)])
        behind = [
            np.arange(first, last - sweep.is_edge)
            for first, last, sweep in zip(begin[:-1], begin[1:], sweeps, strict=True)
        ]
        self.owner = np.repeat(picked, [len(part) for part in behind])
        back = np.concatenate(behind)
        front = back + np.array([sweep.is_edge for sweep in room.sweeps])[self.owner]
        #: For each coordinate the grid's points below and above each cell, and the ticks.
        self.sides = (*(_sides(count) for count in (steers, heights)), (back, front))
        self.ticks = steer, share, along
        self.zone = room.bends.zone((steer[self.sides[0][0]] + steer[self.sides[0][1]]) / 2)
        self.kinds = np.arange(kinds)

    def outside(self, section: Section) -> Array:
        """Lower bounds of the cells' distances to the box, its corners cut, round a solid."""
        outline = np.concatenate([section.start, section.end])
        lower = np.full((len(self.kinds), *(len(side[0]) for side in self.sides)), -np.inf)
        for way in WAYS_OUT:
            past = self.axial * way[0] + self.radius * way[1]
            past -= np.max(outline @ way)
            np.maximum(lower, self._over(past, np.minimum, (1, 2, 3)), out=lower)
        return lower - self._error()[:, :, None]

    def _over(self, values: Array, pick: np.ufunc, axes: Sequence[int]) -> Array:
        """Least or greatest values over the corners of each cell."""
        for axis, (back, front) in zip(axes, self.sides[-len(axes) :], strict=True):
            values = pick(np.take(values, back, axis), np.take(values, front, axis))
        return values

    def _error(self) -> Array:
        """What cells can lie off their corners' hull, (kinds, steer, place)."""
        room, steer, (back, front) = self.room, self.sides[0], self.sides[2]
        shape = (len(self.kinds), len(steer[0]), len(back))
        far = np.sqrt(self.axial**2 + self.radius**2)

        def extent(values: Array, pick: np.ufunc) -> Array:
            values = pick.reduce(values, axis=(0, 2))
            values = pick(values[steer[0]], values[steer[1]])
            return np.broadcast_to(pick(values[:, back], values[:, front]), shape)

        speeds = room.bends.speeds.at(
            room.carrier[self.owner][None, None], self.kinds[:, None, None], self.zone[:, None]
        )
        size = np.empty((*shape, 3))
        for axis, (tick, side) in enumerate(zip(self.ticks, self.sides, strict=True)):
            step = tick[side[1]] - tick[side[0]]
            size[..., axis] = (step[:, None], step.max(), step)[axis]
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
        error = rest.sum(axis=-1) + room.bends.error_mm(far_off)
        jump = np.sum(
            room.bends.kinks.turn[self.kinds][:, self.zone][:, :, None] * size[..., :2], axis=-1
        )
        return np.asarray(error + KINK * jump * far_off, float)

    def cells(self, picked: tuple[Index, ...]) -> Cells:
        """The cells at ``picked`` (kind, steer, height, place)."""
        kind, where = picked[0], picked[1:]
        corners = []
        for bits in BITS:
            at = [side[bit][row] for side, bit, row in zip(self.sides, bits, where, strict=True)]
            corners.append((self.axial[kind, *at], self.radius[kind, *at]))
        low, high = (
            np.stack(
                [
                    tick[side[bit][row]]
                    for tick, side, row in zip(self.ticks, self.sides, where, strict=True)
                ],
                axis=-1,
            )
            for bit in (0, 1)
        )
        seen = np.array(corners).transpose(2, 0, 1)
        return Cells(self.owner[where[2]], kind == 1, self.zone[where[0]], low, high, seen)


def _together(sweeps: Sequence[FeatureSweep]) -> tuple[Array, Array]:
    """Axial and radius (kinds, steer, height, samples) of all features, side by side."""
    axial = [np.concatenate([sweep.axial_mm for sweep in sweeps], axis=2)]
    radius = [np.concatenate([sweep.radius_mm for sweep in sweeps], axis=2)]
    bent = [sweep for sweep in sweeps if sweep.loaded_axial_mm is not None]
    if bent:
        axial.append(np.concatenate([sweep.loaded_axial_mm for sweep in bent], axis=2))
        radius.append(np.concatenate([sweep.loaded_radius_mm for sweep in bent], axis=2))
    return np.stack(axial), np.stack(radius)


def _sides(count: int) -> tuple[Index, Index]:
    """The points below and above each cell of a row of points; a lone point is one cell."""
    back = np.arange(max(count - 1, 1))
    return back, np.minimum(back + 1, count - 1)

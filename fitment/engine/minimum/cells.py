"""Cells of a room: boxes of (steer, share of height, along a feature), and where they lie.

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
from fitment.engine.minimum.bends import LEAST_TUBE_MM, Speeds
from fitment.engine.minimum.room import Room, Spots

#: Corner j of a cell lies at the upper bound of coordinate u where BITS[j, u] is 1.
BITS = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
SIGNS = 2.0 * BITS - 1.0
#: The corners at the lower and at the upper bound of each coordinate, (3, 4).
LOWER, UPPER = (np.array([np.flatnonzero(BITS[:, u] == bit) for u in range(3)]) for bit in (0, 1))
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
    _tubes_remainder(room, cells, along[0], rest)
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
    # No place of a cell is farther from its nearest corner than half its lengths together, and
    # they grow with how far from the hub it is: far' = far + shift + turn far'.
    shift = np.sum(size[..., :2] * speeds.point, axis=-1, keepdims=True) / 2
    shift = shift + size[..., 2:] * run / 2
    turn = np.sum(size[..., :2] * speeds.spin, axis=-1, keepdims=True) / 2
    far = np.where(turn < 1.0, (far + shift) / np.maximum(1.0 - turn, LEAST_RADIUS_MM), np.inf)
    slack = shift + turn * far
    axial, radius = axial + slack, radius + slack
    near = np.maximum(near - slack, LEAST_RADIUS_MM)
    length = np.concatenate([speeds.point + speeds.spin * far, run], axis=-1) * size
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


def _tubes_remainder(room: Room, cells: Cells, run: Array, rest: Array) -> None:
    """Lower the remainders (n, 3) of tubes' cells to what follows from their own motion.

    With r² bounded, r_u = (r²)_u / 2r and r_uu = ((r²)_uu / 2 - r_u²) / r.
    """
    for index in np.flatnonzero(room.tube_of >= 0):
        rows = np.flatnonzero(cells.which == index)
        if not len(rows):
            continue
        part = cells.at(rows)
        size = (part.high - part.low)[:, :2]
        speeds = room.bends.tubes[room.tube_of[index]]
        axial, axial2, square, square2 = speeds.seen(
            part.loaded.astype(int), part.zone, part.low[:, 2], part.high[:, 2]
        )
        radius = part.seen[..., 1]
        length = run[rows] * (part.high - part.low)[:, 2]
        least = np.min(radius, axis=1) - length
        least = np.where(least > 0, least * least, 0.0) - np.sum(square * size, axis=1) / 2
        near = np.sqrt(np.maximum(least, LEAST_RADIUS_MM))[:, None]
        first = square / (2 * near)
        second = np.hypot(axial2, (square2 / 2 + first * first) / near)
        own = np.minimum(size * size * second / 8, size * np.hypot(axial, first) / 2)
        known = near >= LEAST_TUBE_MM
        rest[rows, :2] = np.where(known, np.minimum(rest[rows, :2], own), rest[rows, :2])

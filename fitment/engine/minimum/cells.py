"""Taylor bounds without slopes: where a box of (steer, share of height, along) lies in the section.

A cell's image in the section (a, r) is bounded from the images F of its eight corners. With I the
trilinear interpolation between them and h_u the cell's size along coordinate u,

    |F - I| ≤ Σ_u min( h_u² |F_uu| / 8,  h_u |F_u| / 2 ),

since interpolation along one coordinate errs by no more than either and is an average along the
others. I itself is a zonogon (centre m, ways g_u: mean and half differences of the corners) but
for a twist, which is measured at the corners, where it is greatest. So

    F(cell) ⊂ { m + Σ t_u g_u : |t_u| ≤ 1 } ⊕ disc(twist + Σ_u …).

A textbook's Taylor model (Berz & Hoffstätter, 1998) would expand about the middle and need the
slope there; corners need none, and the quarters of a cell share theirs. Bounds of F_u and F_uu:
``motion_bounds``. Millimetres; steer in radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import pairwise, product

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.motion_bounds import LEAST_TUBE_MM, DerivativeBounds
from fitment.engine.minimum.room import Moments, Room

#: Corner j of a cell lies at the upper bound of coordinate u where BITS[j, u] is 1.
BITS = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
SIGNS = 2.0 * BITS - 1.0
#: Of corners: greatest distance from the hub, greatest axial size, least and greatest radius.
Extent = tuple[Array, Array, Array, Array]
#: Interpolation between the ends of a stretch errs by this part of its length times the jump of
#: the slope somewhere in it.
KINK = 0.25
#: No radius in a cell counts as less than this, mm.
LEAST_RADIUS_MM = 1e-3


def _quarters(first: int, second: int) -> tuple[Array, ...]:
    """How a cell is quartered across two coordinates: the shares of it at which it is seen anew,
    the poses of those and which each has, what each quarter's corners are among its corners and
    those, and where the quarters begin and end."""
    stops = [[0.0, 1.0] for _ in range(3)]
    if first == second:
        stops[first] = [0.0, 0.25, 0.5, 0.75, 1.0]
    else:
        stops[first] = stops[second] = [0.0, 0.5, 1.0]
    corners = [tuple(float(bit) for bit in bits) for bits in BITS]
    new = [place for place in product(*stops) if place not in corners]
    known = {place: index for index, place in enumerate(corners + new)}
    boxes = [list(zip(*sides, strict=True)) for sides in product(*(pairwise(s) for s in stops))]
    pick = [[known[tuple(np.where(bits, high, low))] for bits in BITS] for low, high in boxes]
    new += new[-1:] * (MOST_NEW - len(new))
    poses = list(dict.fromkeys(place[:2] for place in new))
    pose_of = [poses.index(place[:2]) for place in new]
    poses += poses[-1:] * (MOST_POSES - len(poses))
    low, high = zip(*boxes, strict=True)
    return tuple(np.array(part) for part in (new, poses, pose_of, pick, low, high))


#: The same for all pairs of coordinates (u, v), at row 3 u + v, with so many places and poses each.
MOST_NEW, MOST_POSES = 12, 6
NEW, POSES, POSE_OF, CORNERS, FROM, TO = (
    np.array(part)
    for part in zip(*(_quarters(*pair) for pair in product(range(3), repeat=2)), strict=True)
)


@dataclass(frozen=True)
class Cells:
    """n cells: feature, kind of poses, zone of steer of the motion's bounds, bounds (n, 3), and
    what the corners are seen at, (n, 8, 2)."""

    which: Index
    loaded: Index
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
    def middles(self) -> Moments:
        """The spots in the middle of the cells."""
        return Moments(self.which, (self.low + self.high) / 2, self.loaded)

    def cut(self, room: Room, axes: Index) -> Cells:
        """The quarters of every cell, halved across both coordinates ``axes`` (n, 2).

        Where both are one coordinate, it is quartered.
        """
        pair = 3 * axes[:, 0] + axes[:, 1]
        low, size = self.low[:, None], (self.high - self.low)[:, None]
        spots = Moments.of_places(self.which, low + NEW[pair] * size, self.loaded)
        several = np.arange(len(pair))[:, None] * MOST_POSES
        posed = (low[..., :2] + POSES[pair] * size[..., :2]).reshape(-1, 2)
        bent = np.repeat(self.loaded, MOST_POSES)
        poses = room.envelope.poses(room.hubs, posed[:, 0], posed[:, 1], bent)
        poses = poses.at((several + POSE_OF[pair]).ravel())
        where = frames.meridian(*room.seen_in(spots, poses))
        new = np.stack(where, axis=-1).reshape(len(pair), MOST_NEW, 2)
        known = np.concatenate([self.seen, new], axis=1)
        seen = known[np.arange(len(pair))[:, None, None], CORNERS[pair]]
        begins, ends = ((low + share[pair] * size).reshape(-1, 3) for share in (FROM, TO))
        owner = np.repeat(np.arange(len(pair)), 4)
        which, loaded, zone = self.which[owner], self.loaded[owner], self.zone[owner]
        return Cells(which, loaded, zone, begins, ends, seen.reshape(-1, 8, 2))


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
    speeds = room.motion_bounds.speeds.at(room.carrier[cells.which], cells.loaded, cells.zone)
    along = room.along_speeds(cells.which, cells.low[:, 2], cells.high[:, 2])
    size = cells.high - cells.low
    extent = far, axial.max(axis=1), radius.min(axis=1), radius.max(axis=1)
    rest, far = remainder(speeds, along, size, extent)
    _tubes_remainder(room, cells, along[0], rest)
    error = twist + rest.sum(axis=1) + room.motion_bounds.error_mm(far)
    kinks = room.motion_bounds.kinks
    if len(kinks.travel):
        low, high, bent = cells.low[:, :2], cells.high[:, :2], cells.loaded
        jump = np.sum(kinks.steps[bent, cells.zone] * size[:, :2], axis=1)
        error += (
            kinks.crossed(room.envelope, low, high, bent)
            * room.moving[cells.which]
            * (KINK * jump * far)
        )
    return Images(centre, ways, error, np.sqrt(np.sum(ways * ways, axis=2)) + rest)


def remainder(
    speeds: DerivativeBounds, along: tuple[Array, Array], size: Array, extent: Extent
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
        speeds = room.motion_bounds.tubes[room.tube_of[index]]
        axial, axial2, square, square2 = speeds.seen(
            part.loaded, part.zone, part.low[:, 2], part.high[:, 2]
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

"""Branch and bound: a proved lower bound of every feature's clearance."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.bends import Bends, bends_of
from fitment.engine.minimum.room import Room, Spots
from fitment.engine.solid.section import COARSE_ERROR_MM, Section

#: Corner j of a cell lies at the upper bound of coordinate i where BITS[j, i] is 1.
BITS = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
FACES = [(np.flatnonzero(BITS[:, i] == 0), np.flatnonzero(BITS[:, i] == 1)) for i in range(3)]
LOWER = np.array([face[0] for face in FACES])
UPPER = np.array([face[1] for face in FACES])
#: signs/8 matrix to get generators
TO_WAYS = (2.0 * BITS.T - 1.0) / 8.0  # (3, 8)
#: The eight directions of the box and its cut corners.
_S = np.sqrt(0.5)
DIRECTIONS = np.array([[1, 0], [-1, 0], [0, 1], [_S, _S], [-_S, _S]])


@dataclass(frozen=True)
class Cells:
    which: Index
    loaded: Flags
    interval: Index
    low: Array
    high: Array
    seen: Array  # (n, 8, 2)

    def at(self, pick) -> Cells:
        return Cells(
            self.which[pick],
            self.loaded[pick],
            self.interval[pick],
            self.low[pick],
            self.high[pick],
            self.seen[pick],
        )


def remainder(room: Room, bends: Bends, cells: Cells) -> tuple[Array, Array]:
    """(n,3) per coordinate bound of deviation from the trilinear interpolation, and Q."""
    seen = cells.seen
    a, r = seen[..., 0], seen[..., 1]
    distance = np.sqrt(a * a + r * r)
    carrier = room.carrier[cells.which]
    s = bends.speeds.at(carrier, cells.loaded.astype(int), cells.interval)
    run, bend = room.along_speeds(cells.which, cells.low[:, 2], cells.high[:, 2])
    size = cells.high - cells.low
    return remainder_of(
        s, run, bend, size, distance.max(axis=1), np.abs(a).max(axis=1), r.min(axis=1), r.max(axis=1)
    )


def remainder_of(s, run, bend, size, far, axial, near, radius):
    """Shapes broadcast: s.* (..., 2); others (...)."""
    # Twice: what lies between the corners is farther off than they by no more than this.
    first_s = s.point + s.spin * far[..., None]
    length = np.concatenate([first_s, run[..., None]], axis=-1) * size
    slack = length.sum(axis=-1) / 2
    far, axial, radius = far + slack, axial + slack, radius + slack
    first_s = s.point + s.spin * far[..., None]
    length = np.concatenate([first_s, run[..., None]], axis=-1) * size
    near = np.maximum(near - length.sum(axis=-1) / 2, 1e-3)
    axial, far, near, radius = axial[..., None], far[..., None], near[..., None], radius[..., None]
    both = s.point2 + 2 * s.point * s.spin
    a2 = both + far * s.spin2
    r2 = both + radius * s.spin**2 + axial * s.spin2 + (s.point + axial * s.spin) ** 2 / near
    second = np.sqrt(a2 * a2 + r2 * r2)
    along2 = bend[..., None] + (run * run)[..., None] / near
    second = np.concatenate([second, along2], axis=-1)
    return np.minimum(size * size * second / 8, length / 2), far[..., 0]


@dataclass
class Stats:
    rounds: int = 0
    cells: int = 0
    log: list = None


def certify(room: Room, section: Section, coarse: Section, found: Array, need: Array, tol=0.06, stats=None):
    """Lower bounds (n,)."""
    bends = room.bends
    target = np.where(found >= need, np.minimum(need, found - tol), found - tol)
    target = target + room.half_thickness_mm  # in terms of distance
    bound = np.full(len(found), np.inf)
    cells, bound = first_cells(room, coarse, bends, target, bound)
    if stats is not None:
        stats.log = []
    while len(cells.which):
        n = len(cells.which)
        if stats is not None:
            stats.rounds += 1
            stats.cells += n
        ways = TO_WAYS @ cells.seen  # (n,3,2)
        centre = cells.seen.mean(axis=1)
        linear = centre[:, None] + (2.0 * BITS - 1.0) @ ways
        twist = np.sqrt(((cells.seen - linear) ** 2).sum(axis=2)).max(axis=1)
        rest, far = remainder(room, bends, cells)
        error = rest.sum(axis=1) + twist + bends.hub_error_mm + bends.spin_error * far
        goal = target[cells.which]
        rough = coarse.boundary.floor(centre, ways) - error
        lower = rough - COARSE_ERROR_MM
        look = np.flatnonzero((lower < goal) & (rough + COARSE_ERROR_MM > goal))
        exact = section.boundary.floor(centre[look], ways[look]) - error[look]
        lower[look] = np.maximum(lower[look], exact)
        done = lower >= goal
        np.minimum.at(bound, cells.which[done], lower[done])
        if stats is not None:
            stats.log.append((n, len(look), int(done.sum())))
        opened = np.flatnonzero(~done)
        cells = cells.at(opened)
        reach = np.sqrt((ways[opened] ** 2).sum(axis=2)) + rest[opened]
        cells = split(room, cells, np.argmax(reach, axis=1))
        if stats is not None and stats.cells > 3_000_00:
            break
    return np.minimum(bound - room.half_thickness_mm, found)


def split(room: Room, cells: Cells, axis: Index) -> Cells:
    n = len(axis)
    rows = np.arange(n)
    middle = (cells.low[rows, axis] + cells.high[rows, axis]) / 2
    lower, upper = LOWER[axis], UPPER[axis]  # (n, 4)
    place = np.where(BITS[lower] == 0, cells.low[:, None], cells.high[:, None])  # (n,4,3)
    place[rows[:, None], np.arange(4), axis[:, None]] = middle[:, None]
    new = seen_at(room, cells.which, cells.loaded, place)
    first, second = cells.seen.copy(), cells.seen
    first[rows[:, None], upper] = new
    second[rows[:, None], lower] = new
    high, low = cells.high.copy(), cells.low.copy()
    high[rows, axis] = middle
    low[rows, axis] = middle
    return Cells(
        np.concatenate([cells.which] * 2),
        np.concatenate([cells.loaded] * 2),
        np.concatenate([cells.interval] * 2),
        np.concatenate([cells.low, low]),
        np.concatenate([high, cells.high]),
        np.concatenate([first, second]),
    )


def seen_at(room: Room, which: Index, loaded: Flags, place: Array) -> Array:
    spots = Spots.of_places(which, place, loaded)
    return np.stack(room.meridian(spots), axis=-1).reshape(*place.shape[:2], 2)


def first_cells(room: Room, coarse: Section, bends: Bends, target: Array, bound: Array):
    parts = []
    for moves in (True, False):
        indices = [i for i in range(len(room.courses)) if bool(room.moving[i]) == moves]
        if indices:
            parts.append(_first(room, coarse, bends, target, bound, indices))
    cells = Cells(
        *(np.concatenate([getattr(part, name) for part in parts]) for name in Cells.__dataclass_fields__)
    )
    return cells, bound


def _first(room, coarse, bends, target, bound, indices):
    sweeps = [room.sweeps[i] for i in indices]
    counts = [len(sweep.along) for sweep in sweeps]
    begin = np.cumsum([0, *counts])
    along = np.concatenate([sweep.along for sweep in sweeps])
    axial = np.concatenate([s.axial_mm for s in sweeps], axis=2)[None]
    radius = np.concatenate([s.radius_mm for s in sweeps], axis=2)[None]
    if sweeps[0].loaded_axial_mm is not None:
        more = np.concatenate([s.loaded_axial_mm for s in sweeps], axis=2)[None]
        axial = np.concatenate([axial, more])
        more = np.concatenate([s.loaded_radius_mm for s in sweeps], axis=2)[None]
        radius = np.concatenate([radius, more])
    kinds, steers, heights, _ = axial.shape
    ahead, behind, owner = [], [], []
    for index, first, count, sweep in zip(indices, begin, counts, sweeps, strict=False):
        if sweep.is_edge:
            here = np.arange(first, first + count - 1)
            behind.append(here)
            ahead.append(here + 1)
        else:
            here = np.arange(first, first + count)
            behind.append(here)
            ahead.append(here)
        owner.append(np.full(len(here), index))
    behind, ahead, owner = (np.concatenate(part) for part in (behind, ahead, owner))
    steer = np.radians(sweeps[0].steer_deg)
    share = np.linspace(0.0, 1.0, heights) if heights > 1 else np.array([0.0, 0.0])
    if not room.moving[indices[0]]:
        share = np.zeros(2)
        steer = np.zeros(1)
    s0 = np.arange(max(steers - 1, 1))
    s1 = np.minimum(s0 + 1, steers - 1)
    h0 = np.arange(max(heights - 1, 1))
    h1 = np.minimum(h0 + 1, heights - 1)
    start, end = coarse.start, coarse.end
    outline = np.concatenate([start, end])
    best = np.full((kinds, len(s0), len(h0), len(owner)), -np.inf)
    for direction in DIRECTIONS:
        value = axial * direction[0] + radius * direction[1]
        value -= (outline @ direction).max()
        value = np.minimum(value[:, s0], value[:, s1])
        value = np.minimum(value[:, :, h0], value[:, :, h1])
        value = np.minimum(value[..., behind], value[..., ahead])
        np.maximum(best, value, out=best)
    # remainder by steer cell and piece, over kinds and heights
    far = np.sqrt(axial * axial + radius * radius).max(axis=(0, 2))
    ax = np.abs(axial).max(axis=(0, 2))
    near, rad = radius.min(axis=(0, 2)), radius.max(axis=(0, 2))

    def over(x, pick):
        x = pick(x[s0], x[s1])
        return pick(x[:, behind], x[:, ahead])

    interval = room.interval((steer[s0] + steer[s1]) / 2)
    carrier = room.carrier[owner]
    kind = np.arange(kinds)
    speeds = bends.speeds.at(carrier[None, None], kind[:, None, None], interval[None, :, None])
    run, bend = room.along_speeds(owner, along[behind], along[ahead])
    size = np.zeros((kinds, len(s0), len(owner), 3))
    size[..., 0] = (steer[s1] - steer[s0])[:, None]
    size[..., 1] = np.max(np.diff(share))
    size[..., 2] = along[ahead] - along[behind]
    rest, far = remainder_of(
        speeds,
        np.broadcast_to(run, size.shape[:-1]),
        np.broadcast_to(bend, size.shape[:-1]),
        size,
        np.broadcast_to(over(far, np.maximum), size.shape[:-1]),
        np.broadcast_to(over(ax, np.maximum), size.shape[:-1]),
        np.broadcast_to(over(near, np.minimum), size.shape[:-1]),
        np.broadcast_to(over(rad, np.maximum), size.shape[:-1]),
    )
    error = rest.sum(axis=-1) + bends.hub_error_mm + bends.spin_error * far
    best -= (error + COARSE_ERROR_MM)[:, :, None]
    open_ = best < target[owner]
    least = np.where(open_, np.inf, best).min(axis=(0, 1, 2))
    np.minimum.at(bound, owner, least)
    k, s, h, w = np.nonzero(open_)
    corners = []
    for bit in BITS:
        si = (s0, s1)[bit[0]][s]
        hi = (h0, h1)[bit[1]][h]
        wi = (behind, ahead)[bit[2]][w]
        corners.append(np.stack([axial[k, si, hi, wi], radius[k, si, hi, wi]], axis=-1))
    low = np.stack([steer[s0][s], share[:-1][h] if heights > 1 else share[0] + 0 * h, along[behind][w]], -1)
    high = np.stack([steer[s1][s], share[1:][h] if heights > 1 else share[1] + 0 * h, along[ahead][w]], -1)
    return Cells(owner[w], k == 1, interval[s], low, high, np.stack(corners, axis=1))

"""Pattern search on a 3 x 3 x 3 stencil, with a parabola's bottom as a trial.

    min g(x),   x = (steer, share of height, place along a feature) in a box,

is followed from a first spot and step h: g is looked at in x and its 26 neighbours x ± h_u e_u.
Where one is lower, x moves there; where none is, h is divided (Torczon 1997; Conn, Scheinberg &
Vicente, *Introduction to Derivative-Free Optimization*, 2009, ch. 7).

What differs from the textbook: clearances bend smoothly between *seams*, the steer angles where the
envelope's bound has a corner and the points at which an edge was read, and no step goes across a
seam. Where the neighbours show a bowl, a parabola through them has its bottom tried as the next
centre, after which h shrinks faster; where it lies beyond them, some places on the way there are
tried. All hollows of all features are followed at once. One ends when h is SMALLEST_STEP of a grid
cell, when a bowl's bottom lies less than SURE_MM lower, or when it cannot become its feature's
least any more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.solid.section import Section

#: The search ends when its step is this part of a grid cell: about 0.01 mm of clearance.
SMALLEST_STEP = 2.0**-11
#: A step that gains nothing is divided by this; after a bowl's bottom was found by that.
SHRINK, BOWL_SHRINK = 3.0, 8.0
#: A bowl seen with steps no longer than this part of a cell, whose bottom lies less than this
#: (mm) below its middle, is the end.
SURE_STEP, SURE_MM = 0.125, 5e-4
#: Where a bowl's bottom lies beyond the neighbours, these parts of the way there are tried.
WAYS = np.array([1.0, 0.5, 0.25, 0.125])
#: Clearance that one grid cell can change at the most, mm: prunes hollows that have lost.
CELL_MM = 25.0
MAX_ROUNDS = 60
#: Places nearer than this (rad, shares of height, points of a feature) are the same place.
SAME_PLACE = 1e-9

#: The stencil's places round its centre, (27, 3), in units of a step.
NEIGHBOURS = np.array(
    [[i, j, k] for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)], float
)
CENTRE = 13
#: Neighbours behind and ahead in steer, share and along; the four corners of pairs of these:
#: both ahead, only the first, only the second, neither.
_BACK, _FRONT = [4, 10, 12], [22, 16, 14]
_PAIRS = ((0, 1, (25, 19, 7, 1)), (0, 2, (23, 21, 5, 3)), (1, 2, (17, 15, 11, 9)))
#: For each coordinate the neighbours off the centre and those beside them that are not.
_COPIES = tuple(
    tuple(
        (index, index - int(NEIGHBOURS[index, axis]) * 3 ** (2 - axis))
        for index in range(len(NEIGHBOURS))
        if NEIGHBOURS[index, axis] != 0
    )
    for axis in range(3)
)


@dataclass(frozen=True)
class Hollows:
    """Where to start: spots, and for each the first step and the bounds (n, 3) of its place."""

    spots: Moments
    step: Array
    low: Array
    high: Array

    def at(self, pick: Index) -> Hollows:
        """The hollows that ``pick`` names."""
        return Hollows(self.spots.at(pick), self.step[pick], self.low[pick], self.high[pick])

    @staticmethod
    def joined(parts: Sequence[Hollows]) -> Hollows:
        """All hollows of some lists as one."""
        step, low, high = (
            np.concatenate(part)
            for part in zip(*((one.step, one.low, one.high) for one in parts), strict=True)
        )
        return Hollows(Moments.joined([part.spots for part in parts]), step, low, high)


def clearance_at(
    room: Room, section: Section, spots: Moments, poses: HubPoses | None = None
) -> Array:
    """Clearance (n,) at spots of a room, half thickness taken off, mm.

    ``poses`` (n,) are the spots' own where they were worked out already.
    """
    seen = room.seen_in(spots, room.poses(spots) if poses is None else poses)
    gap: Array = section.distance(*frames.meridian(*seen)) - room.half_thickness_mm[spots.which]
    return gap


def shared_poses(room: Room, place: Array, loaded: Index, pick: Index) -> HubPoses:
    """Poses of places (n, m, 3) of rows of kinds (n,), once each, as ``pick`` names them."""
    flat = place.reshape(-1, 3)
    bent = np.repeat(loaded, place.shape[1])
    return room.envelope.poses(room.hubs, flat[:, 0], flat[:, 1], bent).at(pick)


def down(room: Room, section: Section, hollows: Hollows) -> tuple[Array, Array]:
    """Follow hollows down: places (n, 3) and clearances (n,) there."""
    which, loaded = hollows.spots.which, hollows.spots.loaded
    place, count = hollows.spots.place.copy(), len(which)
    value, centre = np.full(count, np.inf), place.copy()
    scale, last, guessed = np.ones(count), np.ones(count), np.zeros(count, bool)
    movable = hollows.step > 0
    active = np.arange(count)
    for _ in range(MAX_ROUNDS):
        unit = scale[active, None] * hollows.step[active]
        low, high, on_seam = _seams(room, hollows, centre[active], active)
        room_below, room_above = low - centre[active], high - centre[active]
        low, high = np.maximum(room_below, -unit), np.minimum(room_above, unit)
        reach = np.where(NEIGHBOURS > 0, high[:, None], np.where(NEIGHBOURS < 0, low[:, None], 0.0))
        trial = centre[active, None] + reach
        tried = _looked(room, section, which[active], loaded[active], trial, movable[active])
        best = np.argmin(tried, axis=1)
        best = np.where(tried[:, CENTRE] <= tried.min(axis=1), CENTRE, best)
        found = tried[np.arange(len(active)), best]
        gained = found < value[active] - 1e-12
        row = np.flatnonzero(gained)
        place[active[row]], value[active[row]] = trial[row, best[row]], found[row]
        shift, drop = _bottoms(tried, -low, high, on_seam)
        inside = np.all((shift >= low) & (shift <= high), axis=1)
        bowl = np.isfinite(drop) & inside & (gained | ~guessed[active])
        sure = bowl & (best == CENTRE) & (drop < SURE_MM) & (scale[active] <= SURE_STEP)
        walked = gained & (best != CENTRE)
        beyond = np.flatnonzero((drop > SURE_MM) & ~inside)
        if len(beyond):
            far = active[beyond]
            spots = Moments(which[far], centre[far], loaded[far])
            bounds = room_below[beyond], room_above[beyond]
            there, least = _ahead(room, section, spots, shift[beyond], bounds)
            lower = least < value[far] - 1e-12
            place[far[lower]], value[far[lower]] = there[lower], least[lower]
            walked[beyond] |= lower
        step = scale[active]
        shorter = np.where(guessed[active] & ~gained, last[active], step) / SHRINK
        last[active] = step
        scale[active] = np.where(bowl, step / BOWL_SHRINK, np.where(walked, step, shorter))
        guessed[active] = bowl
        centre[active] = np.where(bowl[:, None], centre[active] + shift, place[active])
        least = np.full(len(room.courses), np.inf)
        np.minimum.at(least, which, value)
        hopeful = value[active] - CELL_MM * scale[active] <= least[which[active]] + 1e-9
        stays = (scale[active] > SMALLEST_STEP) & hopeful & ~sure & movable[active].any(axis=1)
        active = active[stays]
        if not len(active):
            break
    return place, value


def _ahead(
    room: Room, section: Section, spots: Moments, way: Array, bounds: tuple[Array, Array]
) -> tuple[Array, Array]:
    """The least of some places on ways (n, 3) from spots: places (n, 3), clearances (n,).

    No way is followed further than the ``bounds`` (n, 3) below and above.
    """
    below, above = bounds
    room_left = np.where(way > 0, above, below)
    share = np.divide(room_left, way, out=np.ones_like(way), where=np.abs(way) > SAME_PLACE)
    longest = np.minimum(1.0, share.min(axis=1))
    trial = spots.place[:, None] + (longest[:, None] * WAYS)[..., None] * way[:, None]
    asked = Moments.of_places(spots.which, trial, spots.loaded)
    gaps = clearance_at(room, section, asked).reshape(-1, len(WAYS))
    best, rows = np.argmin(gaps, axis=1), np.arange(len(way))
    return trial[rows, best], gaps[rows, best]


def _seams(room: Room, hollows: Hollows, centre: Array, rows: Index) -> tuple[Array, Array, Flags]:
    """The nearest seams or bounds below and above centres, and which lie on a seam, each (n, 3)."""
    low, high = hollows.low[rows].copy(), hollows.high[rows].copy()
    knots = room.envelope.knots[:, 0]
    above = np.searchsorted(knots, centre[:, 0] - SAME_PLACE)
    beyond = np.searchsorted(knots, centre[:, 0] + SAME_PLACE)
    low[:, 0] = np.maximum(low[:, 0], knots[np.maximum(above - 1, 0)])
    high[:, 0] = np.minimum(high[:, 0], knots[np.minimum(beyond, len(knots) - 1)])
    point, following = np.ceil(centre[:, 2] - SAME_PLACE), np.floor(centre[:, 2] + SAME_PLACE)
    low[:, 2] = np.maximum(low[:, 2], point - 1)
    high[:, 2] = np.minimum(high[:, 2], following + 1)
    on_seam = np.stack([beyond > above, np.zeros(len(rows), bool), following == point], axis=-1)
    return low, high, on_seam


def _looked(
    room: Room, section: Section, which: Index, loaded: Index, trial: Array, movable: Flags
) -> Array:
    """Clearances (n, 27) at places (n, 27, 3); along what cannot move (n, 3) they are copies."""
    row, arm = np.nonzero(np.all((NEIGHBOURS == 0) | movable[:, None], axis=-1))
    spots = Moments(which[row], trial[row, arm], loaded[row])
    # The three neighbours along a feature share a pose.
    poses = shared_poses(room, trial[:, 1::3], loaded, 9 * row + arm // 3)
    tried = np.empty((len(which), len(NEIGHBOURS)))
    tried[row, arm] = clearance_at(room, section, spots, poses)
    for axis, pairs in enumerate(_COPIES):
        still = ~movable[:, axis]
        for copy, source in pairs:
            tried[still, copy] = tried[still, source]
    return tried


def _bottoms(tried: Array, behind: Array, ahead: Array, on_seam: Flags) -> tuple[Array, Array]:
    """Ways (n, 3) from centres to the bottoms of their bowls, and how far these lie below (n,).

    ``tried`` (n, 27) clearances of the neighbours, ``behind`` and ``ahead`` (n, 3) the way to
    them. What lies at a bound or on a seam stays there if both sides rise. The depth is NaN
    where there is no bowl.
    """
    here = tried[:, CENTRE, None]
    back, front = tried[:, _BACK] - here, tried[:, _FRONT] - here
    free = (behind > 0) & (ahead > 0) & ~on_seam
    h, k = np.where(free, behind, 1.0), np.where(free, ahead, 1.0)
    slope = np.where(free, (front * h * h - back * k * k) / (h * k * (h + k)), 0.0)
    bend = np.zeros((len(tried), 3, 3))
    for i in range(3):
        straight = 2 * (front * h + back * k)[:, i] / (h * k * (h + k))[:, i]
        bend[:, i, i] = np.where(free[:, i], straight, 1.0)
    for i, j, corners in _PAIRS:
        both, first, second, neither = (tried[:, corner] for corner in corners)
        twist = (both - first - second + neither) / ((h + k)[:, i] * (h + k)[:, j])
        bend[:, i, j] = bend[:, j, i] = np.where(free[:, i] & free[:, j], twist, 0.0)
    minor = bend[:, 0, 0] * bend[:, 1, 1] - bend[:, 0, 1] ** 2
    bowl = (bend[:, 0, 0] > 0) & (minor > 0) & (np.linalg.det(bend) > 0)
    bowl &= np.all(free | ((back >= 0) & (front >= 0)), axis=1)
    bend[~bowl] = np.eye(3)
    way = np.asarray(-np.linalg.solve(bend, slope[..., None])[..., 0], float)
    drop = np.where(bowl, -0.5 * np.sum(slope * way, axis=1), np.nan)
    return way, drop

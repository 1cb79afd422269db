"""Promising combinations followed down to their tightest moments, all of a room together.

Pattern search on a 27-point stencil (V. Torczon, *SIAM J. Optimization* 7, 1997) from the nearest
samples of each place, with steps that are halved where no arm is nearer; it changes the rough
clearances of :mod:`.screening` in place. Millimetres.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.pattern_search import CENTRE, NEIGHBOURS, SMALLEST_STEP
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.search.batch_distance import FAR_MM, FINE_MM, FINE_MORE
from fitment.engine.search.combos import Solids
from fitment.engine.search.pruning import Samples
from fitment.engine.search.screening import View, Weighed

#: Combinations followed down at once.
BATCH = 192
#: Places this much roomier than the tightest are not followed down, mm.
NOT_TIGHTEST_MM = 2.0
#: Of two starts at one place, one this much farther than the other is left, mm.
NEAR_MM = 1.0
#: A nearer arm is nearer by at least so much, mm.
NEARER_MM = 1e-5


def follow(weighed: Weighed, which: Index, needed: Array) -> None:
    """Lower the gaps of some combinations (k,) to what is found at their tightest moments.

    ``needed`` (features,) or (n, features) decides which places of each are tightest.
    """
    solids, view = weighed.solids, weighed.view
    if solids is None or view is None:
        return
    for first in range(0, len(which), BATCH):
        _follow(weighed, solids, view, which[first : first + BATCH], needed)


def _follow(weighed: Weighed, solids: Solids, view: View, which: Index, needed: Array) -> None:
    room = weighed.setting.room
    slack = weighed.gaps[which] - needed
    tight = slack <= slack.min(axis=1, keepdims=True) + NOT_TIGHTEST_MM
    spots, combo, value = _starts(solids, view, which, tight)
    if not len(combo):
        return
    feature = spots.which
    place, value = _descend(room, solids, view.samples, which[combo], spots, value)
    nearest = np.argsort(-value, kind="stable")  # the least comes last, and stays
    weighed.moments[which[combo[nearest]], feature[nearest]] = place[nearest, :2]
    value += (weighed.shift - room.half_thickness_mm)[feature]
    pair = solids.pair[solids.row[which[combo]]]
    value += FINE_MM + FINE_MORE * np.maximum(value - FAR_MM, 0.0) + solids.fine.slack_mm[pair]
    least = weighed.gaps[which]
    np.minimum.at(least, (combo, feature), value)
    weighed.gaps[which] = least


def _distance(solids: Solids, combo: Index, axial: Array, radius: Array) -> Array:
    """Closely the distance of points (k, p) or (p,) to combinations (k,)."""
    row = solids.row[combo]
    pair = solids.pair[row]
    traced = bool(solids.traced[pair].any())
    tyre = solids.fine.distance(pair, solids.centre[row], axial, radius, traced=traced)
    return np.minimum(tyre, solids.rims.distance(solids.rim[combo], axial, radius))


def _starts(solids: Solids, view: View, which: Index, tight: Flags) -> tuple[Moments, Index, Array]:
    """Nearest samples of each combination's tight places: spots, combination, distance."""
    parts, combo, value = [], [], []
    band = view.band[solids.row[which]]
    for one in np.unique(band):
        rows = np.flatnonzero(band == one)
        for all_seen in (view.fronts[int(one)], view.near):
            any_tight: Flags = np.asarray(tight[rows].any(axis=0), bool)
            used = np.flatnonzero(any_tight[all_seen.spots.which])
            if not len(used):
                continue
            seen = all_seen.at(used)
            gap = _distance(solids, which[rows], seen.axial, seen.radius)
            for feature in np.unique(seen.spots.which):
                there = np.flatnonzero(seen.spots.which == feature)
                some = np.flatnonzero(tight[rows, feature])
                best = there[np.argmin(gap[np.ix_(some, there)], axis=1)]
                parts.append(seen.spots.at(best))
                combo.append(rows[some])
                value.append(gap[some, best])
    if not parts:
        none = Moments(np.zeros(0, int), np.zeros((0, 3)), np.zeros(0, int))
        return none, np.zeros(0, int), np.zeros(0)
    spots, which_combo, gaps = Moments.joined(parts), np.concatenate(combo), np.concatenate(value)
    least = np.full(tight.shape, np.inf)
    np.minimum.at(least, (which_combo, spots.which), gaps)
    keep = np.flatnonzero(gaps <= least[which_combo, spots.which] + NEAR_MM)
    return spots.at(keep), which_combo[keep], gaps[keep]


def _descend(
    room: Room, solids: Solids, samples: Samples, combo: Index, spots: Moments, value: Array
) -> tuple[Array, Array]:
    """Follow spots (k,) down to the nearest of their combinations, by halving steps."""
    feature, place, value = spots.which, spots.place.copy(), value.astype(float)
    step = samples.step[feature] / 2
    low, high = samples.low[feature], samples.high[feature]
    part_of_lock = room.envelope.steer_shares[spots.loaded]
    low[:, 0], high[:, 0] = low[:, 0] * part_of_lock, high[:, 0] * part_of_lock
    can_move = np.all((NEIGHBOURS == 0) | (step[:, None] > 0), axis=-1)
    scale, active = np.ones(len(value)), np.flatnonzero(can_move.sum(axis=1) > 1)
    arms = len(NEIGHBOURS)
    while len(active):
        trial = place[active, None] + scale[active, None, None] * step[active, None] * NEIGHBOURS
        trial = np.clip(trial, low[active, None], high[active, None])
        tried_spots = Moments(
            np.repeat(feature[active], arms),
            trial.reshape(-1, 3),
            np.repeat(spots.loaded[active], arms),
        )
        axial, radius = (seen.reshape(-1, arms) for seen in room.meridian(tried_spots))
        tried = _distance(solids, combo[active], axial, radius).astype(float)
        tried[~can_move[active]] = np.inf
        best = np.argmin(tried, axis=1)
        rows = np.arange(len(active))
        better = tried[rows, best] < value[active] - NEARER_MM
        best = np.where(better, best, CENTRE)
        place[active] = trial[rows, best]
        value[active] = np.where(better, tried[rows, best], value[active])
        scale[active] = np.where(better, scale[active], scale[active] / 2)
        active = active[(scale[active] > 4 * SMALLEST_STEP)]
    return place, value

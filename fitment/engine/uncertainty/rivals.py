"""Rival moments: those other than the tightest that could turn out to be the tightest.

The clearance that counts is the least over the whole envelope, and which pose has it depends on
what is uncertain: where bump and droop, two locks or two readings of an edge come near alike, the
least of several is smaller on average than any one of them. So every local minimum within three
standard uncertainties of the least is followed too, unless it has so much clearance that it cannot
touch. They are local minima of the grid, followed by coordinate search (standard method).
Millimetres, radians.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine import defaults
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.grid_seeds import local_minima
from fitment.engine.minimum.pattern_search import Hollows, clearance_at
from fitment.engine.minimum.room import FeatureSweep, Moments, Room
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import LINK, TEMPLATE, Feature
from fitment.engine.solid.section import COARSE_ERROR_MM, Section

#: Minima so many standard uncertainties above the least are looked at.
SIGMAS = 3.0
#: A clearance of more standard uncertainties than this touches in one of two thousand cars: what is
#: roomier adds nothing to a chance that is good to 0.002. One as deep in overlap touches anyway.
SURELY = 3.3
#: What wheel and tyre usually put into a clearance's uncertainty, mm: for a first guess of how far
#: to look.
SOLID_MM = 3.0
#: The way down ends after so many rounds, or once its steps are this part of a grid's half cell and
#: gain less than this.
ROUNDS, SHORTEST, GAIN_MM = 14, 0.1, 0.02
#: Minima of one feature nearer to one another than this are one: parts of the span of steer, of the
#: envelope's height, and points of a feature.
APART = np.array([0.05, 0.1, 0.2])
#: Most minima of one feature that are followed, the tightest of them. Beyond so many the next adds
#: no more to the chance of touching than the differences between them are known.
MOST = 24


def rivals(setting: Setting, section: Section, coarse: Section, found: Closest) -> Closest:
    """Further minima of all features; ``coarse`` is the rough twin of ``section``."""
    room = setting.room
    sigma = _rough_sigma(setting, section, found)
    reach = np.minimum(found.clearance_mm + SIGMAS * sigma, SURELY * sigma)
    doubtful = np.flatnonzero(np.abs(found.clearance_mm) < SURELY * sigma)
    starts = [
        start
        for index, gaps in _gaps(room, coarse, reach, doubtful)
        for start in _starts(room, index, gaps, found, reach[index])
    ]
    if not starts:
        return Closest(np.zeros(0), found.spots.at(doubtful[:0]))
    hollows = Hollows.joined(starts)
    place, value = _down(room, section, hollows)
    spots = Moments(hollows.spots.which, place, hollows.spots.loaded)
    kept = _apart(room, found, spots, value, reach)
    return Closest(value[kept], spots.at(kept))


def _rough_sigma(setting: Setting, section: Section, found: Closest) -> Array:
    """Standard uncertainty (n,) of every spot, roughly: as much as says how far to look."""
    room, spots, envelope = setting.room, found.spots, setting.envelope
    features = [course.feature for course in room.courses]
    read = np.array([_reading_sigma(feature) for feature in features])
    steps = np.array([[0.0, 0.05, 0.0], [0.0, -0.05, 0.0], [0.01, 0.0, 0.0], [-0.01, 0.0, 0.0]])
    place = spots.place[:, None] + steps
    low, high = envelope.steer_span
    place[..., 0] = np.clip(place[..., 0], low, high)
    place[..., 1] = np.clip(place[..., 1], 0.0, 1.0)
    gaps = clearance_at(room, section, Moments.of_places(spots.which, place, spots.loaded))
    gaps = gaps.reshape(-1, 4)
    still = np.zeros(len(spots.which))
    span = envelope.travel(spots.steer, still + 1.0, spots.loaded)
    span = span - envelope.travel(spots.steer, still, spots.loaded)
    rise = (place[:, 0, 1] - place[:, 1, 1]) * np.maximum(span, 1.0)
    turned = place[:, 2, 0] - place[:, 3, 0]
    by_height = (gaps[:, 0] - gaps[:, 1]) / np.where(rise > 0, rise, np.inf)
    by_steer = (gaps[:, 2] - gaps[:, 3]) / np.where(turned > 0, turned, np.inf)
    parts = (
        read,
        np.full(len(read), defaults.BODY_SPREAD_MM),
        np.full(len(read), SOLID_MM),
        by_height * defaults.BUMP_LIMIT.value,
        by_steer * np.radians(defaults.STEER_LIMIT.value),
    )
    return np.asarray(np.sqrt(sum(part**2 for part in parts)), float)


def _reading_sigma(feature: Feature) -> float:
    return defaults.FEATURE.value if feature.sigma_mm is None else feature.sigma_mm


def _gaps(
    room: Room, coarse: Section, reach: Array, features: Index
) -> Iterator[tuple[int, Array]]:
    """Clearances (kinds, steer, height, sample) of features on their grids; infinite if beyond
    reach."""
    if not len(features):
        return
    low, high, top = coarse.box
    limit = np.maximum(reach + room.half_thickness_mm + COARSE_ERROR_MM, 0.0)
    shapes, near, seen = [], [], []
    for index in features:
        axial, radius = room.sweeps[index].axial_mm, room.sweeps[index].radius_mm
        beside = np.maximum(np.maximum(low - axial, axial - high), 0.0)
        above = np.maximum(radius - top, 0.0)
        pick = np.flatnonzero(beside * beside + above * above <= limit[index] ** 2)
        shapes.append(axial.shape)
        near.append(pick)
        seen.append((axial.ravel()[pick], radius.ravel()[pick]))
    gaps = coarse.distance(*(np.concatenate(part) for part in zip(*seen, strict=True)))
    ends = np.cumsum([len(pick) for pick in near])
    for index, shape, pick, end in zip(features, shapes, near, ends, strict=True):
        grid = np.full(shape, np.inf)
        mine = gaps[end - len(pick) : end]
        grid.ravel()[pick] = np.where(mine <= limit[index], mine, np.inf)
        yield int(index), grid


def _starts(
    room: Room, index: int, gaps: Array, found: Closest, reach_mm: float
) -> Iterator[Hollows]:
    """Where to begin: grid points that no neighbour undercuts, and the readings of an edge."""
    sweep = room.sweeps[index]
    ticks, edge = _ticks(sweep), sweep.is_edge
    own = _cell(ticks, found.spots.place[index], int(found.spots.loaded[index]))
    low = np.isfinite(gaps) & local_minima(gaps, edges=edge)
    picked = np.argwhere(low)
    beside = np.all(np.abs(picked - own) <= [0, 1, 1, 1 if edge else 0], axis=1)
    picked = picked[~beside]
    picked = picked[np.argsort(gaps[tuple(picked.T)], kind="stable")[:MOST]]
    if len(picked):
        yield _hollows(index, ticks, picked, along=edge)
    if not edge:
        return
    readings = _readings(room, index, gaps, float(found.clearance_mm[index]), reach_mm)
    if len(readings):
        yield _hollows(index, ticks, readings, along=False)


def _readings(room: Room, index: int, gaps: Array, least_mm: float, reach_mm: float) -> Index:
    """Grid points (k, 4) at which readings of an edge, each with its own error, are tightest."""
    feature, sweep = room.courses[index].feature, room.sweeps[index]
    if feature.read == TEMPLATE or feature.carried_by == LINK:
        return np.zeros((0, 4), np.intp)
    overtakes = SIGMAS * np.sqrt(2.0) * _reading_sigma(feature)
    limit = min(reach_mm, least_mm + overtakes) + room.half_thickness_mm[index]
    knots = np.flatnonzero(np.abs(sweep.along - np.round(sweep.along)) < 1e-9)
    at = gaps[..., knots].reshape(-1, len(knots))
    best = np.argmin(at, axis=0)
    near = np.flatnonzero(at[best, np.arange(len(knots))] <= limit)
    near = near[np.argsort(at[best[near], near], kind="stable")[:MOST]]
    return np.stack([*np.unravel_index(best[near], gaps.shape[:3]), knots[near]], axis=-1)


def _ticks(sweep: FeatureSweep) -> list[Array]:
    """Steer (kinds, steers), rad, share of height and place along the feature of its samples."""
    return [sweep.steer, sweep.share, sweep.along]


def _cell(ticks: list[Array], place: Array, loaded: int) -> Array:
    """The grid point (4,) that is nearest to a place."""
    mine = [ticks[0][loaded], *ticks[1:]]
    nearest = [int(np.argmin(np.abs(tick - at))) for tick, at in zip(mine, place, strict=True)]
    return np.array([loaded, *nearest])


def _hollows(index: int, ticks: list[Array], picked: Index, *, along: bool) -> Hollows:
    kind = picked[:, 0]
    mine = [ticks[0][kind], *(np.tile(tick, (len(kind), 1)) for tick in ticks[1:])]
    rows = np.arange(len(kind))
    place = np.stack([tick[rows, at] for tick, at in zip(mine, picked[:, 1:].T, strict=True)], -1)
    step = np.stack([np.diff(tick).max(axis=1, initial=0.0) / 2 for tick in mine], axis=-1)
    if not along:
        step[:, 2] = 0.0
    low, high = (np.stack([tick[:, end] for tick in mine], axis=-1) for end in (0, -1))
    return Hollows(Moments(np.full(len(picked), index), place, kind), step, low, high)


def _down(room: Room, section: Section, start: Hollows) -> tuple[Array, Array]:
    """Nearby minima, places (n, 3) and clearances (n,), within some tenths of a millimetre.

    By steps along one coordinate at a time, halved where none gains.
    """
    place, step = start.spots.place.copy(), start.step.copy()
    which, loaded = start.spots.which, start.spots.loaded
    value = clearance_at(room, section, start.spots)
    active = np.arange(len(value))
    for _ in range(ROUNDS):
        ways = step[active, None] * np.concatenate([np.eye(3), -np.eye(3)])
        tried = np.clip(
            place[active, None] + ways, start.low[active, None], start.high[active, None]
        )
        gaps = clearance_at(room, section, Moments.of_places(which[active], tried, loaded[active]))
        gaps = gaps.reshape(-1, len(tried[0]))
        best, rows = np.argmin(gaps, axis=1), np.arange(len(active))
        gains = gaps[rows, best] < value[active] - GAIN_MM
        moved = active[gains]
        place[moved], value[moved] = tried[rows, best][gains], gaps[rows, best][gains]
        step[active[~gains]] /= 2
        active = active[(step[active] > SHORTEST * start.step[active]).any(axis=1)]
        if not len(active):
            break
    return place, value


def _apart(room: Room, found: Closest, spots: Moments, value: Array, reach: Array) -> Index:
    """Which minima are within reach and not one with a tighter one or with the tightest."""
    span = room.envelope.steer_span
    size = APART * [max(span[1] - span[0], 1e-9), 1.0, 1.0]
    kept: list[int] = []
    for row in np.argsort(value, kind="stable"):
        index = spots.which[row]
        if value[row] > reach[index]:
            continue
        others = [found.spots.place[index]] if _same_load(found.spots, index, spots, row) else []
        others += [spots.place[k] for k in kept if _same_load(spots, k, spots, row)]
        if all(np.any(np.abs(spots.place[row] - other) > size) for other in others):
            kept.append(int(row))
    return np.array(kept, np.intp)


def _same_load(first: Moments, one: int, second: Moments, other: int) -> bool:
    """Whether two spots are of one feature under one load."""
    same = first.which[one] == second.which[other]
    return bool(same and first.loaded[one] == second.loaded[other])

"""The margin that a duty asks of every spot, and what the tyre's own give adds to it.

Under side load the tread near the ground goes sideways against the rim, which is no pose of the
suspension: what the body carries, or a rod, has to stand off by so much more there. That holds in
poses under load only. A spot may be tightest without load and still come too near with it, so its
least clearance under load is looked for too, and the margin at the spot's least clearance is the
one with which both are met. Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.minimum.feature_curves import Course
from fitment.engine.minimum.pattern_search import Hollows, clearance_at, down
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import BODY, HARD, LINK, OUTSIDE, Feature
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.moments import LinearMoments

#: Places of a grid from which the least clearance under load is followed down.
STARTS = 3
#: Halvings of the way down to where it leaves the ground's part of the tyre.
HALVINGS = 12
#: What a grid's least clearance may still be above the least, mm.
BETWEEN_MM = 8.0
#: By so much the place of a feature about the wheel changes at most with travel and steering.
SWAYS_DEG = 25.0
#: Less than this is not worth a word, mm.
NAMED_MM = 0.05


@dataclass(frozen=True)
class Margins:
    """The margin (n,) that each spot needs, and how much of it (n,) the tyre's give makes."""

    needed_mm: Array
    give_mm: Array

    def notes(self, setting: Setting) -> tuple[Message, ...]:
        """What the tyre's give added, spot by spot."""
        stated = _stated_per_g(setting)
        code = "note.tyre-gives" if stated is not None else "note.tyre-gives-assumed"
        per_g = defaults.TYRE_SIDE_MM_PER_G if stated is None else stated
        names = [course.feature.place for course in setting.room.courses]
        return tuple(
            message(code, spot=name, added_mm=float(more), gives_mm=per_g, g=setting.duty.lateral_g)
            for name, more in zip(names, self.give_mm, strict=True)
            if more >= NAMED_MM
        )


def margins(setting: Setting, section: Section, moments: LinearMoments) -> Margins:
    """Margins of all spots, whose tightest moments are the first of ``moments``."""
    room = setting.room
    needed = np.array([_plain(setting, course.feature) for course in room.courses])
    kind, stated = room.envelope.kind_of(OUTSIDE), _stated_per_g(setting)
    give = (defaults.TYRE_SIDE_MM_PER_G if stated is None else stated) * setting.duty.lateral_g
    if kind is None or give <= 0.0:
        return Margins(needed, np.zeros(len(needed)))
    least = moments.clearance_mm[: len(needed)]
    added = np.zeros(len(needed))
    for index, course in enumerate(room.courses):
        if course.feature.carried_by not in (BODY, LINK):
            continue
        spots = moments.spots.at(np.array([index]))
        if spots.loaded[0] == kind and _near_ground(room, section, spots)[0]:
            added[index] = give
        elif _is_low(course):
            under = _least_under_load(room, section, index, kind, float(least[index]) + give)
            added[index] = max(0.0, give - (under - float(least[index])))
    return Margins(needed + added, added)


def _is_low(course: Course) -> bool:
    """Whether any of a feature is near the ground, or comes there in some pose."""
    along = course.samples()
    x, _, z = course.at(along).T
    return bool(np.any(np.degrees(np.arctan2(np.abs(x), -z)) <= defaults.TYRE_SIDE_DEG + SWAYS_DEG))


def _plain(setting: Setting, feature: Feature) -> float:
    """The margin that the duty asks of a feature, mm."""
    duty = setting.duty
    return duty.needed_hard_mm if feature.surface == HARD else duty.needed_soft_mm


def _stated_per_g(setting: Setting) -> float | None:
    compliance = setting.corner.compliance
    return None if compliance is None else compliance.tyre_side_mm_per_g


def _near_ground(room: Room, section: Section, spots: Moments) -> Flags:
    """Which spots (n,) are nearest to the tyre, within TYRE_SIDE_DEG of straight down."""
    points, hub, spin = room.seen(spots)
    _, on_tyre = section.nearest(*frames.meridian(points, hub, spin))
    up, forward = frames.wheel_axes(spin)
    away = points - hub
    ahead, above = np.sum(away * forward, axis=1), np.sum(away * up, axis=1)
    low = np.degrees(np.arctan2(np.abs(ahead), -above)) <= defaults.TYRE_SIDE_DEG
    return np.asarray(on_tyre & low, bool)


def _least_under_load(
    room: Room, section: Section, index: int, kind: int, reach_mm: float
) -> float:
    """The least clearance of a feature in poses under load where it is near the ground.

    Infinite where it is nowhere within ``reach_mm``. Followed down from the lowest places of the
    grid that are near the ground; where the way down leaves that part of the tyre, the last place
    within it counts.
    """
    sweep, half = room.sweeps[index], float(room.half_thickness_mm[index])
    axial, radius = sweep.axial_mm[kind], sweep.radius_mm[kind]
    low, high, top = section.box
    beside = np.maximum(np.maximum(low - axial, axial - high), 0.0)
    apart = np.hypot(beside, np.maximum(radius - top, 0.0)) - half
    near = np.argwhere(apart <= reach_mm + BETWEEN_MM)
    ticks = (sweep.steer[kind], sweep.share, sweep.along)
    place = np.stack([tick[at] for tick, at in zip(ticks, near.T, strict=True)], axis=-1)
    place = place[_near_ground(room, section, _moments(index, place, kind))]
    if not len(place):
        return np.inf
    gaps = clearance_at(room, section, _moments(index, place, kind))
    first = np.argsort(gaps, kind="stable")[:STARTS]
    place, gaps = place[first], gaps[first]
    step = np.array([np.diff(tick).max(initial=0.0) / 2 for tick in ticks])
    step[2] *= sweep.is_edge
    count = len(place)
    bounds = (np.tile([tick[end] for tick in ticks], (count, 1)) for end in (0, -1))
    starts = _moments(index, place, kind)
    lowest, _ = down(room, section, Hollows(starts, np.tile(step, (count, 1)), *bounds))
    kept = _moments(index, _last_near_ground(room, section, starts, lowest), kind)
    least = float(min(gaps[0], np.min(clearance_at(room, section, kept))))
    return least if least <= reach_mm else np.inf


def _moments(index: int, place: Array, kind: int) -> Moments:
    """Moments (n,) of one feature at places (n, 3) under one load."""
    return Moments(np.full(len(place), index), place, np.full(len(place), kind))


def _last_near_ground(room: Room, section: Section, starts: Moments, ends: Array) -> Array:
    """Places (n, 3) on the straight way from starts near the ground to ends (n, 3): the end where
    it is near the ground too, else the last that is, by bisection."""
    near, far = starts.place.copy(), ends.copy()
    inside = _near_ground(room, section, Moments(starts.which, far, starts.loaded))
    near[inside] = far[inside]
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        inside = _near_ground(room, section, Moments(starts.which, middle, starts.loaded))
        near[inside], far[~inside] = middle[inside], middle[~inside]
    return near

"""The first check of a survey: the wheel on the car it was read on, which is known to clear.

That wheel stands in the arch and is turned to both locks while the corner is read, and touches
nothing. So a spot that it would touch there contradicts what was read. Clearances are those of
:mod:`fitment.engine.minimum`, standing and at steering angles up to both locks, at samples of
every edge. Millimetres; degrees in messages.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.hubmap import SolvedHub, with_rods
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned
from alignment.geometry.motion import HubPoses, Motion, Settled
from common.message import Message, message
from fitment.engine import checkfile
from fitment.engine.checkfile import Measured
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.room import Moments, Room, rods_carrying
from fitment.engine.minimum.setting import courses_of, envelope_for, motion_for, strut_turn
from fitment.engine.model import Corner
from fitment.engine.solid.section import Section, section_of
from fitment.engine.survey.next_reading import STILL
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import STANDING
from fitment.engine.survey.sheet_survey import document_of
from fitment.engine.survey.surveying import BadReading

#: Steering angles looked at from lock to lock, and samples of an edge between two of its points.
STEERS, SAMPLES = 9, 24
#: What touches by no more than sampling may miss is no contradiction, mm.
TOUCHES_MM = 0.05


@dataclass(frozen=True)
class Nearest:
    """The least clearance of a spot to the wheel on the car, and the steering angle there."""

    gap_mm: float
    steer_deg: float

    @property
    def touches(self) -> bool:
        return self.gap_mm < -TOUCHES_MM

    @property
    def pose(self) -> Message:
        """In words: standing, or at which steering angle."""
        if abs(self.steer_deg) < 0.5:
            return message("stood.standing")
        side = "in" if self.steer_deg > 0 else "out"
        return message(f"own-wheel.steered-{side}", steer_deg=abs(self.steer_deg))


def clearances(
    sheet: Sheet, base: Mapping[str, Any] | None, at: tuple[str, float] | None = None
) -> dict[str, Nearest]:
    """The least clearance of every spot of the survey so far to the wheel on the car.

    ``at`` asks for one spot at one steering angle (degrees) alone. Empty where the wheel was not
    read, or where the readings are no survey yet. Spots inside the rim are left out: its spokes
    and barrel were not read.
    """
    try:
        fitted, document = sheet.fitted, document_of(sheet, base)
        measured = checkfile.parse_corner_survey(document)
    except (BadReading, checkfile.BadCheckFile):
        return {}
    if fitted is None:
        return {}
    wheel, tyre = fitted
    survey = measured.survey
    corner = Corner(
        survey, measured.suspension, measured.limits, Planned(survey.toe_deg), wheel, tyre
    )
    try:
        return _nearest(sheet, corner, section_of(wheel, tyre), at)
    except (Unreachable, RestsOnStops):
        return {}


def touching(sheet: Sheet, base: Mapping[str, Any] | None) -> dict[str, Nearest]:
    """Spots that the wheel on the car would touch, the deepest overlap first."""
    found = {spot: at for spot, at in clearances(sheet, base).items() if at.touches}
    return dict(sorted(found.items(), key=lambda pair: pair[1].gap_mm))


def _nearest(
    sheet: Sheet, corner: Corner, section: Section, at: tuple[str, float] | None
) -> dict[str, Nearest]:
    """Raises Unreachable or RestsOnStops where the corner cannot stand as it was surveyed."""
    motion = motion_for(corner)
    settled = motion.settle([corner.planned])
    room = _room(corner, motion, settled)
    wanted = [
        index for index, one in enumerate(room.courses) if at is None or one.feature.place == at[0]
    ]
    if not wanted:
        return {}
    spots = _samples(room, wanted)
    least = np.full(len(room.courses), np.inf)
    steered = np.zeros(len(room.courses))
    steers = _steers(corner) if at is None else np.radians([at[1]])
    for steer, poses in _poses(sheet.travel_mm(STANDING), steers, motion, settled, room):
        many = poses.at(np.zeros(len(spots.which), np.intp))
        axial, radius = frames.meridian(*room.seen_in(spots, many))
        gaps = section.distance(axial, radius) - room.half_thickness_mm[spots.which]
        gaps = np.where(section.is_inside_wheel(axial, radius), np.inf, gaps)
        for index in wanted:
            here = float(np.min(gaps[spots.which == index], initial=np.inf))
            if here < least[index] - 1e-6:
                least[index], steered[index] = here, np.degrees(steer)
    return {
        course.feature.place: Nearest(float(gap), float(steer))
        for course, gap, steer in zip(room.courses, least, steered, strict=True)
        if np.isfinite(gap)
    }


def _room(corner: Corner, motion: Motion, settled: Settled) -> Room:
    courses = courses_of(corner, motion)
    rods = tuple(corner.suspension.rod_names.index(name) for name in rods_carrying(courses))
    envelope = envelope_for(corner, STILL, static_travel=0.0)
    hubs = SolvedHub(motion, settled, (), rods)
    return Room(
        "own wheel", courses, envelope, hubs, motion.spin, strut_turn(corner, settled), rods
    )


def _samples(room: Room, wanted: Sequence[int]) -> Moments:
    which: list[Array] = []
    along: list[Array] = []
    for index in wanted:
        course = room.courses[index]
        last = len(course.knots) - 1
        count = SAMPLES * last + 1 if course.is_edge else last + 1
        along.append(np.linspace(0.0, last, count))
        which.append(np.full(count, index))
    flat = np.concatenate(along)
    place = np.stack([np.zeros(len(flat)), np.zeros(len(flat)), flat], axis=-1)
    return Moments(np.concatenate(which), place, np.zeros(len(flat), np.intp))


def _steers(corner: Corner) -> Array:
    """Straight ahead first, then from lock to lock, in radians."""
    limits = corner.limits
    locks = np.linspace(-limits.steer_out_deg, limits.steer_in_deg, STEERS)
    return np.radians([0.0, *(lock for lock in locks if lock)])


def _poses(
    travel: float, every: Array, motion: Motion, settled: Settled, room: Room
) -> Iterator[tuple[float, HubPoses]]:
    """Poses at steers, the first of which must be reached; others are left out if they are not."""
    try:
        turned = _turned(motion, settled, every, travel)
        for index, steer in enumerate(every):
            yield float(steer), with_rods(turned.at(np.array([index])), room.rods)
    except Unreachable:
        yield float(every[0]), with_rods(_turned(motion, settled, every[:1], travel), room.rods)
        for steer in every[1:]:
            try:
                alone = _turned(motion, settled, np.array([steer]), travel)
            except Unreachable:
                continue
            yield float(steer), with_rods(alone, room.rods)


def _turned(motion: Motion, settled: Settled, steer: Array, travel: float) -> HubPoses:
    """Poses (n,) at steers (n,) in radians, all at one travel. Raises Unreachable."""
    steered = motion.steered(settled, np.zeros(len(steer), np.intp), steer)
    every = np.arange(len(steer))
    return motion.travelled(settled, steered, every, np.full(len(steer), travel))


def is_known(sheet: Sheet, measured: Measured | None) -> bool:
    """Whether the wheel on the car was read, so that a survey can be held against it."""
    try:
        return measured is not None and sheet.fitted is not None
    except BadReading:
        return False

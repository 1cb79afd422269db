"""Correction by this very car.

A gap read with the wheel that is on the car, less what the model gives there, is the error of
body and joints at that place; it shifts the model's clearance of the new wheel, whose
uncertainty then no longer holds the survey's. Millimetres, degrees.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from fitment.engine import defaults
from fitment.engine.minimum.rolled_lips import is_rolled
from fitment.engine.minimum.room import Room, Spots
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import Corner, DoubtPart, Duty, GapReading, PoseAt, Present
from fitment.engine.solid.section import Section, section_of
from fitment.engine.uncertainty.budget import Uncertainty

#: A reading speaks for the tightest moment if taken this near to it: mm of travel, degrees.
NEAR_TRAVEL_MM, NEAR_STEER_DEG = 20.0, 10.0
#: Samples along a piece of an edge when a gap is predicted, and passes that narrow them down.
SAMPLES, PASSES = 61, 3
#: A difference is explained up to so many of its standard uncertainties.
EXPLAINED_SIGMAS = 2.0
#: How well hub-to-lip heights tell the pose in which a gap was read, mm.
HEIGHT_READ_MM = 2.0
#: Parts of a doubt that cancel when this car's own gap corrects the model.
SURVEY_SOURCES = ("survey radius", "survey axial")


@dataclass(frozen=True)
class Shift:
    """What this car's readings say of one place: model error to add, sigma, where it was read."""

    feature: int
    by_mm: float
    sigma_mm: float
    at: tuple[PoseAt, ...]

    def speaks_for(self, moment: PoseAt) -> bool:
        """Whether any of its readings was taken near ``moment``."""
        return any(
            abs(pose.travel_mm - moment.travel_mm) <= NEAR_TRAVEL_MM
            and abs(pose.steer_deg - moment.steer_deg) <= NEAR_STEER_DEG
            for pose in self.at
        )


def shifts(corner: Corner, duty: Duty) -> dict[int, Shift]:
    """Shifts by feature index, from the gaps read with the present wheel; empty without any."""
    if corner.present is None or not corner.present.gaps:
        return {}
    present = corner.present
    setting = present_setting(corner, present, duty)
    places = [feature.place for feature in corner.survey.features]
    found: dict[int, list[tuple[GapReading, float]]] = {}
    for reading in present.gaps:
        index = places.index(reading.place)
        found.setdefault(index, []).append((reading, predicted_gap(setting, index, reading)))
    return {index: _believed(corner, present, _shift(index, rows)) for index, rows in found.items()}


def _believed(corner: Corner, present: Present, shift: Shift) -> Shift:
    """The shift as far as it still holds once a lip is rolled.

    Room that was read at a lip may have been read after it was rolled, and is not counted twice;
    room that was missing there is missing still.
    """
    rolled = is_rolled(corner.survey.features[shift.feature], corner.planned)
    if not rolled or present.planned.rolled_lips:
        return shift
    return replace(shift, by_mm=min(shift.by_mm, 0.0))


def present_setting(corner: Corner, present: Present, duty: Duty) -> Setting:
    """The corner as the car stands there now. Raises as ``setting_of`` does."""
    as_it_is = replace(
        corner, planned=present.planned, wheel=present.wheel, tyre=present.tyre, present=None
    )
    return setting_of("present", as_it_is, duty)


@dataclass(frozen=True)
class Expectation:
    """What the model says of a gap before it is read, and how far off a reading may honestly be."""

    gap_mm: float
    parts: tuple[DoubtPart, ...]

    @property
    def sigma_mm(self) -> float:
        """Standard uncertainty of the difference between reading and model."""
        return float(np.sqrt(sum(part.mm**2 for part in self.parts)))

    def explains(self, read_mm: float) -> bool:
        """Whether a reading is as near as its doubt lets one expect."""
        return is_explained(read_mm - self.gap_mm, self.sigma_mm)


def is_explained(off_mm: float, sigma_mm: float) -> bool:
    """Whether a difference between reading and model lies within twice its doubt."""
    return abs(off_mm) <= EXPLAINED_SIGMAS * sigma_mm


def predicted_gap(setting: Setting, index: int, reading: GapReading) -> float:
    """The model's gap (mm) at a place in the pose of a reading, with the setting's own wheel."""
    return _predicted(setting, index, reading)[0]


def expected_gap(
    setting: Setting, index: int, reading: GapReading, *, other_car: bool
) -> Expectation:
    """The model's gap with what it is uncertain by: survey, pose, tyre, the wedge itself.

    ``other_car``: the survey was measured on another car of the pattern. First order, by what each
    input changes at the spot that is nearest.
    """
    section = section_of(setting.corner.wheel, setting.corner.tyre)
    gap, along = _predicted(setting, index, reading)
    steer = float(np.radians(reading.steer_deg))
    travel = setting.envelope.static_travel + reading.travel_mm
    stated = setting.room.courses[index].feature.sigma_mm
    survey = defaults.FEATURE.value if stated is None else stated

    def seen(angle: float, height: float, radius: float = 0.0, axial: float = 0.0) -> float:
        at, shift = np.array([along]), (radius, axial)
        return float(_gaps(setting.room, section, index, at, angle, height, shift)[0])

    def within(span: tuple[float, float], value: float, step: float) -> tuple[float, float]:
        """A step to both sides, as far as the poses of the envelope go."""
        return max(span[0], value - step), min(span[1], value + step)

    low, high = within(setting.envelope.travel_span, travel, 1.0)
    by_height = (seen(steer, high) - seen(steer, low)) / (high - low) if high > low else 0.0
    by_radius = (seen(steer, travel, 1.0) - seen(steer, travel, -1.0)) / 2
    by_axial = (seen(steer, travel, 0.0, 1.0) - seen(steer, travel, 0.0, -1.0)) / 2
    parts = [
        DoubtPart("survey radius", abs(by_radius) * survey),
        DoubtPart("survey axial", abs(by_axial) * survey),
        DoubtPart("height as read", abs(by_height) * HEIGHT_READ_MM),
        DoubtPart("present tyre", defaults.PRESENT_TYRE_MM),
        DoubtPart("gap reading", defaults.GAP_READING.value),
    ]
    if reading.steer_deg:
        low, high = within(setting.envelope.steer_span, steer, 1e-2)
        turned = (seen(high, travel) - seen(low, travel)) / (high - low) if high > low else 0.0
        plate = abs(turned) * np.radians(defaults.STEER_LIMIT.value)
        parts.append(DoubtPart("steering lock", float(plate)))
    if other_car:
        parts.append(DoubtPart("from car to car", defaults.CAR_TO_CAR_MM))
    return Expectation(gap, tuple(parts))


def _predicted(setting: Setting, index: int, reading: GapReading) -> tuple[float, float]:
    """The gap (mm) and the place along the feature where it is."""
    section = section_of(setting.corner.wheel, setting.corner.tyre)
    steer = float(np.radians(reading.steer_deg))
    travel = setting.envelope.static_travel + reading.travel_mm
    along = setting.room.courses[index].samples()
    if not setting.room.courses[index].is_edge:
        gaps = _gaps(setting.room, section, index, along, steer, travel)
        return float(gaps.min()), float(along[int(np.argmin(gaps))])
    low, high = along[0], along[-1]
    gaps = np.empty(0)
    for _ in range(PASSES):
        along = np.linspace(low, high, SAMPLES * max(1, int(np.ceil(high - low))))
        gaps = _gaps(setting.room, section, index, along, steer, travel)
        best, step = along[int(np.argmin(gaps))], along[1] - along[0]
        low, high = max(along[0], best - step), min(along[-1], best + step)
    return float(gaps.min()), float(along[int(np.argmin(gaps))])


def _gaps(
    room: Room,
    section: Section,
    index: int,
    along: Array,
    steer: float,
    travel: float,
    shift: tuple[float, float] = (0.0, 0.0),
) -> Array:
    """Clearance (n,) of spots along one feature in one pose, of the envelope or not.

    ``shift`` moves the spots by so much of radius and axial, as they were read about the hub.
    """
    count = len(along)
    place = np.stack([np.full(count, steer), np.zeros(count), along], axis=-1)
    spots = Spots(np.full(count, index), place, np.zeros(count, bool))
    poses = room.hubs(np.full(count, travel), np.full(count, steer))
    points, hub, spin = room.seen_in(spots, poses)
    if any(shift):
        course = room.courses[index]
        read_hub, read_spin = (course.hub, course.spin) if course.polar else (0.0, room.rest_spin)
        out = points - read_hub
        out = out - (out @ read_spin)[:, None] * read_spin
        out = out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-9)
        points = points + shift[0] * out + shift[1] * read_spin
    gap: Array = (
        section.distance(*frames.meridian(points, hub, spin)) - room.half_thickness_mm[index]
    )
    return gap


def _shift(index: int, rows: list[tuple[GapReading, float]]) -> Shift:
    """Readings of one place as one shift, weighed by their precision."""
    sigma = np.array([_sigma(reading) for reading, _ in rows])
    error = np.array([reading.gap_mm - model for reading, model in rows])
    weight = sigma**-2
    by = float(np.sum(weight * error) / np.sum(weight))
    poses = tuple(PoseAt(reading.travel_mm, reading.steer_deg, False) for reading, _ in rows)
    return Shift(index, by, float(np.sum(weight) ** -0.5), poses)


def _sigma(reading: GapReading) -> float:
    """Standard uncertainty of one reading, the present tyre's own section included."""
    stated = defaults.GAP_READING.value if reading.sigma_mm is None else reading.sigma_mm
    return float(np.hypot(stated, defaults.PRESENT_TYRE_MM))


def corrected(uncertainty: Uncertainty, shift: Shift) -> Uncertainty:
    """Doubt of a shifted place: what the survey put in has cancelled, the reading's own is in."""
    kept = [part for part in uncertainty.parts[shift.feature] if part.source not in SURVEY_SOURCES]
    parts = list(uncertainty.parts)
    parts[shift.feature] = (*kept, DoubtPart("gap reading", shift.sigma_mm))
    return replace(uncertainty, parts=tuple(parts))

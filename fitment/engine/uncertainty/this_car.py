"""This car's gaps: clearances corrected by what was read on the car itself.

A gap read with the wheel that is on the car, less what the model gives there, tells the error of
survey and body at that spot. It is not taken whole: the reading has errors of its own (wedge,
height, turn plate, the present tyre), and what is known beforehand of survey and cars is weighed
against it: the conditional mean and variance of a joint normal distribution (standard method). The
spot's clearance with the new wheel shifts by the mean of what both leave, and its uncertainty no
longer holds the survey's. Millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.hubmap import with_rods
from alignment.geometry.linkage import Unreachable
from alignment.geometry.motion import HubPoses
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.pattern_search import clearance_at
from fitment.engine.minimum.rolled_lips import is_rolled
from fitment.engine.minimum.room import Moments
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import (
    FROM_CAR_TO_CAR,
    Corner,
    Duty,
    GapReading,
    PoseAt,
    Present,
    UncertaintyPart,
)
from fitment.engine.solid.section import Section, section_of
from fitment.engine.uncertainty.budget import (
    Budget,
    between_cars_mm,
    budget_of,
    of_spot,
)
from fitment.engine.uncertainty.inputs import BETWEEN_CARS, SURVEY, Ledger, shares
from fitment.engine.uncertainty.moments import moments_of
from fitment.engine.uncertainty.survey_inputs import feature_inputs, joints_at

#: A reading counts for the tightest moment if taken this near to it: mm of travel, degrees.
NEAR_TRAVEL_MM, NEAR_STEER_DEG = 20.0, 10.0
#: Samples along a piece of an edge when a gap is predicted, and passes that narrow them down.
SAMPLES, PASSES = 61, 3
#: A difference is explained up to so many of its standard uncertainties.
EXPLAINED_SIGMAS = 2.0
#: How well hub-to-lip heights tell the pose in which a gap was read, mm.
HEIGHT_READ_MM = 2.0
#: Spreads between cars over which a reading is weighed: how many, and how far out in sigmas.
SPREADS, SPREADS_WIDE = 81, 5.0
#: What the share of a gap that was read on this car is called.
GAP_READING = "gap reading"


@dataclass(frozen=True)
class Shift:
    """What this car's gaps say of one spot: by how much the model errs there, ± sigma, and where
    they were read."""

    by_mm: float
    sigma_mm: float
    at: tuple[PoseAt, ...]

    def speaks_for(self, moment: PoseAt) -> bool:
        """Whether any of them was taken near ``moment``."""
        return any(
            abs(pose.travel_mm - moment.travel_mm) <= NEAR_TRAVEL_MM
            and abs(pose.steer_deg - moment.steer_deg) <= NEAR_STEER_DEG
            for pose in self.at
        )


def shifts(corner: Corner, duty: Duty) -> tuple[dict[int, Shift], tuple[Message, ...]]:
    """Shifts by feature index from the gaps read with the present wheel; and what was left out.

    They do not hang on the wheel that is to come. A gap in a pose that the duty does not visit with
    the present setting, or that the suspension cannot take, is left out.
    """
    if corner.present is None or not corner.present.gaps:
        return {}, ()
    try:
        setting = present_setting(corner, corner.present, duty)
    except (Unreachable, RestsOnStops) as error:
        return {}, (message("note.gaps-not-settled", why=error.message),)
    spots = [feature.place for feature in corner.survey.features]
    found: dict[int, list[tuple[GapReading, Expectation]]] = {}
    left_out = []
    for reading in corner.present.gaps:
        index = spots.index(reading.place)
        if told := beyond_span(setting, reading):
            left_out.append(told)
            continue
        try:
            expected = expected_gap(setting, index, reading, other_car=False)
        except Unreachable as error:
            told = message(
                "note.gap-out-of-reach",
                spot=reading.place,
                travel_mm=reading.travel_mm,
                steer_deg=reading.steer_deg,
                why=error.message,
            )
            left_out.append(told)
            continue
        found.setdefault(index, []).append((reading, expected))
    return {index: _shift(corner, index, rows) for index, rows in found.items()}, tuple(left_out)


def beyond_span(setting: Setting, reading: GapReading) -> Message | None:
    """That a gap was read beyond the travel or the lock of a setting, which leaves it out; None for
    one inside. What lies less than a reading's own uncertainty beyond is taken to be at the end."""
    envelope = setting.envelope
    low, high = (end - envelope.static_travel for end in envelope.travel_span)
    out, inward = np.degrees(envelope.steer_span)
    far_up = max(low - reading.travel_mm, reading.travel_mm - high)
    far_round = max(out - reading.steer_deg, reading.steer_deg - inward)
    if far_up < HEIGHT_READ_MM and far_round < defaults.STEER_LIMIT.value:
        return None
    return message(
        "note.gap-beyond-span",
        spot=reading.place,
        travel_mm=reading.travel_mm,
        steer_deg=reading.steer_deg,
        low_mm=low,
        high_mm=high,
        out_deg=float(out),
        inward_deg=float(inward),
    )


def shift_of(corner: Corner, read_here: Mapping[int, Shift]) -> Array:
    """What earlier jobs and this car's gaps add (features,) to the model's clearances, mm."""
    learned = [feature.learned for feature in corner.survey.features]
    shift = np.array([one.shift_mm if one else 0.0 for one in learned])
    for index, read in read_here.items():
        shift[index] += read.by_mm
    return shift


def _shift(corner: Corner, index: int, rows: Sequence[tuple[GapReading, Expectation]]) -> Shift:
    feature = corner.survey.features[index]
    learned = feature.learned
    known = learned.shift_mm if learned else 0.0
    survey = np.sqrt(np.mean([expected.survey_sigma_mm**2 for _, expected in rows]))
    mean, sigma = error_on_this_car(
        np.array([reading.gap_mm - expected.gap_mm - known for reading, expected in rows]),
        np.array([expected.reading_sigma_mm for _, expected in rows]),
        learned.sigma_mm if learned else float(survey),
        learned.between_cars_mm if learned else between_cars_mm(feature),
    )
    poses = tuple(PoseAt(reading.travel_mm, reading.steer_deg) for reading, _ in rows)
    return Shift(_believed(corner, index, mean), sigma, poses)


def error_on_this_car(
    error_mm: Array, sigma_mm: Array, survey_mm: float, between_cars_mm: float
) -> tuple[float, float]:
    """Mean and standard deviation (mm) of the model's error at a spot of this car, given readings.

    ``error_mm`` (k,) is reading less model, each ± ``sigma_mm`` (k,). Beforehand the error is the
    survey's, N(0, survey²), and this car's own, N(0, τ²), where the logarithm of τ is known to
    SPREAD_OF_SPREAD about that of ``between_cars_mm``.
    """
    precision = float(np.sum(sigma_mm**-2.0))
    read = float(np.sum(error_mm * sigma_mm**-2.0)) / precision
    z = np.linspace(-SPREADS_WIDE, SPREADS_WIDE, SPREADS)
    spread = between_cars_mm * np.exp(defaults.SPREAD_OF_SPREAD * z)
    before = survey_mm**2 + spread**2
    seen = before + 1.0 / precision
    weight = np.exp(-(z**2 + read**2 / seen) / 2) / np.sqrt(seen)
    weight /= weight.sum()
    mean = read * before / seen
    variance = before / (precision * seen)
    whole = float(np.sum(weight * mean))
    second = float(np.sum(weight * (variance + mean**2)))
    return whole, float(np.sqrt(second - whole**2))


def weighed(setting: Setting, section: Section, coarse: Section, found: Closest) -> Budget:
    """The uncertainty of what was found, corrected by earlier jobs and by this car's own gaps.

    A gap narrows what it was read near to; it shifts the spot in all poses, for which one error is
    taken.
    """
    budget = budget_of(setting, section, coarse, found)
    read_here, left_out = shifts(setting.corner, setting.duty)
    shift = shift_of(setting.corner, read_here)
    for index, read in read_here.items():
        parts = budget.parts_mm(index)
        before = np.hypot(parts.get(SURVEY, 0.0), parts.get(BETWEEN_CARS, 0.0))
        same_car = defaults.SAME_CAR_MM
        if read.speaks_for(budget.poses[index]) and np.hypot(read.sigma_mm, same_car) < before:
            one = of_spot(setting, budget.moments, index, SURVEY, GAP_READING, read.sigma_mm)
            other = of_spot(setting, budget.moments, index, BETWEEN_CARS, FROM_CAR_TO_CAR, same_car)
            budget = budget.replaced(index, (SURVEY, BETWEEN_CARS), (one, other))
    return replace(budget, shift_mm=shift, left_out=left_out)


def _believed(corner: Corner, index: int, by_mm: float) -> float:
    """The shift as far as it still holds once a lip is rolled.

    Room that was read at a lip may have been read after it was rolled, and is not counted twice;
    room that was missing there is missing still.
    """
    present = corner.present
    rolled = is_rolled(corner.survey.features[index], corner.planned)
    if not rolled or (present is not None and present.planned.rolled_lips):
        return by_mm
    return min(by_mm, 0.0)


def present_setting(corner: Corner, present: Present, duty: Duty) -> Setting:
    """The corner as the car stands there now. Raises as ``setting_of`` does."""
    as_it_is = replace(
        corner, planned=present.planned, wheel=present.wheel, tyre=present.tyre, present=None
    )
    return setting_of("present", as_it_is, duty)


@dataclass(frozen=True)
class Expectation:
    """What the model says of a gap before it is read, and how far off a reading may honestly be.

    ``parts`` are survey and cars, ``read`` what the reading itself adds: pose, tyre, wedge.
    """

    gap_mm: float
    parts: tuple[UncertaintyPart, ...]
    read: tuple[UncertaintyPart, ...]

    @property
    def sigma_mm(self) -> float:
        """Standard uncertainty of the difference between reading and model."""
        return float(np.sqrt(sum(part.mm**2 for part in (*self.parts, *self.read))))

    @property
    def survey_sigma_mm(self) -> float:
        """What of it is the survey's, the difference between cars left out."""
        parts = (part.mm for part in self.parts if part.source != FROM_CAR_TO_CAR)
        return float(np.sqrt(sum(mm**2 for mm in parts)))

    @property
    def reading_sigma_mm(self) -> float:
        """What of it is the reading's own."""
        return float(np.sqrt(sum(part.mm**2 for part in self.read)))

    def explains(self, read_mm: float) -> bool:
        """Whether a reading is as near as its uncertainty lets one expect."""
        return is_explained(read_mm - self.gap_mm, self.sigma_mm)


def is_explained(off_mm: float, sigma_mm: float) -> bool:
    """Whether a difference between reading and model lies within twice its uncertainty."""
    return abs(off_mm) <= EXPLAINED_SIGMAS * sigma_mm


def predicted_gap(setting: Setting, index: int, reading: GapReading) -> float:
    """The model's gap (mm) at a spot in the pose of a reading, with the setting's own wheel."""
    return _predicted(setting, index, *_pose_of(setting, reading))[0]


def expected_gap(
    setting: Setting, index: int, reading: GapReading, *, other_car: bool
) -> Expectation:
    """The model's gap with what it is uncertain by: survey, joints, pose, tyre, the wedge itself.

    ``other_car``: the survey was measured on another car of the model. First order, by what each
    input changes at the spot that is nearest. Raises Unreachable for a pose that the suspension
    cannot take.
    """
    steer, travel = _pose_of(setting, reading)
    gap, along = _predicted(setting, index, steer, travel)
    section = section_of(setting.corner.wheel, setting.corner.tyre)
    spots = _spots(index, np.array([along]), steer)
    poses = _poses(setting, np.array([travel]), np.array([steer]))
    moment = moments_of(setting.room, section, spots, np.array([gap]), poses)
    ledger = Ledger()
    blocks = [
        *feature_inputs(setting, moment, ledger),
        *joints_at(setting, moment, np.array([steer]), np.array([travel]), ledger),
    ]
    parts = [UncertaintyPart(source, mm) for source, mm in shares(blocks, 0).items()]
    if other_car:
        feature = setting.room.courses[index].feature
        parts.append(UncertaintyPart(FROM_CAR_TO_CAR, between_cars_mm(feature)))
    wedge = defaults.GAP_READING.value if reading.sigma_mm is None else reading.sigma_mm
    by_height = _slope(setting, index, along, steer, travel, rise=1.0)
    read = [
        UncertaintyPart("height as read", abs(by_height) * HEIGHT_READ_MM),
        UncertaintyPart("present tyre", defaults.PRESENT_TYRE_MM),
        UncertaintyPart(GAP_READING, wedge),
    ]
    if reading.steer_deg:
        by_lock = _slope(setting, index, along, steer, travel, turn=1e-2)
        plate = abs(by_lock) * float(np.radians(defaults.STEER_LIMIT.value))
        read.append(UncertaintyPart("steering lock", plate))
    return Expectation(gap, tuple(parts), tuple(read))


def _slope(
    setting: Setting,
    index: int,
    along: float,
    steer: float,
    travel: float,
    *,
    rise: float = 0.0,
    turn: float = 0.0,
) -> float:
    """Change of a gap per mm of height or rad of steer, by as much of a step as can be taken."""
    gaps, steps = [], []
    for sign in (1.0, 0.0, -1.0):
        at = np.array([travel + sign * rise]), np.array([steer + sign * turn])
        try:
            poses = _poses(setting, *at)
        except Unreachable:
            continue
        gaps.append(float(_gaps(setting, index, np.array([along]), poses, steer)[0]))
        steps.append(sign * (rise + turn))
    return (gaps[0] - gaps[-1]) / (steps[0] - steps[-1]) if len(gaps) > 1 else 0.0


def _pose_of(setting: Setting, reading: GapReading) -> tuple[float, float]:
    """Steer (rad) and travel (mm from the survey height) of a reading."""
    travel = setting.envelope.static_travel + reading.travel_mm
    return float(np.radians(reading.steer_deg)), travel


def _poses(setting: Setting, travel: Array, steer: Array) -> HubPoses:
    """Poses (n,) of a setting, of its duty's envelope or not. Raises Unreachable."""
    every = np.arange(len(steer))
    steered = setting.motion.steered(setting.settled, np.zeros(len(steer), np.intp), steer)
    poses = setting.motion.travelled(setting.settled, steered, every, travel)
    return with_rods(poses, setting.room.rods)


def _predicted(setting: Setting, index: int, steer: float, travel: float) -> tuple[float, float]:
    """The gap (mm) and the place along the feature where it is."""
    course = setting.room.courses[index]
    one = _poses(setting, np.array([travel]), np.array([steer]))
    along = course.samples()
    passes = PASSES if course.is_edge else 1
    low, high = along[0], along[-1]
    best, least = float(along[0]), np.inf
    for _ in range(passes):
        if course.is_edge:
            along = np.linspace(low, high, SAMPLES * max(1, int(np.ceil(high - low))))
        poses = one.at(np.zeros(len(along), np.intp))
        gaps = _gaps(setting, index, along, poses, steer)
        at = int(np.argmin(gaps))
        best, least = float(along[at]), float(gaps[at])
        step = along[1] - along[0] if len(along) > 1 else 0.0
        low, high = max(along[0], best - step), min(along[-1], best + step)
    return least, best


def _gaps(setting: Setting, index: int, along: Array, poses: HubPoses, steer: float) -> Array:
    """Clearance (n,) of spots along one feature in given poses (n,)."""
    section = section_of(setting.corner.wheel, setting.corner.tyre)
    return clearance_at(setting.room, section, _spots(index, along, steer), poses)


def _spots(index: int, along: Array, steer: float) -> Moments:
    """Moments (n,) along a feature; their share of the envelope's height means nothing."""
    count = len(along)
    place = np.stack([np.full(count, steer), np.zeros(count), along], axis=-1)
    return Moments(np.full(count, index), place, np.zeros(count, np.intp))

"""Cars that differ from their model's survey by all that is uncertain, and what a shop says there.

A car is a corner drawn at full uncertainty (``monte_carlo.draw``: joints, readings, tyre, wheel,
plan, stops), each of its spots shifted from one car to the next. The shop knows the survey. It
predicts every clearance three times: as it is, with joints fitted to camber and toe that it read on
this car over bump and droop, and with a gap read at each spot on the wheel that the car came on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from alignment.geometry.hub_position import travel_curve
from alignment.geometry.joint_fit import CannotFit, fit_joints
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned, Suspension, TravelReading
from alignment.geometry.motion import motion_of
from fitment.engine import defaults
from fitment.engine.check import run
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import (
    BODY,
    LINK,
    TEMPLATE,
    Check,
    Corner,
    GapReading,
    Present,
    SpotAnswer,
)
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import section_of
from fitment.engine.uncertainty.survey_inputs import JOINTS
from fitment.engine.uncertainty.this_car import HEIGHT_READ_MM, predicted_gap, present_setting
from tests.engine.monte_carlo import between, draw

Array = NDArray[np.float64]

#: Heights at which camber and toe are read, mm from the survey's, and how well, degrees.
HEIGHTS, READ_DEG = (-45.0, -20.0, 25.0, 50.0), 0.03
BEFORE, FITTED, GAPS, BOTH = "before", "after the fit", "after gaps", "after fit and gaps"
STAGES = (BEFORE, FITTED, GAPS, BOTH)


@dataclass(frozen=True)
class Error:
    """Prediction less truth at a spot of one car, and the uncertainty that was stated for it, the
    share of joints in it."""

    stage: str
    car: int
    spot: str
    off_mm: float
    sigma_mm: float
    joints_mm: float

    @property
    def normalised(self) -> float:
        return self.off_mm / self.sigma_mm

    @property
    def without_joints(self) -> float:
        """The same with the joints not counted."""
        return self.off_mm / float(np.sqrt(self.sigma_mm**2 - self.joints_mm**2))


def rms(values: list[float]) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def errors_of(check: Check, car: int) -> list[Error]:
    """Errors of every stage at every spot of one car; ``car`` seeds it."""
    ((name, corner),) = check.corners.items()
    rng = np.random.default_rng([17, car])
    truth, spots, gaps = _true_car(name, corner, check, rng)
    fitted = _fitted(corner, truth, rng)
    read = _gaps_read(corner, truth, check, gaps, rng)
    told = {
        BEFORE: corner,
        FITTED: fitted,
        GAPS: _told(corner, read),
        BOTH: _told(fitted, read),
    }
    found = []
    for stage, one in told.items():
        answer = run(replace(check, corners={name: one})).corners[name]
        for place, true in zip(answer.places, spots, strict=True):
            if math.isnan(place.clearance_mm):
                continue  # it states no clearance that could be wrong
            off = place.clearance_mm - true
            joints = sum(part.mm for part in place.uncertainty if part.source == JOINTS)
            found.append(Error(stage, car, place.place, off, place.sigma_mm, joints))
    return found


def _true_car(
    name: str, corner: Corner, check: Check, rng: np.random.Generator
) -> tuple[Corner, Array, Array]:
    """A car, the least clearance at each of its spots, and how far each stands off, as cars do."""
    while True:
        truth = draw(corner, rng)
        try:
            section = section_of(truth.wheel, truth.tyre)
            room = setting_of(name, truth, check.duty).room
            least = closest(room, section, section_of(truth.wheel, truth.tyre, True)).clearance_mm
            present_setting(truth, _came_on(corner), check.duty)
        except (Unreachable, RestsOnStops, BadSection):
            continue
        shift = np.array([rng.normal(0.0, between(one)) for one in corner.survey.features])
        return truth, least + shift, shift


def _came_on(corner: Corner) -> Present:
    """The wheel that the car came on: narrower, on a tyre that was measured, set as surveyed."""
    section = section_of(corner.wheel, corner.tyre).mounted
    tyre = replace(
        corner.tyre,
        section_width_mm=section.section_width_mm - 12.0,
        measuring_rim_in=None,
        overall_diameter_mm=section.overall_diameter_mm - 6.0,
        tread_width_mm=None,
        shoulder_drop_mm=None,
        profile=(),
    )
    return Present(Planned(toe_deg=corner.survey.toe_deg), corner.wheel, tyre, ())


def _fitted(corner: Corner, truth: Corner, rng: np.random.Generator) -> Corner:
    """The corner with joints fitted to what this car's wheel was read to do."""
    survey, suspension = corner.survey, corner.suspension
    seen = _changes(truth.suspension, corner) + rng.normal(0.0, READ_DEG, (len(HEIGHTS), 2))
    readings = tuple(
        TravelReading(height, float(camber), float(toe))
        for height, (camber, toe) in zip(HEIGHTS, seen, strict=True)
    )
    try:
        fit = fit_joints(suspension, survey.camber_deg, survey.toe_deg, readings, READ_DEG)
    except CannotFit:
        return corner
    return replace(corner, suspension=fit.suspension)


def _changes(suspension: Suspension, corner: Corner) -> Array:
    survey = corner.survey
    motion = motion_of(suspension, survey.camber_deg, survey.toe_deg)
    settled = motion.settle([Planned(toe_deg=survey.toe_deg)])
    curve = travel_curve(motion, settled, np.array(HEIGHTS))
    here = np.array([survey.camber_deg, survey.toe_deg])
    return np.asarray(np.stack([curve.camber_deg, curve.toe_deg], axis=-1) - here, float)


def _gaps_read(
    corner: Corner, truth: Corner, check: Check, shift: Array, rng: np.random.Generator
) -> tuple[GapReading, ...]:
    """A gap at every spot of the body, read in the pose in which it is predicted to be tightest.

    The height is read within 2 mm, the turn plate within a degree, the gap itself and the present
    tyre as the project says of them.
    """
    ((name, _),) = check.corners.items()
    answer = run(check).corners[name]
    on_car = present_setting(truth, _came_on(corner), check.duty)
    return tuple(
        _read(on_car, index, place, float(shift[index]), rng)
        for index, place in enumerate(answer.places)
        if place.carried_by == BODY
    )


def _read(
    on_car: Setting, index: int, place: SpotAnswer, shift_mm: float, rng: np.random.Generator
) -> GapReading:
    said = GapReading(place.place, 0.0, travel_mm=place.at.travel_mm, steer_deg=place.at.steer_deg)
    lock = float(rng.normal()) * defaults.STEER_LIMIT.value * bool(said.steer_deg)
    there = replace(
        said,
        travel_mm=said.travel_mm + float(rng.normal()) * HEIGHT_READ_MM,
        steer_deg=said.steer_deg + lock,
    )
    wedge = np.hypot(defaults.GAP_READING.value, defaults.PRESENT_TYRE_MM)
    gap = predicted_gap(on_car, index, there) + shift_mm + float(rng.normal()) * wedge
    return replace(said, gap_mm=round(gap, 1))


def _told(corner: Corner, gaps: tuple[GapReading, ...]) -> Corner:
    return replace(corner, present=replace(_came_on(corner), gaps=gaps))


def off_template(check: Check, sigma_mm: float, joints_mm: float) -> Check:
    """A survey read off templates, without rods, whose joints were read so well."""
    ((name, corner),) = check.corners.items()
    features = tuple(
        replace(one, read=TEMPLATE, sigma_mm=sigma_mm)
        for one in corner.survey.features
        if one.carried_by != LINK
    )
    suspension = replace(corner.suspension, sigma_joints_mm=joints_mm)
    corner = replace(
        corner, survey=replace(corner.survey, features=features), suspension=suspension
    )
    return replace(check, corners={name: corner})


@dataclass(frozen=True)
class Stage:
    """Root mean squares over a stage: of normalised errors, of errors, and of what was stated."""

    normalised: float
    off_mm: float
    stated_mm: float


def by_stage(errors: list[Error]) -> dict[str, Stage]:
    """What every stage comes to."""
    found = {}
    for stage in STAGES:
        own = [one for one in errors if one.stage == stage]
        found[stage] = Stage(
            rms([one.normalised for one in own]),
            rms([one.off_mm for one in own]),
            rms([one.sigma_mm for one in own]),
        )
    return found

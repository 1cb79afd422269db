"""A simulated car whose body and joints differ from the car model's survey.

The truth is a corner moved by invented errors; the shop knows the survey, and reads gaps, toe
and camber on the car. What it then predicts is held against what the true car does.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.hub_position import travel_curve
from alignment.geometry.joint_fit import CannotFit, fit_joints
from alignment.geometry.joint_slopes import joint_names, with_joints_moved
from alignment.geometry.model import Planned, Suspension, TravelReading
from alignment.geometry.motion import motion_of
from fitment.engine.check import run
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import TEMPLATE, Check, Corner, Feature, GapReading, Present, SurveyPoint
from fitment.engine.uncertainty.this_car import (
    HEIGHT_READ_MM,
    error_on_this_car,
    expected_gap,
    predicted_gap,
    present_setting,
)
from tests.engine.files import LINKS, check_of, wishbones_name

STREET_STRUT = "check-00"


def the_survey() -> tuple[Check, Corner]:
    """A street check whose survey was taken in a hurry: templates, 4 mm off as a whole."""
    check = check_of(STREET_STRUT)
    corner = check.corners["LF"]
    features = tuple(
        replace(feature, sigma_mm=4.0, read=TEMPLATE) for feature in corner.survey.features
    )
    corner = replace(corner, survey=replace(corner.survey, features=features))
    return replace(check, corners={"LF": corner}), corner


def bent(feature: Feature, out_mm: float, up_mm: float) -> Feature:
    """The feature of a body that stands further outboard and higher than the surveyed one."""
    points = tuple(
        SurveyPoint(p.clock_deg, p.radius_mm + up_mm, p.axial_mm + out_mm) for p in feature.points
    )
    xyz = tuple((x, y + out_mm, z + up_mm) for x, y, z in feature.xyz_mm)
    return replace(feature, points=points, xyz_mm=xyz)


def with_truth(corner: Corner, out_mm: float, up_mm: float) -> Corner:
    features = tuple(bent(feature, out_mm, up_mm) for feature in corner.survey.features)
    return replace(corner, survey=replace(corner.survey, features=features))


def narrower(corner: Corner) -> Present:
    """A present wheel and tyre smaller than the planned ones, the car set as surveyed."""
    tyre = replace(corner.tyre, section_width_mm=195.0, overall_diameter_mm=620.0, profile=())
    wheel = replace(corner.wheel, spacer_mm=0.0)
    planned = Planned(toe_deg=corner.survey.toe_deg)
    return Present(planned, wheel, tyre, ())


@pytest.mark.parametrize("seed", range(8))
def test_a_gap_read_on_this_car_brings_the_prediction_to_the_true_car(seed: int) -> None:
    check, corner = the_survey()
    rng = np.random.default_rng(seed)
    out, up = rng.uniform(-6, 6, 2)
    truth = with_truth(corner, out, up)
    true_answer = run(replace(check, corners={"LF": truth})).corners["LF"].places[0]
    present = narrower(corner)
    reading = GapReading(
        "arch lip", 0.0, travel_mm=true_answer.at.travel_mm, steer_deg=true_answer.at.steer_deg
    )
    on_the_car = present_setting(truth, present, check.duty)
    read = replace(reading, gap_mm=predicted_gap(on_the_car, 0, reading))
    told = replace(corner, present=replace(present, gaps=(read,)))
    plain = run(check).corners["LF"].places[0]
    corrected = run(replace(check, corners={"LF": told})).corners["LF"].places[0]
    off = abs(plain.clearance_mm - true_answer.clearance_mm)
    left = abs(corrected.clearance_mm - true_answer.clearance_mm)
    assert off > 0.3, "this car should differ from the car model"
    assert left < max(0.35 * off, 0.6)
    assert corrected.clearance_mm == pytest.approx(plain.clearance_mm + corrected.shift_mm)
    assert corrected.sigma_mm < plain.sigma_mm
    sources = {part.source for part in corrected.uncertainty}
    assert "gap reading" in sources
    assert not sources & {"survey radius", "survey axial"}


def test_a_gap_read_in_another_pose_shifts_the_clearance_but_not_the_uncertainty() -> None:
    check, corner = the_survey()
    present = narrower(corner)
    reading = GapReading("arch lip", 60.0, travel_mm=0.0, steer_deg=0.0)
    told = replace(corner, present=replace(present, gaps=(reading,)))
    plain = run(check).corners["LF"].places[0]
    corrected = run(replace(check, corners={"LF": told})).corners["LF"].places[0]
    assert abs(plain.at.steer_deg) > 10
    assert corrected.shift_mm != 0
    assert corrected.sigma_mm == plain.sigma_mm
    others = run(replace(check, corners={"LF": told})).corners["LF"].places[1:]
    assert all(place.shift_mm == 0 for place in others)


def shaken(suspension: Suspension, seed: int) -> Suspension:
    """The joints of the true car: the measured ones moved by one draw of their uncertainty."""
    rng = np.random.default_rng(seed)
    size = 3 * len(joint_names(suspension))
    return with_joints_moved(suspension, rng.normal(0.0, suspension.joint_sigma_mm, size))


def toe_over_bump(suspension: Suspension, corner: Corner, travel: list[float]) -> np.ndarray:
    motion = motion_of(suspension, corner.survey.camber_deg, corner.survey.toe_deg)
    settled = motion.settle([Planned(toe_deg=corner.survey.toe_deg)])
    curve = travel_curve(motion, settled, np.array(travel))
    return np.stack([curve.camber_deg, curve.toe_deg], axis=-1) - [
        corner.survey.camber_deg,
        corner.survey.toe_deg,
    ]


@pytest.mark.parametrize("name", [STREET_STRUT, wishbones_name(), LINKS])
def test_fitted_joints_repeat_what_simulated_cars_do_in_bump(name: str) -> None:
    """Joints read in a hurry, 6 mm off in every coordinate."""
    (corner,) = check_of(name).corners.values()
    corner = replace(corner, suspension=replace(corner.suspension, sigma_joints_mm=6.0))
    before, after = [], []
    for seed in range(12):
        truth = shaken(corner.suspension, seed)
        heights = [-50.0, -25.0, 25.0, 50.0]
        rng = np.random.default_rng(100 + seed)
        seen = toe_over_bump(truth, corner, heights) + rng.normal(0.0, 0.03, (4, 2))
        readings = tuple(
            TravelReading(height, float(camber), float(toe))
            for height, (camber, toe) in zip(heights, seen, strict=True)
        )
        survey = corner.survey
        fit = fit_joints(
            corner.suspension, survey.camber_deg, survey.toe_deg, readings, sigma_deg=0.03
        )
        # At a height that was not read, camber as well as toe.
        true = toe_over_bump(truth, corner, [40.0])[0]
        before.append(toe_over_bump(corner.suspension, corner, [40.0])[0] - true)
        after.append(toe_over_bump(fit.suspension, corner, [40.0])[0] - true)
        assert fit.after_deg < fit.before_deg
        farthest = max(fit.moved_mm.values()) / corner.suspension.joint_sigma_mm
        assert farthest < 4.0, "no joint goes further than its uncertainty allows"
        assert fit.suspension.fitted is not None
        assert [row.travel_mm for row in fit.suspension.fitted.rows] == heights
    spread = np.sqrt(np.mean(np.square(before), axis=0))
    left = np.sqrt(np.mean(np.square(after), axis=0))
    assert spread[1] > 0.3, "unfitted joints leave tenths of a degree of toe at bump"
    assert left[1] < min(0.1, spread[1] / 4)
    assert left[0] < min(0.1, spread[0])


def test_there_is_nothing_to_fit_without_a_reading_away_from_the_survey_height() -> None:
    _, corner = the_survey()
    with pytest.raises(CannotFit, match=r"fit\.nothing-read"):
        fit_joints(corner.suspension, -0.45, 0.14, (TravelReading(0.0, 0.0, 0.0),))


def test_a_setting_of_the_present_car_has_the_present_wheel() -> None:
    check, corner = the_survey()
    present = narrower(corner)
    setting = present_setting(corner, present, check.duty)
    assert setting.corner.tyre == present.tyre
    assert setting.settled.static_travel[0] == 0
    assert setting_of("LF", corner, check.duty).settled.static_travel[0] == 17


@pytest.mark.parametrize("steer_deg", [0.0, 12.0])
def test_gaps_read_on_true_cars_stray_from_the_model_as_far_as_is_said(steer_deg: float) -> None:
    """Cars whose place, height and lock are off by as much as is said of them."""
    check, corner = the_survey()
    corner = replace(corner, wheel=narrower(corner).wheel, tyre=narrower(corner).tyre)
    as_surveyed = replace(corner, planned=Planned(toe_deg=corner.survey.toe_deg))
    setting = setting_of("LF", as_surveyed, check.duty)
    places = [feature.place for feature in corner.survey.features]
    index = places.index("arch lip")
    reading = GapReading("arch lip", 0.0, 0.0, steer_deg)
    said = expected_gap(setting, index, reading, other_car=False)
    assert said.gap_mm == predicted_gap(setting, index, reading)
    rng, off = np.random.default_rng(5), []
    for _ in range(150):
        out, up = rng.normal(0, 4.0, 2)  # the survey's sigma, of axial and of radius
        car = with_truth(as_surveyed, out, up)
        travel = float(rng.normal(0, HEIGHT_READ_MM))
        lock = steer_deg + float(rng.normal(0, 1.0)) * bool(steer_deg)
        there = GapReading("arch lip", 0.0, travel, lock)
        true = predicted_gap(setting_of("LF", car, check.duty), index, there)
        off.append(true + rng.normal(0, 1.5) + rng.normal(0, 1.0) - said.gap_mm)
    assert np.std(off) == pytest.approx(said.sigma_mm, rel=0.2)
    explained = np.mean([said.explains(said.gap_mm + one) for one in off])
    assert 0.9 <= explained <= 0.99


def test_another_car_and_a_lock_widen_what_a_gap_may_be_off_by() -> None:
    check, corner = the_survey()
    setting = setting_of("LF", corner, check.duty)
    ahead, at_lock = (GapReading("arch lip", 0.0, 0.0, steer) for steer in (0.0, 12.0))
    own, other = (expected_gap(setting, 0, ahead, other_car=car) for car in (False, True))
    assert other.sigma_mm == pytest.approx(np.hypot(own.sigma_mm, 3.0))
    said = expected_gap(setting, 0, at_lock, other_car=True)
    assert {"from car to car", "joint places", "survey axial"} <= {p.source for p in said.parts}
    assert {"steering lock", "height as read", "gap reading"} <= {p.source for p in said.read}


@pytest.mark.parametrize(
    ("errors", "sigmas", "survey", "spread"),
    [
        ([4.0], [1.8], 3.2, 3.0),
        ([-9.0], [2.5], 1.5, 3.0),
        ([1.0, 5.0], [1.8, 2.6], 2.0, 1.0),
        ([0.5, 0.2, -0.4], [1.8, 1.8, 1.8], 4.0, 3.0),
        ([12.0], [0.7], 0.5, 1.0),
    ],
)
def test_the_models_error_on_this_car_is_the_posterior_of_survey_and_car_together(
    errors: list[float], sigmas: list[float], survey: float, spread: float
) -> None:
    """Against numerical integration over the error and the logarithm of the spread between cars."""
    from scipy.integrate import trapezoid

    error = np.linspace(-25.0, 25.0, 2001)
    log = np.log(spread) + 0.4 * np.linspace(-6.0, 6.0, 601)
    prior = survey**2 + np.exp(log)[:, None] ** 2
    density = np.exp(-(error**2) / (2 * prior)) / np.sqrt(prior)
    density = density * np.exp(-((log - np.log(spread))[:, None] ** 2) / (2 * 0.4**2))
    for read, sigma in zip(errors, sigmas, strict=True):
        density = density * np.exp(-((read - error) ** 2) / (2 * sigma**2))
    density = trapezoid(density, log, axis=0)
    density /= trapezoid(density, error)
    mean = trapezoid(density * error, error)
    deviation = np.sqrt(trapezoid(density * (error - mean) ** 2, error))
    found = error_on_this_car(np.array(errors), np.array(sigmas), survey, spread)
    assert found == (pytest.approx(mean, abs=0.02), pytest.approx(deviation, abs=0.02))
    whole = float(np.average(errors, weights=np.array(sigmas) ** -2.0))
    assert abs(found[0]) < abs(whole), "never taken whole"


def test_the_better_a_gap_was_read_the_more_of_it_is_believed() -> None:
    check, corner = the_survey()
    present = narrower(corner)
    setting = present_setting(corner, present, check.duty)
    shares = []
    for wedge in (0.5, 1.5, 3.0, 6.0):
        pose = GapReading("arch lip", 0.0, 0.0, 0.0, sigma_mm=wedge)
        read = replace(pose, gap_mm=predicted_gap(setting, 0, pose) + 6.0)
        told = replace(corner, present=replace(present, gaps=(read,)))
        place = run(replace(check, corners={"LF": told})).corners["LF"].places[0]
        shares.append(place.shift_mm / 6.0)
    assert shares == sorted(shares, reverse=True)
    assert 0.8 < shares[0] < 1.0
    assert 0.25 < shares[-1] < 0.55, "as unsure as what is known beforehand: about half"

"""A corner's curves between its stops, as surveyed and as planned."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import scipy

from alignment.geometry.model import MeasuredTravel, SteerAxis, TravelReading
from common.message import message
from fitment.engine.check import run
from fitment.engine.curves.corner_curves import (
    AXLE_TOE,
    CASTER,
    TRACK,
    UNKNOWN_BUMP_MM,
    corner_curves,
    figures,
)
from fitment.engine.minimum.setting import motion_for
from tests.engine.files import CURVES, LINKS, STRUT, check_of, wishbones_name
from tests.engine.random_corners import random_check

SHEET = MeasuredTravel(
    (
        TravelReading(-40.0, 0.62, -0.09),
        TravelReading(0.0, 0.0, 0.0),
        TravelReading(25.0, None, 0.07),
    )
)


def corner_of(name):
    check = check_of(name)
    return check, next(iter(check.corners.values()))


def curves_of(corner, check):
    return corner_curves(corner, check.duty)


def at(curve, quantity, where):
    return float(np.interp(where, curve.at, figures(curve, quantity)))


def lowered(corner, by_mm):
    """The corner with its planned ride height lower by ``by_mm`` than the survey."""
    adjusters = replace(corner.planned.adjusters, ride_height_mm=-by_mm)
    return replace(corner, planned=replace(corner.planned, adjusters=adjusters))


@pytest.mark.parametrize("name", [STRUT, LINKS, CURVES, wishbones_name()])
def test_after_meets_the_answer_at_ride_height_and_straight_ahead(name):
    check, corner = corner_of(name)
    curves = curves_of(corner, check)
    (static,) = [one.static for one in run(check).corners.values()][:1]
    assert at(curves.after, "camber", 0.0) == pytest.approx(static.camber_deg, abs=1e-4)
    assert at(curves.after, "toe", 0.0) == pytest.approx(static.toe_deg, abs=1e-4)
    if curves.steer_after is not None:
        assert at(curves.steer_after, "camber", 0.0) == pytest.approx(static.camber_deg, abs=1e-4)


@pytest.mark.parametrize("name", [STRUT, LINKS, CURVES, wishbones_name()])
def test_before_meets_the_survey_at_its_own_height(name):
    check, corner = corner_of(name)
    corner = lowered(corner, 20.0)
    curves = curves_of(corner, check)
    assert at(curves.before, "camber", -20.0) == pytest.approx(corner.survey.camber_deg, abs=1e-4)
    assert at(curves.before, "toe", -20.0) == pytest.approx(corner.survey.toe_deg, abs=1e-4)
    assert -20.0 in [mark.at for mark in curves.marks if mark.words == message("mark.as-surveyed")]


def test_both_curves_run_from_stop_to_stop_on_one_axis():
    check, corner = corner_of(STRUT)
    adjusters = replace(corner.planned.adjusters, ride_height_mm=-15.0, bump_stop_mm=6.0)
    corner = replace(corner, planned=replace(corner.planned, adjusters=adjusters))
    curves, limits = curves_of(corner, check), corner.limits
    droop, bump = -limits.droop_mm - 15.0, limits.bump_mm - 6.0 - 15.0
    for curve in (curves.before, curves.after):
        assert curve.at[[0, -1]] == pytest.approx([droop, bump])
    walls = {mark.words.code: mark.at for mark in curves.marks if mark.side}
    assert walls == pytest.approx({"mark.droop-stop": droop, "mark.bump-stop": bump})
    assert curves.notes == ()


def test_lock_runs_between_its_stops():
    check, corner = corner_of(STRUT)
    curves = curves_of(corner, check)
    assert curves.steer_after is not None
    ends = [-corner.limits.steer_out_deg, corner.limits.steer_in_deg]
    assert curves.steer_after.at[[0, -1]] == pytest.approx(ends)
    assert [mark.at for mark in curves.steer_marks] == pytest.approx([ends[0], 0.0, ends[1]])
    toe = curves.steer_after.toe_deg - corner.planned.toe_deg
    assert toe == pytest.approx(curves.steer_after.at, abs=1e-6)


def test_a_wheel_that_does_not_steer_has_no_curve_over_lock():
    check, corner = corner_of(LINKS)
    curves = curves_of(corner, check)
    assert curves.steer_before is None
    assert curves.steer_after is None
    assert CASTER not in curves.quantities


def test_an_unknown_bump_stop_is_said_and_not_marked():
    check, corner = corner_of(STRUT)
    corner = replace(corner, limits=replace(corner.limits, bump_mm=None))
    curves = curves_of(corner, check)
    assert curves.after.at[-1] == pytest.approx(UNKNOWN_BUMP_MM)
    assert message("mark.bump-stop") not in [mark.words for mark in curves.marks]
    assert message("curve-note.no-bump", drawn_mm=UNKNOWN_BUMP_MM) in curves.notes


def test_measured_curves_end_with_their_table():
    check, corner = corner_of(CURVES)
    rows = tuple(row for row in corner.suspension.table if abs(row.travel_mm) <= 45.0)
    corner = replace(corner, suspension=replace(corner.suspension, table=rows))
    curves = curves_of(corner, check)
    static = -corner.planned.adjusters.ride_height_mm
    assert curves.before.at[0] + static == pytest.approx(rows[0].travel_mm)
    assert curves.before.at[-1] + static == pytest.approx(rows[-1].travel_mm)
    assert "curve-note.measured" in [note.code for note in curves.notes]


def test_a_curve_ends_where_the_linkage_does_and_says_so():
    check, corner = corner_of(STRUT)
    corner = replace(corner, limits=replace(corner.limits, droop_mm=400.0, bump_mm=55.0))
    curves = curves_of(corner, check)
    assert -400.0 < curves.after.at[0] < -60.0
    adjusters = corner.planned.adjusters
    top = 55.0 - adjusters.bump_stop_mm + adjusters.ride_height_mm
    assert curves.after.at[-1] == pytest.approx(top)
    ends = [note.params["curve"] for note in curves.notes]
    assert ends == [message("curve.before"), message("curve.after")]
    assert {note.code for note in curves.notes} == {"curve-note.travels"}


def test_readings_become_angles_at_the_travel_of_the_axis():
    check, corner = corner_of(STRUT)
    corner = lowered(corner, 20.0)
    corner = replace(corner, suspension=replace(corner.suspension, measured=SHEET))
    curves = curves_of(corner, check)
    first, middle, last = curves.readings
    assert (first.at, middle.at, last.at) == pytest.approx((-60.0, -20.0, 5.0))
    assert first.camber_deg == pytest.approx(corner.survey.camber_deg + 0.62)
    assert last.camber_deg is None
    for reading in curves.readings:  # the sheet corrects the model, so the curve passes them
        assert at(curves.before, "toe", reading.at) == pytest.approx(reading.toe_deg, abs=0.01)


def test_a_sheet_that_stands_instead_of_the_model_bounds_the_curves():
    check, corner = corner_of(STRUT)
    corner = lowered(corner, 0.0)
    sheet = replace(SHEET, instead=True)
    corner = replace(corner, suspension=replace(corner.suspension, measured=sheet))
    curves = curves_of(corner, check)
    assert curves.before.at[[0, -1]] == pytest.approx([-40.0, 25.0])


def test_what_the_use_leaves_unused_is_marked():
    check, corner = corner_of(STRUT)
    duty = replace(check.duty, droop_fraction=0.5, envelope=((0.0, 0.8), (1.0, 0.4)))
    marks = {mark.words.code: mark.at for mark in corner_curves(corner, duty).marks}
    assert marks["mark.droop-used"] == pytest.approx(0.5 * marks["mark.droop-stop"])
    assert marks["mark.bump-used"] == pytest.approx(0.8 * marks["mark.bump-stop"])


@pytest.mark.parametrize("seed", range(16))
def test_every_random_corner_has_curves_over_all_its_travel(seed):
    check = random_check(seed)
    (corner,) = check.corners.values()
    curves = corner_curves(corner, check.duty)
    for quantity in curves.quantities:
        for curve in (curves.before, curves.after):
            assert np.all(np.isfinite(figures(curve, quantity)))
            assert np.all(np.diff(curve.at) > 0)
            assert curve.at[0] <= 0.0 <= curve.at[-1] or curve is curves.before


# Track and the toe of both wheels


@pytest.mark.parametrize("name", [STRUT, LINKS, CURVES, wishbones_name()])
def test_track_is_where_the_lowest_point_of_the_wheel_goes(name):
    """By turning a circle of points with the wheel and looking for the lowest, nothing shared."""
    check, corner = corner_of(name)
    curves = curves_of(corner, check)
    inboard, radius = curves.wheel_mm
    assert inboard == pytest.approx(corner.wheel.offset_mm - corner.wheel.spacer_mm)
    round_the_wheel = np.linspace(0.0, 2 * np.pi, 720001)

    def across(index):
        camber, toe = (np.radians(one[index]) for one in (after.camber_deg, after.toe_deg))
        lean = np.array(
            [[1, 0, 0], [0, np.cos(camber), np.sin(camber)], [0, -np.sin(camber), np.cos(camber)]]
        )
        turn = np.array([[np.cos(toe), np.sin(toe), 0], [-np.sin(toe), np.cos(toe), 0], [0, 0, 1]])
        flat = [radius * np.cos(round_the_wheel), np.full(720001, -inboard)]
        rim = turn @ lean @ np.stack([*flat, radius * np.sin(round_the_wheel)])
        return after.outboard_mm[index] + rim[1, np.argmin(rim[2])]

    after = curves.after
    track, zero = figures(after, TRACK, curves.wheel_mm), int(np.argmin(np.abs(after.at)))
    assert track[zero] == pytest.approx(0.0, abs=1e-9)
    for index in (0, 7, len(after.at) - 1):
        assert track[index] == pytest.approx(across(index) - across(zero), abs=0.01)


@pytest.mark.parametrize("name", [STRUT, wishbones_name()])
def test_toe_of_both_wheels_is_that_of_one_rack_with_the_other_end_mirrored(name):
    check, corner = corner_of(name)
    curves = curves_of(corner, check)
    steer = curves.steer_after
    both = figures(steer, AXLE_TOE)
    assert np.interp(0.0, steer.at, both) == pytest.approx(2 * corner.planned.toe_deg, abs=1e-4)
    motion, one = motion_for(corner), np.zeros(1, np.intp)
    settled = motion.settle([corner.planned])

    def rack(degrees):
        return float(motion.steered(settled, one, np.radians([degrees])).held[0])

    for lock in (-20.0, 12.0):
        across = scipy.optimize.brentq(
            lambda other, lock=lock: rack(other) + rack(lock), -34.0, 30.0
        )
        wanted = 2 * corner.planned.toe_deg + lock + across
        known = np.isfinite(both)
        assert np.interp(lock, steer.at[known], both[known]) == pytest.approx(wanted, abs=0.03)


def test_measured_curves_and_travel_have_no_toe_of_both_wheels():
    check, corner = corner_of(STRUT)
    curves = curves_of(corner, check)
    assert curves.steer_after is not None
    for quantity in (AXLE_TOE, "camber", "caster"):
        assert figures(curves.steer_after, quantity) is not None
    assert figures(curves.after, AXLE_TOE) is None
    axis = SteerAxis((0.0, -60.0, 0.0), 6.0, 12.0)
    check, corner = corner_of(CURVES)
    limits = replace(corner.limits, steer_in_deg=25.0, steer_out_deg=30.0)
    suspension = replace(corner.suspension, steer_axis=axis)
    steered = curves_of(replace(corner, limits=limits, suspension=suspension), check)
    assert steered.steer_after is not None
    known = [
        figures(steered.steer_after, name) is not None for name in (AXLE_TOE, "camber", "caster")
    ]
    assert known == [False, True, True]

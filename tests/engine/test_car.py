"""A car's corners held against each other."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from common.corners import CORNERS
from common.message import message
from common.verdicts import Verdict
from fitment.engine.check import run
from fitment.engine.model import Check
from fitment.engine.whole_car import ALL, FRONT, REAR, Drive, car_view
from tests.engine.files import REAR_STRUT, STRUT, check_of

FRONT_CORNER = next(iter(check_of(STRUT).corners.values()))
REAR_CORNER = next(iter(check_of(REAR_STRUT).corners.values()))
DUTY = check_of(STRUT).duty


def car(**corners):
    check = Check("a car", DUTY, corners)
    return check, run(check)


def whole_car():
    right = replace(FRONT_CORNER, planned=replace(FRONT_CORNER.planned, toe_deg=0.2))
    return car(LF=FRONT_CORNER, RF=right, LR=REAR_CORNER, RR=REAR_CORNER)


WHOLE, WHOLE_ANSWER = whole_car()
#: Two axles on the same wheels, so that only what a test changes differs.
SAME = replace(REAR_CORNER, wheel=FRONT_CORNER.wheel, tyre=FRONT_CORNER.tyre)


def figure(axle, what):
    return next(row for row in axle.figures if row.what == message(f"figure.{what}"))


def at(place):
    return message("figure.clearance", spot=place)


def tyres(check, names):
    view = car_view(check, WHOLE_ANSWER, Drive(ALL))
    return next(pair for pair in view.tyres if pair.names == names)


def with_diameters(**diameters):
    """A check that stands on one kind of wheel, with tyres of these diameters."""
    corners = {
        name: replace(SAME, tyre=replace(SAME.tyre, overall_diameter_mm=mm, profile=()))
        for name, mm in diameters.items()
    }
    return Check("tyres", DUTY, corners)


def test_differences_are_left_less_right():
    front, _ = car_view(WHOLE, WHOLE_ANSWER).axles
    left, right = WHOLE_ANSWER.corners["LF"], WHOLE_ANSWER.corners["RF"]
    toe = figure(front, "toe")
    assert toe.difference == pytest.approx(left.static.toe_deg - 0.2)
    lip = next(row for row in front.clearances if row.what == at("arch lip"))
    places = [next(p for p in side.places if p.place == "arch lip") for side in (left, right)]
    assert lip.difference == pytest.approx(places[0].clearance_mm - places[1].clearance_mm)


def test_two_sides_alike_differ_by_nothing():
    _, rear = car_view(WHOLE, WHOLE_ANSWER).axles
    assert rear.name == REAR
    known = [row for row in (*rear.clearances, *rear.figures) if row.left is not None]
    assert {row.difference for row in known} == {0.0}


def test_caster_and_trail_are_there_where_there_is_a_steering_axis():
    front, _ = car_view(WHOLE, WHOLE_ANSWER).axles
    seat = WHOLE_ANSWER.corners["LF"].seat
    names = ("camber", "toe", "caster", "trail")
    assert [row.what for row in front.figures] == [message(f"figure.{name}") for name in names]
    assert seat is not None
    assert figure(front, "trail").left == seat.trail_mm


def test_corners_without_an_answer_are_missing_and_leave_their_axle_out():
    check, answer = car(LF=FRONT_CORNER, RR=REAR_CORNER)
    view = car_view(check, answer)
    assert view.missing == ("RF", "LR")
    assert view.axles == ()
    # One tyre of each axle is enough for the ratio of front to rear.
    assert [pair.names for pair in view.tyres] == [(FRONT, REAR)]


def test_a_whole_car_misses_nothing():
    assert car_view(WHOLE, WHOLE_ANSWER).missing == ()
    assert set(WHOLE_ANSWER.corners) == set(CORNERS)


def test_a_place_of_one_side_only_is_named():
    features = tuple(f for f in FRONT_CORNER.survey.features if f.place != "frame rail")
    bare = replace(FRONT_CORNER, survey=replace(FRONT_CORNER.survey, features=features))
    (front,) = car_view(*car(LF=FRONT_CORNER, RF=bare)).axles
    assert front.left_only == ("frame rail",)
    assert front.right_only == ()
    assert at("frame rail") not in [row.what for row in front.clearances]
    assert at("arch lip") in [row.what for row in front.clearances]


def test_nothing_is_said_of_an_unmeasured_place():
    left = WHOLE_ANSWER.corners["LF"]
    unknown = replace(left.places[0], verdict=Verdict.UNMEASURED)
    corners = {**WHOLE_ANSWER.corners, "LF": replace(left, places=(unknown, *left.places[1:]))}
    front, _ = car_view(WHOLE, replace(WHOLE_ANSWER, corners=corners)).axles
    assert front.clearances[0].left is None
    assert front.clearances[0].right is not None
    assert front.clearances[0].difference is None


def test_the_ratio_of_front_to_rear_is_that_of_the_circumferences():
    check = with_diameters(LF=640.0, RF=640.0, LR=630.0, RR=634.0)
    view = car_view(check, WHOLE_ANSWER)
    pair = view.tyres[-1]
    assert pair.names == (FRONT, REAR)
    assert pair.circumference_mm == pytest.approx((math.pi * 640, math.pi * 632))
    assert pair.ratio == pytest.approx(640 / 632)


def test_a_driven_pair_that_differs_by_more_than_the_limit_has_a_note():
    check = with_diameters(LF=640.0, RF=640.0, LR=630.0, RR=630.0)
    (note,) = car_view(check, WHOLE_ANSWER, Drive(ALL)).notes
    assert note == message(
        "tyres.apart",
        larger=message("tyres-of.front"),
        smaller=message("tyres-of.rear"),
        apart_share=pytest.approx(640 / 630 - 1),
        most_share=0.01,
        source="common practice, no source",
    )
    assert car_view(check, WHOLE_ANSWER, Drive(ALL, most_apart=0.02)).notes == ()
    (makers,) = car_view(
        check, WHOLE_ANSWER, Drive(ALL, most_apart=0.005, source="the car's maker")
    ).notes
    assert (makers.params["most_share"], makers.params["source"]) == (0.005, "the car's maker")


def test_the_limit_is_the_same_whichever_tyre_is_the_larger():
    for front, rear in ((640.0, 633.7), (633.7, 640.0)):  # 0.994 % of the smaller
        check = with_diameters(LF=front, RF=front, LR=rear, RR=rear)
        assert car_view(check, WHOLE_ANSWER, Drive(ALL)).notes == ()
    for front, rear in ((640.0, 633.6), (633.6, 640.0)):  # 1.01 % of the smaller
        check = with_diameters(LF=front, RF=front, LR=rear, RR=rear)
        assert len(car_view(check, WHOLE_ANSWER, Drive(ALL)).notes) == 1


def test_a_drive_of_all_four_needs_the_ratio_that_the_car_was_made_with():
    staggered = with_diameters(LF=630.0, RF=630.0, LR=648.0, RR=648.0)
    assert len(car_view(staggered, WHOLE_ANSWER, Drive(ALL)).notes) == 1
    assert car_view(staggered, WHOLE_ANSWER, Drive(ALL, original=0.9725)).notes == ()
    square = with_diameters(LF=640.0, RF=640.0, LR=640.0, RR=640.0)
    (note,) = car_view(square, WHOLE_ANSWER, Drive(ALL, original=0.9725)).notes
    assert note.code == "tyres.off-ratio"
    assert (note.params["ratio"], note.params["wanted"]) == (1.0, 0.9725)
    assert note.params["off_share"] == pytest.approx(0.0283, abs=5e-5)


@pytest.mark.parametrize("driven", ["", REAR, FRONT])
def test_axles_that_no_drive_joins_may_differ(driven):
    check = with_diameters(LF=640.0, RF=640.0, LR=600.0, RR=600.0)
    assert car_view(check, WHOLE_ANSWER, Drive(driven)).notes == ()


def test_left_and_right_of_a_driven_axle_are_held_against_each_other():
    check = with_diameters(LF=640.0, RF=640.0, LR=630.0, RR=640.0)
    (note,) = car_view(check, WHOLE_ANSWER, Drive(REAR)).notes
    assert note.params["larger"] == message("tyres-of.RR")
    assert note.params["smaller"] == message("tyres-of.LR")
    assert car_view(check, WHOLE_ANSWER, Drive(FRONT)).notes == ()


def together(axle):
    return {row.what.code: row.value for row in axle.together}


def test_total_toe_cross_camber_and_caster_are_said_for_the_axle():
    front, rear = car_view(WHOLE, WHOLE_ANSWER).axles
    left, right = (WHOLE_ANSWER.corners[name].static for name in ("LF", "RF"))
    assert together(front) == pytest.approx(
        {
            "figure.total-toe": left.toe_deg + 0.2,
            "figure.cross-camber": left.camber_deg - right.camber_deg,
            "figure.cross-caster": left.caster_deg - right.caster_deg,
        }
    )
    assert together(rear)["figure.thrust-angle"] == 0.0
    assert "figure.cross-caster" not in together(rear)


def test_a_rear_axle_with_more_toe_in_on_the_left_points_to_the_right():
    static = WHOLE_ANSWER.corners["LR"].static
    left = replace(WHOLE_ANSWER.corners["LR"], static=replace(static, toe_deg=static.toe_deg + 0.2))
    askew = replace(WHOLE_ANSWER, corners={**WHOLE_ANSWER.corners, "LR": left})
    _, rear = car_view(WHOLE, askew).axles
    assert together(rear)["figure.thrust-angle"] == pytest.approx(0.1)


def test_clearances_carry_the_uncertainty_of_each_side():
    front, _ = car_view(WHOLE, WHOLE_ANSWER).axles
    for row in front.clearances:
        sigmas = [
            next(p.sigma_mm for p in WHOLE_ANSWER.corners[name].places if at(p.place) == row.what)
            for name in ("LF", "RF")
        ]
        assert row.sigma == tuple(sigmas)


def test_growth_at_speed_is_no_difference_between_tyres_but_wear_is():
    check = with_diameters(LF=640.0, RF=640.0)
    left = check.corners["LF"]
    for tyre, apart in (
        (replace(left.tyre, growth_mm=4.0), 0.0),
        (replace(left.tyre, worn_mm=4.0), -8 * math.pi),
    ):
        corners = {**check.corners, "LF": replace(left, tyre=tyre)}
        one, other = tyres(replace(check, corners=corners), ("LF", "RF")).circumference_mm
        assert one - other == pytest.approx(apart)


def test_an_unknown_drive_is_refused():
    with pytest.raises(ValueError, match="no such drive"):
        Drive("sideways")

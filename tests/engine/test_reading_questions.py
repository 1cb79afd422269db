"""What looks wrong in readings is asked at once, and what is right is not."""

from __future__ import annotations

import copy

import pytest

from common.message import Message
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.survey.reading_questions import question_of, questions
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import HANGING, JACKED, LOCK_IN, LOCK_OUT, STANDING, Reading
from tests.engine.test_sheet import BASE, SETTING, SPACE, TYRE

BAR = {"thickness_mm": 10.0, "along_mm": 350.0, "depth_mm": 290.0, "depth_side": "inboard"}


def asked(*readings: Reading, on: Sheet | None = None) -> Message | None:
    """The question about the last reading."""
    before = on.readings if on else (SETTING, SPACE, TYRE)
    last = Reading(**{**readings[-1].__dict__, "key": 77})
    sheet = Sheet([*before, *readings[:-1], last], on.base if on else None)
    return question_of(sheet, last)


def edge(clock: float, along: float, out: float, place: str = "arch lip") -> Reading:
    figures = {"block_mm": 30.0, "along_mm": along, "edge_mm": out, "clock_deg": clock}
    return Reading("straightedge", figures, place)


def lock(name: str, plate: float) -> Reading:
    return Reading("pose", {"plate_deg": plate}, "", name)


@pytest.mark.parametrize(
    ("code", "readings"),
    [
        ("ask.inside-tyre", [edge(30, 300, -60)]),
        ("ask.camber", [Reading("setting", {**SETTING.values, "camber_deg": 2})]),
        ("ask.toe", [Reading("setting", {**SETTING.values, "toe_deg": 2.5})]),
        ("ask.meant", [Reading("setting", {**SETTING.values, "height_mm": 36.8})]),
        ("ask.front-space", [Reading("front_space", {"front_space_mm": 6.2, "cap_depth_mm": 30})]),
        ("ask.around", [Reading("present_tyre", {**TYRE.values, "circumference_mm": 1890})]),
        ("ask.plate", [lock(LOCK_IN, 4)]),
        ("ask.locks", [lock(LOCK_OUT, 31), lock(LOCK_IN, 37)]),
        ("ask.bar-standing",
         [Reading("hub_bar", {**BAR, "clock_deg": 20.0}, "inner panel", STANDING)]),
        ("ask.rim-hanging",
         [Reading("pose", {"height_mm": 420}, "", HANGING),
          Reading("straightedge", edge(30, 370, -5).values, "arch lip", HANGING)]),
        ("ask.bulge", [Reading("gap", {"gap_mm": 30, "spot": "crown", "clock_deg": 170}, "floor")]),
        ("ask.jacked", [Reading("pose", {"height_mm": 390}, "", JACKED)]),
        ("ask.hanging", [Reading("pose", {"height_mm": 330}, "", HANGING)]),
        ("ask.read-twice", [edge(30, 370, -5), edge(31, 388, -5)]),
        ("ask.joint-pose",
         [Reading("pose", {"height_mm": 420}, "", HANGING),
          Reading("joint", {"joint": "lower ball joint", "forward_mm": 0, "inboard_mm": 80,
                            "up_mm": -110}, "", HANGING)]),
        ("ask.dip",
         [Reading("bump_left", {"shaft_mm": 60, "solid_mm": 20, "motion_ratio": 1}),
          Reading("bump_used", {"tie_mm": 55, "motion_ratio": 1})]),
    ],
)  # fmt: skip
def test_a_slip_is_asked_about(code: str, readings: list[Reading]) -> None:
    told = asked(*readings)
    assert told is not None
    assert told.code == code


def test_a_spot_that_was_read_twice_is_asked_about_with_how_far_apart() -> None:
    told = asked(edge(30, 370, -5), edge(31, 388, -5))
    assert told is not None
    assert told.params["apart_mm"] == pytest.approx(18, abs=1)


@pytest.mark.parametrize(
    "readings",
    [
        [edge(30, 370, -5)],
        [lock(LOCK_OUT, 37), lock(LOCK_IN, 33)],
        [Reading("pose", {"height_mm": 420}, "", HANGING),
         Reading("hub_bar", {**BAR, "clock_deg": 20.0}, "inner panel", HANGING)],
        [Reading("gap", {"gap_mm": 30, "spot": "crown", "clock_deg": 60}, "arch liner")],
        [Reading("joint", {"joint": "lower ball joint", "forward_mm": 0, "inboard_mm": 80,
                           "up_mm": -110})],
        [Reading("bump_left", {"shaft_mm": 80, "solid_mm": 20, "motion_ratio": 1}),
         Reading("bump_used", {"tie_mm": 35, "motion_ratio": 1})],
    ],
)  # fmt: skip
def test_what_is_right_is_not_asked_about(readings: list[Reading]) -> None:
    assert asked(*readings) is None


def test_front_and_rear_mixed_up_is_told_from_a_body_that_is_not_straight() -> None:
    lopsided = copy.deepcopy(STRUT_FRONT)
    lip = lopsided["survey"]["features"][0]["points"]
    for point in lip:
        point["radius_mm"] += 0.3 * point["clock_deg"]  # higher in front than behind
    other = checkfile.parse_corner_survey(lopsided)
    sheet = [SETTING, SPACE]
    there = next(p for p in other.survey.features[0].points if p.clock_deg == 45)
    swapped = edge(-45, there.radius_mm, there.axial_mm - 92)
    moved = edge(-45, there.radius_mm, there.axial_mm - 92 + 25)
    right = edge(45, there.radius_mm, there.axial_mm - 92)
    told = [
        [question.code for _, question in questions(Sheet([*sheet, one]), other)]
        for one in (swapped, moved, right)
    ]
    assert told == [["ask.front-and-rear"], ["ask.sides-apart"], []]


def test_two_spots_of_a_strut_at_one_clock_are_no_contradiction() -> None:
    rows = [
        Reading("hub_bar", {**BAR, "along_mm": along, "clock_deg": -6.0}, "strut tube", HANGING)
        for along in (110.0, 330.0)
    ]
    sheet = Sheet([SPACE, Reading("pose", {"height_mm": 420}, "", HANGING), *rows], BASE)
    assert questions(sheet, None) == ()

"""What looks wrong in readings is asked at once, and what is right is not."""

from __future__ import annotations

import copy

import pytest

from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.survey.reading_questions import question_of, questions
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import HANGING, JACKED, LOCK_IN, LOCK_OUT, STANDING, Reading
from tests.engine.test_sheet import BASE, SETTING, SPACE, TYRE

BAR = {"thickness_mm": 10.0, "along_mm": 350.0, "depth_mm": 290.0, "depth_side": "inboard"}


def asked(*readings: Reading, on: Sheet | None = None) -> str:
    """The question about the last reading."""
    before = on.readings if on else (SETTING, SPACE, TYRE)
    last = Reading(**{**readings[-1].__dict__, "key": 77})
    sheet = Sheet([*before, *readings[:-1], last], on.base if on else None)
    return question_of(sheet, last)


def edge(clock: float, along: float, out: float, place: str = "fender lip") -> Reading:
    figures = {"block_mm": 30.0, "along_mm": along, "edge_mm": out, "clock_deg": clock}
    return Reading("straightedge", figures, place)


def lock(name: str, plate: float) -> Reading:
    return Reading("pose", {"plate_deg": plate}, "", name)


@pytest.mark.parametrize(
    ("words", "readings"),
    [
        ("inside the tyre", [edge(30, 300, -60)]),
        ("top inboard counted negative", [Reading("setting", {**SETTING.values, "camber_deg": 2})]),
        ("this wheel alone", [Reading("setting", {**SETTING.values, "toe_deg": 2.5})]),
        ("in millimetres", [Reading("setting", {**SETTING.values, "height_mm": 36.8})]),
        ("offset would be", [Reading("front_space", {"front_space_mm": 6.2, "cap_depth_mm": 30})]),
        ("round the crown", [Reading("present_tyre", {**TYRE.values, "circumference_mm": 1890})]),
        ("still ahead", [lock(LOCK_IN, 4)]),
        ("mixed up", [lock(LOCK_OUT, 31), lock(LOCK_IN, 37)]),
        ("a bare hub, and that does not stand",
         [Reading("hub_bar", {**BAR, "clock_deg": 20.0}, "inner panel", STANDING)]),
        ("Was the wheel still on",
         [Reading("pose", {"height_mm": 420}, "", HANGING),
          Reading("straightedge", edge(30, 370, -5).values, "fender lip", HANGING)]),
        ("bulges", [Reading("gap", {"gap_mm": 30, "spot": "crown", "clock_deg": 170}, "floor")]),
        ("nearer to the hub", [Reading("pose", {"height_mm": 390}, "", JACKED)]),
        ("farther from the hub", [Reading("pose", {"height_mm": 330}, "", HANGING)]),
        ("read 18 mm from here", [edge(30, 370, -5), edge(31, 388, -5)]),
        ("turns with the hub",
         [Reading("pose", {"height_mm": 420}, "", HANGING),
          Reading("joint", {"joint": "lower ball joint", "forward_mm": 0, "inboard_mm": 80,
                            "up_mm": -110}, "", HANGING)]),
        ("more than the",
         [Reading("bump_left", {"shaft_mm": 60, "solid_mm": 20, "motion_ratio": 1}),
          Reading("bump_used", {"tie_mm": 55, "motion_ratio": 1})]),
    ],
)  # fmt: skip
def test_a_slip_is_asked_about(words: str, readings: list[Reading]) -> None:
    assert words in asked(*readings)


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
    assert asked(*readings) == ""


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
    said = [
        " ".join(words for _, words in questions(Sheet([*sheet, one]), other))
        for one in (swapped, moved, right)
    ]
    assert "Front and rear mixed up?" in said[0]
    assert "is the body not straight?" in said[1]
    assert said[2] == ""


def test_two_spots_of_a_strut_at_one_clock_are_no_contradiction() -> None:
    rows = [
        Reading("hub_bar", {**BAR, "along_mm": along, "clock_deg": -6.0}, "strut tube", HANGING)
        for along in (110.0, 330.0)
    ]
    sheet = Sheet([SPACE, Reading("pose", {"height_mm": 420}, "", HANGING), *rows], BASE)
    assert questions(sheet, None) == ()

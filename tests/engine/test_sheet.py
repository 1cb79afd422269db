"""A sheet of readings: poses brought back by the model, what is asked next, what looks odd."""

from __future__ import annotations

import copy
import math
from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import Planned
from alignment.geometry.motion import motion_of
from common.message import message
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.model import PoseAt, SigmaParts, SpotAnswer, UncertaintyPart
from fitment.engine.survey.next_reading import settling, uses
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_questions import questions
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import HANGING, LOCK_IN, LOCK_OUT, STANDING, Reading
from fitment.engine.survey.sheet_survey import document_of
from fitment.engine.survey.steps import next_step, steps
from fitment.engine.survey.surveying import BadReading, Pose
from tests.engine.test_surveying import WITHIN_MM, Stand, stand

BASE = checkfile.parse_corner_survey(copy.deepcopy(STRUT_FRONT))
SPACE = Reading("front_space", {"front_space_mm": 62.0, "cap_depth_mm": 30.0})
TYRE = Reading(
    "present_tyre", {"size": "225/45R17", "rim_width_in": 7.5, "circumference_mm": 1990.0}
)
SETTING = Reading("setting", {"camber_deg": -1.4, "toe_deg": 0.05, "height_mm": 368.0})
REFERENCE_MM = Sheet([SPACE], BASE).reference_height_mm or 0.0
#: The lip over the middle of the bare hub as surveyed: at the top of the edge, seen along the car.
LIP_MM = 368.0 * math.cos(math.radians(BASE.survey.camber_deg)) - 90.0 * math.sin(
    math.radians(BASE.survey.camber_deg)
)


def by_model(travel: float, steer: float) -> Stand:
    """The wheel as the surveyed suspension holds it."""
    motion = motion_of(BASE.suspension, BASE.survey.camber_deg, BASE.survey.toe_deg)
    settled, one = motion.settle([Planned(toe_deg=BASE.survey.toe_deg)]), np.zeros(1, int)
    steered = motion.steered(settled, one, np.radians([steer]))
    there = motion.travelled(settled, steered, one, np.array([travel]))
    x, y, z = there.spin[0]
    pose = Pose(
        -math.degrees(math.asin(z)), math.degrees(math.atan2(x, y)), tuple(map(float, there.hub[0]))
    )
    return stand(pose)


@pytest.mark.parametrize("seed", range(25))
@pytest.mark.parametrize("name", [HANGING, LOCK_IN, LOCK_OUT])
def test_a_bar_reading_in_another_pose_comes_back_by_the_surveyed_suspension(
    seed: int, name: str
) -> None:
    rng = np.random.default_rng(seed)
    travel = float(rng.uniform(-55, -20)) if name == HANGING else 0.0
    lock = float(rng.uniform(15, 32))
    steer = {HANGING: 0.0, LOCK_IN: lock, LOCK_OUT: -lock}[name]
    wheel = by_model(travel, steer)
    clock, radius, axial = rng.uniform(-60, 60), rng.uniform(300, 380), rng.uniform(-320, -100)
    truth = wheel.place(clock, radius, axial)
    posed = Reading(
        "pose",
        {"plate_deg": lock} if steer else {"height_mm": LIP_MM - travel},
        "",
        name,
    )
    bar = {"thickness_mm": 10.0, "along_mm": radius, "depth_mm": 10.0 - axial, "clock_deg": clock}
    read = Reading("hub_bar", {**bar, "depth_side": "inboard"}, "inner panel", name)
    point = Sheet([SPACE, posed, read], BASE).points[0].taken.point
    survey = stand(Pose(BASE.survey.camber_deg, BASE.survey.toe_deg))
    back = survey.place(point.clock_deg, point.radius_mm, point.axial_mm)
    assert np.linalg.norm(back - truth) < WITHIN_MM


def test_what_the_knuckle_carries_stays_where_it_is_about_the_hub_in_any_pose() -> None:
    posed = Reading("pose", {"height_mm": REFERENCE_MM + 50}, "", HANGING)
    bar = {"thickness_mm": 10.0, "along_mm": 190.0, "depth_mm": 60.0, "clock_deg": 80.0}
    read = Reading("hub_bar", {**bar, "depth_side": "inboard"}, "brake caliper", HANGING)
    point = Sheet([SPACE, posed, read], BASE).points[0].taken.point
    assert (point.clock_deg, point.radius_mm, point.axial_mm) == (80.0, 190.0, -50.0)


def test_the_newest_reference_moves_every_point_that_is_counted_from_it() -> None:
    edge = {"block_mm": 30.0, "along_mm": 370.0, "edge_mm": -6.0, "clock_deg": 30.0}
    readings = [SETTING, SPACE, Reading("straightedge", edge, "arch lip")]
    before = Sheet(readings).points[0].taken.point.axial_mm
    space = Reading("front_space", {"front_space_mm": 65.0, "cap_depth_mm": 30.0})
    assert Sheet([*readings, space]).points[0].taken.point.axial_mm == pytest.approx(before + 3)


def test_spots_that_were_not_read_again_stay_as_they_were() -> None:
    edge = {"block_mm": 30.0, "along_mm": 371.0, "edge_mm": -7.0, "clock_deg": 45.0}
    sheet = Sheet([SPACE, Reading("straightedge", edge, "arch lip")], BASE)
    document = document_of(sheet, STRUT_FRONT)
    assert document["survey"]["features"][1:] == STRUT_FRONT["survey"]["features"][1:]
    lip = document["survey"]["features"][0]
    assert len(lip["points"]) == 7
    assert document["limits"] == STRUT_FRONT["limits"]


def test_a_gap_gives_a_place_that_was_not_measured_and_leaves_a_measured_one_alone() -> None:
    at = {"spot": "inner wall", "gap_mm": 22.0, "clock_deg": 10.0}
    gaps = [Reading("gap", at, place) for place in ("inner panel", "heat shield")]
    document = document_of(Sheet([SPACE, TYRE, SETTING, *gaps], BASE), STRUT_FRONT)
    features = {feature["place"]: feature for feature in document["survey"]["features"]}
    known = {feature["place"]: feature for feature in STRUT_FRONT["survey"]["features"]}
    assert features["inner panel"] == known["inner panel"]
    assert len(features["heat shield"]["points"]) == 1


def test_the_survey_is_asked_in_the_order_of_the_work() -> None:
    wanted = steps(Sheet([]), steered=True)
    assert [step.part for step in wanted] == sorted(step.part for step in wanted)
    first = next_step(wanted)
    assert first is not None
    assert first.form == "plan"
    assert {step.form for step in wanted} <= set(FORMS)
    straight = steps(Sheet([]), steered=False)
    assert "B" not in {step.part for step in straight}


def test_what_is_missing_is_said_by_use() -> None:
    bare = BASE._replace(
        survey=replace(BASE.survey, features=BASE.survey.features[:1]),
        limits=replace(BASE.limits, bump_mm=None),
        compliance=None,
    )
    still, locks, driven, loaded = uses(bare, Sheet([]), steered=True)
    assert "open.inboard" in {told.code for told in still.missing}
    assert message("open.carried") in locks.missing
    assert message("lacks.bump") in driven.missing
    assert message("lacks.compliance") in loaded.missing
    assert all(not use.missing for use in uses(BASE, Sheet([]), steered=True))


def test_a_height_that_shrinks_when_it_hangs_and_a_camber_that_differs_are_questioned() -> None:
    line = {"height_mm": 368.0, "line_top_mm": 10.0, "line_bottom_mm": 26.0, "lip_radius_mm": 233.0}
    sheet = Sheet(
        [
            SETTING,
            SPACE,
            Reading("plumb_line", line, "arch lip", STANDING, 4),
            Reading("pose", {"height_mm": 300.0}, "", HANGING, 5),
        ]
    )
    asked = dict(questions(sheet, None))
    assert asked[4].code == "ask.plumb-line-camber"
    assert asked[5] == message("ask.hanging")


def doubtful(**parts: float) -> SpotAnswer:
    uncertainty = tuple(UncertaintyPart(name.replace("_", " "), mm) for name, mm in parts.items())
    sigma = math.sqrt(sum(mm * mm for mm in parts.values()))
    moment = PoseAt(30.0, -25.0)
    return SpotAnswer(
        "inner panel", "body", "hard", 4.0, 5.0, sigma, 0.2, "doubtful", moment,
        (0, 0), (0, 0), "tyre", uncertainty, sigma_parts=told_apart(parts),
    )  # fmt: skip


def told_apart(parts: dict[str, float]) -> SigmaParts:
    """The parts by what they belong to."""
    survey = math.hypot(*(mm for name, mm in parts.items() if name.startswith("survey")))
    between = parts.get("from_car_to_car", 0.0)
    job = math.sqrt(sum(mm * mm for mm in parts.values()) - survey**2 - between**2)
    return SigmaParts(survey, between, job)


def test_the_reading_that_cuts_the_uncertainty_most_is_named_with_what_is_left() -> None:
    found = settling(
        [doubtful(survey_radius=5.0, survey_axial=2.0, from_car_to_car=3.0, bump_limit=1.0)]
    )
    assert found is not None
    assert (found.form, found.pose) == ("gap", LOCK_OUT)
    before, own = 5.0**2 + 2.0**2 + 3.0**2, 1.5**2 + 1.0 + 2.0**2  # wedge, tyre, height
    left = 1.0 / (1.0 / before + 1.0 / own)
    same_car, bump = 1.0, 1.0
    assert found.before_mm == pytest.approx(math.sqrt(before + bump))
    assert found.after_mm == pytest.approx(math.sqrt(left + same_car + bump), rel=0.02)
    found = settling([doubtful(survey_radius=1.0, bump_limit=6.0)])
    assert found is not None
    assert found.form == "bump_left"
    assert settling([doubtful(section_width=4.0)]) is None


@pytest.mark.parametrize("name", [LOCK_IN, HANGING])
def test_a_pose_that_nothing_tells_is_refused(name: str) -> None:
    with pytest.raises(BadReading):
        Sheet([SETTING, SPACE, TYRE]).pose(name)

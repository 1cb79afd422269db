"""Damaged check files: each fault is named by its path and its reason, and none hides another."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from fitment.engine import checkfile
from tests.engine.files import (
    CURVES,
    GONE,
    LINKS,
    REAR_STRUT,
    STRUT,
    document,
    put,
    text_of,
    wishbones_name,
)

WISHBONES = wishbones_name()


def problems_of(spoilt: object) -> dict[str, str]:
    with pytest.raises(checkfile.BadCheckFile) as caught:
        checkfile.parse(spoilt)
    return {problem.path: problem.message for problem in caught.value.problems}


def corner_of(name: str) -> str:
    (corner,) = document(name)["corners"]
    return f"corners.{corner}"


BASKET = [[40, 300], [90, 240]]  # a "profile" of too few points
FOUR = [
    {"name": f"rod {number}", "inner": [0, -400, 50 * number], "outer": [0, -100, 50 * number]}
    for number in range(4)
]

# Example; place of the damage within the corner (a leading / means from the top of the file); the
# value put there; a word of the reason. The problem is expected at the same place, unless a fifth
# item names another.
DAMAGE: list[tuple[Any, ...]] = [
    # The file itself
    (STRUT, "/archroom_check", GONE, "missing"),
    (STRUT, "/archroom_check", 2, "version"),
    (STRUT, "/archroom_check", True, "version"),
    (STRUT, "/archroom_check", "1", "version"),
    (STRUT, "/label", 7, "text"),
    (STRUT, "/label", "tab\there", "printed"),
    (STRUT, "/labels", "x", "perhaps label"),
    (STRUT, "/corners", {}, "empty"),
    (STRUT, "/corners", GONE, "missing"),
    (STRUT, "/corners", [], "object"),
    (STRUT, "/corners.FL", {}, "not known"),
    # Duty
    (STRUT, "/duty", GONE, "missing"),
    (STRUT, "/duty", "rally", "street"),
    (STRUT, "/duty", 3, "object"),
    (STRUT, "/duty.envelope", [[0, 1]], "2 to"),
    (STRUT, "/duty.envelope", [[0.1, 1], [1, 1]], "straight ahead", "/duty.envelope[0][0]"),
    (STRUT, "/duty.envelope", [[0, 1], [0.9, 1]], "full lock", "/duty.envelope[1][0]"),
    (STRUT, "/duty.envelope", [[0, 1], [0.5, 1], [0.5, 0], [1, 0]], "rise", "/duty.envelope[2][0]"),
    (STRUT, "/duty.envelope[1]", [0.25], "2"),
    (STRUT, "/duty.envelope[1][1]", 1.2, "0 to 1"),
    (STRUT, "/duty.droop_fraction", -0.1, "plausible"),
    (STRUT, "/duty.lateral_g", "0.5", "number, not a text"),
    (STRUT, "/duty.needed_mm.firm", 3, "not known"),
    # Survey
    (STRUT, "survey", GONE, "missing"),
    (STRUT, "survey.setting.camber_deg", True, "number, not true or false"),
    (STRUT, "survey.setting.camber_deg", math.nan, "finite"),
    (STRUT, "survey.setting.camber_deg", -45, "plausible"),
    (STRUT, "survey.setting.toe_deg", math.inf, "finite"),
    (STRUT, "survey.setting.toe_deg", 10**400, "finite"),
    (STRUT, "survey.features", GONE, "missing"),
    (STRUT, "survey.features", {}, "list"),
    (STRUT, "survey.features[0]", None, "null"),
    (STRUT, "survey.features[0].place", "", "empty"),
    (STRUT, "survey.features[1].place", "Arch lip", "features[0]"),
    (STRUT, "survey.features[0].carried_by", "door", "body, knuckle, strut or link"),
    (STRUT, "survey.features[0].shape", GONE, "missing"),
    (STRUT, "survey.features[0].surface", "spongy", "hard or soft"),
    (STRUT, "survey.features[0].half_thickness_mm", -1, "plausible"),
    (STRUT, "survey.features[0].sigma_mm", -1, "plausible"),
    (STRUT, "survey.features[0].points", [], "0 items"),
    (STRUT, "survey.features[0].points", GONE, "xyz_mm"),
    (STRUT, "survey.features[0].points[1]", [1, 2, 3], "object"),
    (STRUT, "survey.features[0].points[1].radius_mm", 3660, "plausible"),
    (STRUT, "survey.features[0].points[1].radius_mm", -366, "plausible"),
    (STRUT, "survey.features[0].points[1].clock_deg", 720, "plausible"),
    (STRUT, "survey.features[0].points[1].axial_mm", None, "missing"),
    (STRUT, "survey.features[0].points[1].depth_mm", 4, "not known"),
    (STRUT, "survey.features[0].xyz_mm", [[0, 0, 0], [1, 1, 1]], "one of the two"),
    (STRUT, "survey.features[2].xyz_mm", [[0, 0, 0]], "1 item,"),
    (STRUT, "survey.features[2].xyz_mm[1]", [1, 2], "3"),
    (STRUT, "survey.features[2].xyz_mm[1]", [-280.0, -282.3, 60.9], "same as"),
    (STRUT, "survey.features[4].taken_at", {"travel_mm": 10, "steer_deg": 0}, "body"),
    (STRUT, "survey.features[2].taken_at", {"travel_mm": 10, "steer_deg": 0}, "xyz_mm"),
    (
        REAR_STRUT,
        "survey.features[0].taken_at",
        {"travel_mm": 10, "steer_deg": 20},
        "does not steer",
        "survey.features[0].taken_at.steer_deg",
    ),
    (
        CURVES,
        "survey.features[0].taken_at",
        {"travel_mm": 90, "steer_deg": 20},
        "outside the curves",
        "survey.features[0].taken_at.travel_mm",
    ),
    (LINKS, "survey.features[3].carried_by", "strut", "no strut"),
    (
        STRUT,
        "survey.open",
        [{"side": "left", "from_deg": 0, "to_deg": 9, "beyond_mm": 60}],
        "inboard or outboard",
        "survey.open[0].side",
    ),
    (
        STRUT,
        "survey.open",
        [{"side": "inboard", "from_deg": 9, "to_deg": 0, "beyond_mm": 60}],
        "after",
        "survey.open[0].to_deg",
    ),
    # Suspension
    (STRUT, "suspension.kind", "beam", "strut, wishbones, links or curves"),
    (STRUT, "suspension.kind", GONE, "missing"),
    (STRUT, "suspension.lower_ball_joint", GONE, "missing"),
    (STRUT, "suspension.upper_ball_joint", [0, 0, 0], "not known"),
    (STRUT, "suspension.strut_top", [1, 2, "3"], "text", "suspension.strut_top[2]"),
    (STRUT, "suspension.strut_top", [1, 2, 30000], "plausible", "suspension.strut_top[2]"),
    (STRUT, "suspension.tie_outer", [-140.4, -416.0, -21.4], "no length"),
    (STRUT, "suspension.strut_lower", [-66.5, -185.7, 420.7], "no length"),
    (STRUT, "suspension.lower_arm_rear", [8.7, -443.8, -68.0], "bush axis"),
    (STRUT, "suspension.reach", {"toe_link_mm": [3, -3]}, "above", "suspension.reach.toe_link_mm"),
    (STRUT, "suspension.reach", {"toe_link_mm": 3}, "list", "suspension.reach.toe_link_mm"),
    (
        STRUT,
        "suspension.reach",
        {"upper_arm_in_mm": [0, 3]},
        "no such adjuster",
        "suspension.reach.upper_arm_in_mm",
    ),
    (
        LINKS,
        "suspension.reach",
        {"rod:middle": [0, 3]},
        "no such adjuster",
        'suspension.reach["rod:middle"]',
    ),
    (WISHBONES, "suspension.upper_arm_rear", GONE, "missing"),
    (WISHBONES, "suspension.knuckle_pivot", [0, 0, 0], "not known"),
    (LINKS, "suspension.links", FOUR, "exactly 5"),
    (LINKS, "suspension.links[4].toe", False, "exactly one", "suspension.links"),
    (LINKS, "suspension.links[0].toe", True, "exactly one", "suspension.links"),
    (LINKS, "suspension.links[0].toe", 1, "true or false"),
    (LINKS, "suspension.links[1].name", "lower front", "earlier rod"),
    (LINKS, "suspension.links[0].outer", [175.8, -432.4, -90.8], "no length"),
    (CURVES, "suspension.table", GONE, "missing"),
    (CURVES, "suspension.table[3]", GONE, "no row for travel 0", "suspension.table"),
    (CURVES, "suspension.table[3].camber_deg", 0.2, "all zeros", "suspension.table[3]"),
    (CURVES, "suspension.table[5].travel_mm", 10, "rise"),
    (CURVES, "suspension.steer_axis", GONE, "steers"),
    (CURVES, "suspension.steer_axis.point", GONE, "missing"),
    (CURVES, "suspension.camber_pivots.top_mount", GONE, "no pivot", "planned.camber_by"),
    (CURVES, "limits.bump_mm", 75, "past their ends", "suspension.table"),
    # Limits and compliance
    (STRUT, "limits.droop_mm", GONE, "missing"),
    (STRUT, "limits.bump_mm", 5400, "plausible"),
    (STRUT, "limits.bump_mm", 20, "rest on its stops", "planned.adjusters.bump_stop_mm"),
    (STRUT, "limits.bump_mm", 16, "rest on its stops", "planned.adjusters.ride_height_mm"),
    (STRUT, "limits.bump_mm", -60, "no travel"),
    (STRUT, "limits.steer_out_deg", 0, "other way"),
    (STRUT, "limits.steer_out_deg", GONE, "other way"),
    (STRUT, "limits.steer_in_deg", -28, "plausible"),
    (STRUT, "planned.adjusters.ride_height_mm", 60, "droop stop"),
    (STRUT, "compliance.toe_deg_per_g", "0.1", "number, not a text"),
    (STRUT, "compliance.aft_mm_per_g", 99, "plausible"),
    (STRUT, "compliance.tyre_side_mm_per_g", -1, "plausible"),
    (STRUT, "/duty.longitudinal_g", 3, "plausible"),
    (STRUT, "/duty.inner", 1, "true or false"),
    (STRUT, "compliance", 1, "object"),
    # Settings
    (STRUT, "planned", GONE, "missing"),
    (STRUT, "planned.toe_deg", GONE, "missing"),
    (STRUT, "planned.camber_by", GONE, "different room"),
    (STRUT, "planned.camber_deg", GONE, "no camber_deg", "planned.camber_by"),
    (STRUT, "planned.camber_by", "upper_arm", "top_mount"),
    (WISHBONES, "planned.camber_by", "top_mount", "upper_arm"),
    (STRUT, "planned.adjusters.rods_mm", {"upper front": 1}, "no named rods"),
    (STRUT, "planned.adjusters.upper_arm_in_mm", 1, "no such adjuster"),
    (CURVES, "planned.adjusters.toe_link_mm", 1, "no such adjuster"),
    (STRUT, "planned.adjusters.bump_stop_mm", -5, "plausible"),
    (STRUT, "planned.adjusters.camber_mm", 1, "not known"),
    (
        LINKS,
        "planned.adjusters.rods_mm",
        {"middle": 1},
        "name of a rod",
        "planned.adjusters.rods_mm.middle",
    ),
    (STRUT, "planned.sigma", {"toe_deg": -0.1}, "plausible", "planned.sigma.toe_deg"),
    (STRUT, "planned.sigma", {"toe_degs": 0.1}, "perhaps toe_deg", "planned.sigma.toe_degs"),
    # Wheel and tyre
    (STRUT, "wheel", GONE, "missing"),
    (STRUT, "wheel.width_in", GONE, "missing"),
    (STRUT, "wheel.width_in", 165, "plausible"),
    (STRUT, "wheel.offset_mm", "ET44", "number"),
    (STRUT, "wheel.diameter_in", 17, "16 in rim", "tyre.size"),
    (STRUT, "wheel.spacer_mm", -3, "plausible"),
    (STRUT, "wheel.spoke_back", [[-10, 90], [-20, 60]], "falls", "wheel.spoke_back[1][1]"),
    (STRUT, "wheel.spoke_back", [[-10, 90], [-20, 260]], "bead seat"),
    (STRUT, "wheel.spoke_backs", [], "perhaps spoke"),
    (STRUT, "tyre.size", GONE, "missing"),
    (STRUT, "tyre.size", "185R16", "aspect ratio"),
    (STRUT, "tyre.size", "wide", "265/35R18"),
    (STRUT, "tyre.section_width_mm", GONE, "section width", "tyre.measuring_rim_in"),
    (STRUT, "tyre.tread_width_mm", 215, "narrower"),
    (STRUT, "tyre.shoulder_drop_mm", 60, "widest point"),
    (STRUT, "tyre.overall_diameter_mm", 430, "flange"),
    (STRUT, "tyre.profile", BASKET, "items"),
    (STRUT, "tyre.profile[3][0]", -103, "crosses itself", "tyre.profile"),
    (STRUT, "tyre.profile[3]", [107.0, 259.6], "turns back", "tyre.profile"),
    (STRUT, "tyre.profile[0]", [82.55, 160], "bead seat", "tyre.profile"),
    (STRUT, "tyre.profile[5]", [53.5], "2"),
    (STRUT, "tyre.sigma_width_mm", -3, "plausible"),
]


@pytest.mark.parametrize("case", DAMAGE, ids=[f"{case[1]}={str(case[2])[:24]}" for case in DAMAGE])
def test_a_fault_is_named_by_its_path_and_reason(case: tuple[Any, ...]) -> None:
    name, where, value, word, *elsewhere = case
    spoilt = document(name)

    def full(path: str) -> str:
        return path[1:] if path.startswith("/") else f"{corner_of(name)}.{path}"

    put(spoilt, full(where), value)
    problems = problems_of(spoilt)
    expected = full(elsewhere[0] if elsewhere else where)
    assert word in problems[expected], problems
    assert len(problems) <= 2, "one fault should not raise a string of others"


@pytest.mark.parametrize("kind", [STRUT, WISHBONES, LINKS, CURVES])
def test_the_undamaged_files_are_good(kind: str) -> None:
    checkfile.parse(document(kind))


def test_a_profile_the_wrong_way_round_is_refused() -> None:
    spoilt = document(STRUT)
    spoilt["corners"]["LF"]["tyre"]["profile"].reverse()
    assert "outboard bead" in problems_of(spoilt)["corners.LF.tyre.profile"]


def test_a_mirrored_profile_is_refused() -> None:
    spoilt = document(STRUT)
    profile = spoilt["corners"]["LF"]["tyre"]["profile"]
    spoilt["corners"]["LF"]["tyre"]["profile"] = [[-b, r] for b, r in profile]
    assert "outboard bead" in problems_of(spoilt)["corners.LF.tyre.profile"]


def test_several_faults_are_all_listed_in_one_pass() -> None:
    spoilt = document(STRUT)
    faults = {
        "corners.LF.survey.features[2].xyz_mm[0][1]": "x",
        "corners.LF.survey.features[0].points[0].radius_mm": 36,
        "corners.LF.survey.features[0].points[3].radius_mm": None,
        "corners.LF.suspension.tie_inner": GONE,
        "corners.LF.limits.droop_mm": GONE,
        "corners.LF.planned.camber_by": "magic",
        "corners.LF.wheel.with_in": 8,
        "corners.LF.tyre.tread_width_mm": 400,
        "corners.LF.tyre.shoulder_drop_mm": 90,
        "corners.RL": {},
        "duty.envelope[1][0]": 2,
        "lable": "x",
    }
    for path, value in faults.items():
        put(spoilt, path, value)
    spoilt["corners"]["LF"]["survey"]["features"][0]["points"][0]["radius_mm"] = 3
    assert set(problems_of(spoilt)) == set(faults)


@pytest.mark.parametrize("value", [None, [], "text", 3, True, math.nan])
def test_a_document_that_is_no_object_is_refused(value: object) -> None:
    assert "object" in problems_of(value)[""]


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "not JSON"),
        ("{", "line 1"),
        (b"\xff\xfe{}", "UTF-8"),
        ("[" * 100_000, "deeply"),
        ("9" * 5000, "digits"),
    ],
)
def test_text_that_is_no_json_is_refused(text: str | bytes, word: str) -> None:
    with pytest.raises(checkfile.BadCheckFile, match=word):
        checkfile.loads(text)


def test_a_repeated_key_is_refused_with_its_path() -> None:
    text = text_of(STRUT).replace('"droop_mm": 52.0', '"droop_mm": 52.0, "droop_mm": 60')
    with pytest.raises(checkfile.BadCheckFile) as caught:
        checkfile.loads(text)
    (problem,) = caught.value.problems
    assert problem.path == "corners.LF.limits.droop_mm"
    assert "more than once" in problem.message


@pytest.mark.parametrize("literal", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_numbers_that_json_does_not_have_are_refused(literal: str) -> None:
    text = text_of(STRUT).replace('"droop_mm": 52.0', f'"droop_mm": {literal}')
    with pytest.raises(checkfile.BadCheckFile) as caught:
        checkfile.loads(text)
    (problem,) = caught.value.problems
    assert problem.path == "corners.LF.limits.droop_mm"
    assert "finite" in problem.message


def test_a_stored_survey_is_checked_like_a_corner_of_a_file() -> None:
    corner = document(CURVES)["corners"]["LF"]
    stored = {key: corner[key] for key in ("survey", "suspension", "limits")}
    survey, suspension, limits, compliance = checkfile.parse_corner_survey(stored)
    assert (suspension.kind, limits.bump_mm, compliance) == ("curves", 48.0, None)
    assert checkfile.dump_corner_survey(survey, suspension, limits)["limits"]["bump_mm"] == 48.0

    del stored["suspension"]["steer_axis"]
    stored["planned"] = {}
    with pytest.raises(checkfile.BadCheckFile) as caught:
        checkfile.parse_corner_survey(stored)
    assert [problem.path for problem in caught.value.problems] == [
        "suspension.steer_axis",
        "planned",
    ]


def test_a_message_reads_as_path_and_reason() -> None:
    spoilt = document(STRUT)
    spoilt["corners"]["LF"]["limits"]["droop_mm"] = True
    with pytest.raises(checkfile.BadCheckFile) as caught:
        checkfile.parse(json.loads(json.dumps(spoilt)))
    assert str(caught.value) == (
        "corners.LF.limits.droop_mm: should be a number, not true or false"
    )

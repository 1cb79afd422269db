"""Every form of reading through a sheet: with the wheel and without, ahead, at lock, at a height.

A random spot is put into space beside a wheel that the surveyed suspension holds; what the form
would read there is worked out in space, and the sheet has to give the spot back.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import numpy as np
import pytest

from alignment.geometry.model import STRUT, Planned
from common.rims import specified_diameter_mm
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.defaults import STREET
from fitment.engine.model import Check, Corner, Tyre, Wheel
from fitment.engine.solid.section import section_of
from fitment.engine.survey import surveying
from fitment.engine.survey.joints import joint_place, joints_read, suspension_of
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import (
    HANGING,
    JACKED,
    JOINT_NAMES,
    LOCK_IN,
    LOCK_OUT,
    ON_THE_KNUCKLE,
    STANDING,
    WHOLE,
    Reading,
)
from fitment.engine.survey.sheet_survey import document_of
from fitment.engine.survey.surveying import BadReading, Pose
from tests.engine.test_sheet import BASE, LIP_MM, SETTING, SPACE, TYRE, by_model
from tests.engine.test_surveying import LATERAL, UP, WITHIN_MM, Stand, Vec, stand, wedge

RIM_MM, CAP_MM = 62.0, 32.0
WITH_WHEEL = ("straightedge", "straightedge by level", "tape", "plumb_line", "gap")
POSES = {STANDING: (0.0, 0.0), LOCK_IN: (0.0, 31.0), LOCK_OUT: (0.0, -35.0), JACKED: (28.0, 0.0)}
FITTED = section_of(
    Wheel(17, 7.5, 12.7 * 7.5 + 12.5 - RIM_MM, rim_diameter_mm=specified_diameter_mm(17)),
    Tyre("225/45R17", overall_diameter_mm=2 * surveying.tyre_radius(1990.0).value),
)


def pose_read(name: str) -> list[Reading]:
    """How a pose is told: the plate at lock, the height over the cap when jacked."""
    travel, steer = POSES[name]
    if steer:
        return [Reading("pose", {"plate_deg": abs(steer)}, "", name)]
    if not travel:
        return []
    wheel = by_model(travel, 0.0)
    camber = -math.degrees(math.asin(wheel.out[2]))
    height = LIP_MM - travel + CAP_MM * math.sin(math.radians(camber))
    return [Reading("pose", {"height_mm": height, "camber_deg": camber}, "", name)]


def clock_read(wheel: Stand, clock: float) -> dict[str, Any]:
    """What the level shows on a straightedge to that clock, worked out in space."""
    along = wheel.place(clock, 1.0, 0.0) - wheel.hub
    side = "front" if clock > 0 else "rear"
    return {"level_deg": math.degrees(math.asin(float(along @ UP))), "side": side}


def read(form: str, wheel: Stand, rng: np.random.Generator) -> tuple[Vec, str, dict[str, Any]]:
    """A spot in space, the form, and what that form reads of it."""
    clock = float(rng.choice([-1, 1]) * rng.uniform(14, 75))
    radius, axial = float(rng.uniform(330, 410)), float(rng.uniform(-20, 110))
    if form == "plumb_line":
        truth = wheel.place(0.0, radius, axial)
        top, bottom = (wheel.place(c, 233.0, RIM_MM) for c in (0, 180))
        return truth, form, {
            "height_mm": float((truth - wheel.place(0, 0, CAP_MM)) @ UP),
            "line_top_mm": float((truth - top) @ LATERAL),
            "line_bottom_mm": float((truth - bottom) @ LATERAL),
            "lip_radius_mm": 233.0,
        }  # fmt: skip
    if form == "gap":
        spot = surveying.wall_spot(FITTED, outboard=False, radius_mm=float(rng.uniform(250, 305)))
        far = float(rng.uniform(3, 60))
        at = (spot.axial_mm + far * spot.normal[0], spot.radius_mm + far * spot.normal[1])
        gap = wedge(FITTED, at, spot.normal)
        truth = wheel.place(clock, at[1], at[0])
        figures = {"gap_mm": gap, "spot": "inner wall", "at_radius_mm": spot.radius_mm}
        return truth, form, figures | {"clock_deg": clock}
    truth = wheel.place(clock, radius, axial)
    if form == "tape":
        tape = float(np.linalg.norm(truth - wheel.place(0, 0, CAP_MM)))
        return truth, form, {"tape_mm": tape, "axial_mm": axial, "clock_deg": clock}
    figures = {"block_mm": 40.0, "along_mm": radius, "edge_mm": axial - RIM_MM - 40.0}
    if form == "straightedge":
        return truth, form, figures | {"clock_deg": clock}
    return truth, "straightedge", figures | clock_read(wheel, clock)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("name", sorted(POSES))
@pytest.mark.parametrize("form", WITH_WHEEL)
def test_a_spot_read_with_the_wheel_on_comes_back(seed: int, name: str, form: str) -> None:
    rng = np.random.default_rng(seed)
    wheel = by_model(*POSES[name])
    truth, kind, figures = read(form, wheel, rng)
    reading = Reading(kind, figures, "a place", name)
    toe = 0.0
    posed = pose_read(name)
    if kind == "plumb_line":  # the line hangs square to the car, so toe is known or read
        toe = math.degrees(math.atan2(wheel.out[0], wheel.out[1]))
        camber = -math.degrees(math.asin(wheel.out[2]))
        posed = [Reading("pose", {**row.values, "camber_deg": camber}, "", name) for row in posed]
    sheet = Sheet([SPACE, TYRE, *posed, reading], BASE)
    if kind == "plumb_line":
        assert sheet.pose(name).toe_deg == pytest.approx(toe, abs=1e-4)
    point = sheet.points[0].taken.point
    survey = stand(Pose(BASE.survey.camber_deg, BASE.survey.toe_deg))
    back = survey.place(point.clock_deg, point.radius_mm, point.axial_mm)
    assert np.linalg.norm(back - truth) < WITHIN_MM


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("by", ["clock", "level"])
def test_a_spot_read_with_the_wheel_off_comes_back(seed: int, by: str) -> None:
    rng = np.random.default_rng(seed)
    travel = float(rng.uniform(-60, -25))
    wheel = by_model(travel, 0.0)
    camber = -math.degrees(math.asin(wheel.out[2]))
    clock = float(rng.choice([-1, 1]) * rng.uniform(14, 75))
    radius, axial = float(rng.uniform(330, 380)), float(rng.uniform(-340, -90))
    truth = wheel.place(clock, radius, axial)
    told = {"clock_deg": clock} if by == "clock" else clock_read(wheel, clock)
    bar = {"thickness_mm": 12.0, "along_mm": radius, "depth_mm": 12.0 - axial}
    readings = [
        Reading("pose", {"height_mm": LIP_MM - travel, "camber_deg": camber}, "", HANGING),
        Reading("hub_bar", {**bar, **told, "depth_side": "inboard"}, "a place", HANGING),
    ]
    point = Sheet([SPACE, *readings], BASE).points[0].taken.point
    survey = stand(Pose(BASE.survey.camber_deg, BASE.survey.toe_deg))
    back = survey.place(point.clock_deg, point.radius_mm, point.axial_mm)
    assert np.linalg.norm(back - truth) < WITHIN_MM


# --- Without a survey on record ---------------------------------------------------------

PLAN = Reading("plan", {"level": WHOLE, "kind": "a strut"})


def random_hub(rng: np.random.Generator) -> Pose:
    """A hub that hangs, pointing anywhere near ahead."""
    hub = (rng.uniform(-9, 9), rng.uniform(-9, 9), rng.uniform(-70, -30))
    return Pose(rng.uniform(-4, 2), rng.uniform(-1, 1), tuple(map(float, hub)))


def standing_line(wheel: Stand, lip: Vec) -> Reading:
    top, bottom = (wheel.place(c, 233.0, RIM_MM) for c in (0, 180))
    figures = {
        "height_mm": float((lip - wheel.place(0, 0, CAP_MM)) @ UP),
        "line_top_mm": float((lip - top) @ LATERAL),
        "line_bottom_mm": float((lip - bottom) @ LATERAL),
        "lip_radius_mm": 233.0,
    }
    return Reading("plumb_line", figures, "arch lip")


@pytest.mark.parametrize("seed", range(40))
def test_the_line_from_the_lip_tells_where_the_hub_went(seed: int) -> None:
    rng = np.random.default_rng(seed)
    own = Pose(float(rng.uniform(-3, 1)), float(rng.uniform(-0.4, 0.4)))
    there = random_hub(rng)
    wheel = stand(own)
    lip = wheel.place(0.0, float(rng.uniform(340, 380)), float(rng.uniform(40, 100)))
    line = standing_line(wheel, lip)
    height = float((lip - wheel.place(0, 0, CAP_MM)) @ UP)
    setting = {"camber_deg": own.camber_deg, "toe_deg": own.toe_deg, "height_mm": height}
    away = lip - np.array(there.hub_mm)
    hanging = {
        "height_mm": float(away @ UP),
        "camber_deg": there.camber_deg,
        "toe_deg": there.toe_deg,
        "line_mm": float(away @ LATERAL),
        "line_forward_mm": float(away[0]),
    }
    readings = [
        Reading("setting", setting), SPACE, line, Reading("pose", hanging, "", HANGING)
    ]  # fmt: skip
    found = Sheet(readings).pose(HANGING)
    assert found.hub_mm == pytest.approx(there.hub_mm, abs=WITHIN_MM)
    assert (found.camber_deg, found.toe_deg) == (there.camber_deg, there.toe_deg)
    table = document_of(Sheet(readings), None)["suspension"]["table"]
    row = next(row for row in table if row["travel_mm"])
    assert (row["forward_mm"], row["out_mm"]) == pytest.approx(there.hub_mm[:2], abs=0.06)


@pytest.mark.parametrize("seed", range(40))
def test_joints_of_body_and_hub_come_back_from_any_pose(seed: int) -> None:
    rng = np.random.default_rng(seed)
    survey = Pose(float(rng.uniform(-3, 1)), float(rng.uniform(-0.4, 0.4)))
    there = random_hub(rng)
    for words, name in JOINT_NAMES.items():
        truth = rng.uniform((-200, -450, -180), (200, -60, 420))
        now = truth
        if name in ON_THE_KNUCKLE:  # it went with the hub, as far as its axle tells
            at = surveying.about_hub(truth, survey)
            now = stand(there).place(at.clock_deg, at.radius_mm, at.axial_mm)
        away = now - np.array(there.hub_mm)
        figures = {"forward_mm": away[0], "inboard_mm": -away[1], "up_mm": away[2]}
        reading = Reading("joint", {"joint": words, **figures}, "", HANGING)
        assert np.linalg.norm(joint_place(reading, there, survey) - truth) < WITHIN_MM


def joints_standing(skip: str = "") -> list[Reading]:
    """Every joint of the strut corner, read as it stands."""
    rows = []
    for words, name in JOINT_NAMES.items():
        place = BASE.suspension.joints.get(name)
        if place is not None and name != skip:
            figures = {"forward_mm": place[0], "inboard_mm": -place[1], "up_mm": place[2]}
            rows.append(Reading("joint", {"joint": words, **figures}))
    return rows


def test_all_joints_make_the_linkage_and_one_missing_makes_none() -> None:
    sheet = Sheet([PLAN, SETTING, *joints_standing()])
    found = suspension_of(sheet)
    assert found is not None
    assert (found.kind, dict(found.joints)) == (STRUT, dict(BASE.suspension.joints))
    lacking = Sheet([PLAN, SETTING, *joints_standing(skip="tie_inner")])
    assert suspension_of(lacking) is None
    assert len(joints_read(lacking)) == 6


def test_joints_that_were_read_move_the_hub_of_a_first_survey() -> None:
    """Another pose is then told by the linkage, not by height alone."""
    hanging = Reading("pose", {"height_mm": SETTING.values["height_mm"]}, "", HANGING)
    alone = Sheet([PLAN, SETTING, SPACE, hanging]).pose(HANGING)
    linked = Sheet([PLAN, SETTING, SPACE, hanging, *joints_standing()]).pose(HANGING)
    assert alone.hub_mm[:2] == (0.0, 0.0)
    assert linked.sigma_hub_mm < alone.sigma_hub_mm


# --- References, dampers ----------------------------------------------------------------


def test_width_and_offset_stand_in_for_a_front_space_that_cannot_be_read() -> None:
    marks = {"rim_width_in": 8.0, "offset_mm": 45.0, "spacer_mm": 5.0, "cap_depth_mm": 30.0}
    sheet = Sheet([Reading("front_space", marks)])
    assert sheet.rim.value == pytest.approx(12.7 * 8 + 12.5 - 45 + 5)
    assert (sheet.rim.sigma, Sheet([SPACE]).rim.sigma) == (1.5, 0.5)
    with pytest.raises(BadReading) as refused:
        Sheet([]).check(Reading("front_space", {"cap_depth_mm": 30.0, "offset_mm": 45.0}))
    assert refused.value.field == "front_space_mm"


def test_a_traced_profile_is_the_tyre_that_is_on_the_car() -> None:
    seat = 17 * 25.4 / 2
    trace = [(95, seat), (113, 262), (98, 312), (0, 317), (-98, 312), (-113, 262), (-95, seat)]
    text = "; ".join(f"{a} {r}".replace(".", ",") for a, r in trace)
    sheet = Sheet([SPACE, Reading("present_tyre", {**TYRE.values, "profile": text})])
    assert sheet.section is not None
    assert sheet.section.tyre_outline_mm[:, 1].max() == pytest.approx(317.0, abs=0.1)
    for wrong in ("95 216; 113", "95 216; -95 216"):
        reading = Reading("present_tyre", {**TYRE.values, "profile": wrong})
        with pytest.raises(BadReading) as refused:
            Sheet([SPACE]).check(reading)
        assert refused.value.field == "profile"


def shaft(pose: str, shaft_mm: float, **more: float) -> Reading:
    return Reading("bump_left", {"shaft_mm": shaft_mm, "solid_mm": 20.0, **more}, "", pose)


def test_the_shaft_in_two_poses_tells_its_ratio_and_the_bump() -> None:
    hang = Reading("pose", {"height_mm": LIP_MM + 60.0}, "", HANGING)
    ratio, bump = 0.7, 55.0
    standing = shaft(STANDING, 20 + ratio * bump)
    hanging = shaft(HANGING, 20 + ratio * (bump + 60))
    sheet = Sheet([SPACE, hang, hanging], BASE._replace(suspension=BASE.suspension))
    assert sheet.motion_ratio == 1.0, "of a strut, as long as nothing else is known"
    sheet = Sheet([SPACE, hang, hanging, standing], BASE)
    assert sheet.motion_ratio == pytest.approx(ratio, abs=1e-4)
    assert sheet.bump is not None
    assert sheet.bump.value == pytest.approx(bump, abs=0.02)
    used = Reading("bump_used", {"tie_mm": 28.0})
    sheet = Sheet([*sheet.readings, used], BASE)
    assert sheet.bump_used is not None
    assert sheet.bump_used.value == pytest.approx(40.0, abs=0.02)


def test_a_shaft_without_any_ratio_tells_no_bump_and_is_kept() -> None:
    sheet = Sheet([SETTING, SPACE])
    sheet.check(shaft(STANDING, 70.0))
    assert Sheet([SETTING, SPACE, shaft(STANDING, 70.0)]).bump is None
    with pytest.raises(BadReading) as refused:
        sheet.check(Reading("bump_used", {"tie_mm": 20.0}))
    assert refused.value.field == "motion_ratio"
    with pytest.raises(BadReading) as refused:
        sheet.check(shaft(HANGING, 70.0))
    assert refused.value.field == "pose"


def test_one_spot_does_not_wipe_a_line_that_is_on_record() -> None:
    bar = {"thickness_mm": 10.0, "along_mm": 250.0, "depth_mm": 190.0, "clock_deg": -5.0}
    one = Reading("hub_bar", {**bar, "depth_side": "inboard"}, "frame rail", HANGING)
    hang = Reading("pose", {"height_mm": LIP_MM + 50}, "", HANGING)
    document = document_of(Sheet([SPACE, hang, one], BASE), STRUT_FRONT)
    rail = next(f for f in document["survey"]["features"] if f["place"] == "frame rail")
    assert rail == next(f for f in STRUT_FRONT["survey"]["features"] if f["place"] == "frame rail")
    two = Reading("hub_bar", {**one.values, "clock_deg": 40.0}, "frame rail", HANGING)
    document = document_of(Sheet([SPACE, hang, one, two], BASE), copy.deepcopy(STRUT_FRONT))
    rail = next(f for f in document["survey"]["features"] if f["place"] == "frame rail")
    assert len(rail["xyz_mm"]) == 2
    assert "points" not in rail
    checkfile.parse_corner_survey(document)


def edge_at(clock: float) -> Reading:
    figures = {"block_mm": 30.0, "along_mm": 372.0, "edge_mm": -7.0, "clock_deg": clock}
    return Reading("straightedge", figures, "arch lip")


def test_a_lone_spot_of_a_lip_becomes_an_edge_when_the_next_is_read() -> None:
    first = document_of(Sheet([SETTING, SPACE, edge_at(0.0)]), None)
    (lip,) = first["survey"]["features"]
    assert (lip["shape"], len(lip["points"])) == ("points", 1)
    heights = {"kind": "curves", "table": [
        {"travel_mm": t, "camber_deg": 0.0, "toe_deg": 0.0} for t in (-60.0, 0.0)
    ]}  # fmt: skip
    base = first | {"suspension": heights, "limits": {"droop_mm": 60.0}}
    measured = checkfile.parse_corner_survey(base)
    again = document_of(Sheet([SPACE, edge_at(-30.0), edge_at(30.0)], measured), base)
    (lip,) = again["survey"]["features"]
    assert lip["shape"] == "edge"
    assert [row["clock_deg"] for row in lip["points"]] == pytest.approx([-30, 0, 30], abs=0.01)


def test_a_corner_known_by_heights_has_no_strut_that_turns_by_itself() -> None:
    bar = {"thickness_mm": 10.0, "depth_mm": 190.0, "depth_side": "inboard", "clock_deg": -6.0}
    tube = [
        Reading("hub_bar", {**bar, "along_mm": along}, "strut tube", HANGING)
        for along in (110.0, 330.0)
    ]
    hang = Reading("pose", {"height_mm": 430.0, "camber_deg": -0.4}, "", HANGING)
    document = document_of(Sheet([SETTING, SPACE, hang, edge_at(0.0), *tube]), None)
    found = checkfile.parse_corner_survey(document)
    carried = {feature.place: feature.carried_by for feature in found.survey.features}
    assert carried["strut tube"] == "knuckle"


def test_a_check_on_heights_says_that_the_hubs_path_was_assumed() -> None:
    document = copy.deepcopy(STRUT_FRONT)
    for feature in document["survey"]["features"]:
        feature["carried_by"] = feature["carried_by"].replace("strut", "knuckle")
    axis = {"point": [0.0, -80.0, 0.0], "caster_deg": 5.0, "inclination_deg": 12.0}
    rows = [{"travel_mm": t, "camber_deg": -0.01 * t, "toe_deg": 0.0} for t in (-80.0, 0.0, 80.0)]
    document["suspension"] = {"kind": "curves", "table": rows, "steer_axis": axis}
    measured = checkfile.parse_corner_survey(document)
    corner = Corner(
        measured.survey,
        measured.suspension,
        measured.limits,
        Planned(0.05),
        Wheel(17, 7.5, 45),
        Tyre("225/45R17", section_width_mm=225),
    )
    answer = run(Check("", STREET, {"LF": corner})).corners["LF"]
    assumed = {one.what for one in answer.assumed}
    assert {"hub sideways over travel", "hub fore and aft over travel"} <= assumed
    lip = next(place for place in answer.places if place.place == "arch lip")
    shares = {part.source: part.mm for part in lip.uncertainty}
    assert shares["hub sideways over travel"] > 1.0

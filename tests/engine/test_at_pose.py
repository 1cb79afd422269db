"""A corner in one pose: its clearances against the check's curves, and both drawings of it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitment.engine.curves.at_pose import (
    corner_at_pose,
    fixed_poses,
    pose_range,
    visited,
)
from fitment.engine.curves.clearance_map import map_of
from fitment.engine.deciding import worst_spot
from fitment.engine.drawing.lettering import lettered
from fitment.engine.drawing.pose_drawing import pose_scene
from fitment.engine.drawing.scene import Hatch, Stroke, Words
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.drawing.side_drawing import FAR, side_scene
from fitment.engine.model import PoseAt
from tests.engine.files import REAR_STRUT, STRUT, check_of
from tests.engine.letters import letter
from tests.engine.test_clearance_map import moving, ready

RIGHT_MM = 0.05


def at_worst(name):
    setting, _, answer = ready(check_of(name))
    worst = worst_spot(answer)
    return (
        setting,
        answer,
        worst,
        corner_at_pose(setting, answer.places, worst.at, load=worst.at.load),
    )


@pytest.mark.parametrize("name", [STRUT, REAR_STRUT])
def test_the_clearance_at_poses_of_the_grid_is_that_of_the_checks_curves(name):
    setting, _, answer = ready(check_of(name))
    compared = 0
    for index, place in moving(setting, answer):
        if not place.is_measured:
            continue
        curve = map_of(setting, place)
        rows = range(0, len(curve.steer_deg), 5)
        for row, column in ((r, c) for r in rows for c in range(0, len(curve.share), 6)):
            at = PoseAt(float(curve.travel_mm[row, column]), float(curve.steer_deg[row]))
            pose = corner_at_pose(setting, answer.places, at, load=place.at.load)
            shown = pose.spots[index].clearance_mm
            expected = curve.clearance_mm[row, column] + place.shift_mm
            assert shown == pytest.approx(expected, abs=RIGHT_MM)
            compared += 1
    assert compared > 20


@pytest.mark.parametrize("name", [STRUT, REAR_STRUT])
def test_at_its_tightest_pose_a_spot_has_the_clearance_of_the_check(name):
    setting, _, answer = ready(check_of(name))
    for index, place in moving(setting, answer):
        if place.is_measured:
            pose = corner_at_pose(setting, answer.places, place.at, load=place.at.load)
            assert pose.at == place.at
            assert pose.spots[index].clearance_mm == pytest.approx(place.clearance_mm, abs=RIGHT_MM)


def test_what_moves_with_the_wheel_keeps_its_clearance_and_the_unmeasured_has_none():
    setting, _, answer = ready(check_of(STRUT))
    pose = corner_at_pose(setting, answer.places, PoseAt(-20.0, 10.0))
    for index, place in enumerate(answer.places):
        if not setting.room.moving[index]:
            here = pose.spots[index].clearance_mm
            assert (math.isnan(here) and not place.is_measured) or here == place.clearance_mm


def test_a_pose_that_the_use_does_not_visit_is_replaced_and_told():
    setting, _, answer = ready(check_of(STRUT))
    span = pose_range(setting)
    beyond = PoseAt(span.high_mm + 30.0, span.in_deg + 20.0)
    shown = visited(setting, beyond)
    assert shown.steer_deg == pytest.approx(span.in_deg)
    assert shown.travel_mm < span.high_mm  # less bump at full lock
    assert not corner_at_pose(setting, answer.places, beyond).is_as_wanted
    assert corner_at_pose(setting, answer.places, PoseAt(0.0, 0.0)).is_as_wanted


@pytest.mark.parametrize("wanted", [PoseAt(math.nan, 0.0), PoseAt(0.0, math.inf)])
def test_a_pose_that_is_no_number_is_refused(wanted):
    setting, _, answer = ready(check_of(STRUT))
    with pytest.raises(ValueError, match="finite"):
        corner_at_pose(setting, answer.places, wanted)
    with pytest.raises(ValueError, match="survey"):
        corner_at_pose(setting, answer.places[1:], PoseAt(0.0, 0.0))


def test_of_the_loads_that_visit_a_pose_the_tightest_is_shown():
    setting, _, answer = ready(check_of(STRUT))
    one = corner_at_pose(setting, answer.places, PoseAt(0.0, 0.0))
    least = one.spots[one.tightest].spare_mm
    for load in ("", *(load.name for load in setting.envelope.loads)):
        other = corner_at_pose(setting, answer.places, PoseAt(0.0, 0.0), load=load)
        assert least <= other.spots[other.tightest].spare_mm + 1e-9


def test_the_three_fixed_poses_are_static_tightest_and_the_other_side_of_it():
    for name in (STRUT, REAR_STRUT):
        setting, answer, worst, _ = at_worst(name)
        still, tight, other = fixed_poses(setting, worst.at)
        assert still == PoseAt(0.0, 0.0)
        assert tight == worst.at
        span = pose_range(setting)
        if span.steers:
            assert other.steer_deg * (tight.steer_deg or 1.0) < 0
        else:
            assert other.travel_mm in (span.low_mm, span.high_mm)
        corner_at_pose(setting, answer.places, other)


def strokes(scene, spot):
    return [p for p in scene.parts if isinstance(p, Stroke) and p.spot == spot]


def test_the_side_view_marks_the_spot_that_decides_where_the_survey_has_it():
    *_, worst, pose = at_worst(STRUT)
    scene = side_scene(pose, front_left=True, title="LF", decides=worst.place)
    mirror = side_scene(pose, front_left=False, title="RF", decides=worst.place)
    number = pose.tightest
    course = pose.courses[number]
    clock = math.radians(course.clock_deg[course.nearest])
    for drawn, sign in ((scene, -1.0), (mirror, 1.0)):
        (ring,) = [s for s in strokes(drawn, worst.place) if s.closed]
        assert ring.style == "gap-contact"  # it overlaps
        x, y = np.mean(ring.points, axis=0)
        words = next(
            p for p in drawn.parts if isinstance(p, Words) and p.lines[0][0] == worst.place
        )
        dx, dy = x - words.at[0], y - words.at[1]
        assert math.atan2(sign * dx, dy) == pytest.approx(clock, abs=1e-6)
        assert words.lines[1][1] == "contact-text"
        tyre = next(p for p in drawn.parts if isinstance(p, Stroke) and p.style == "ink-thick")
        outer = max(math.dist(point, words.at) for point in tyre.points)
        assert math.hypot(dx, dy) / outer == pytest.approx(
            course.radius_mm[course.nearest] / pose.section.tyre_radius_mm
        )


def test_what_lies_behind_the_wheel_is_dashed_and_the_body_beside_it_hatched():
    *_, pose = at_worst(STRUT)
    scene = side_scene(pose, front_left=True, title="LF")
    middle = pose.section.centre_axial_mm
    for course in pose.courses:
        styles = {s.style for s in strokes(scene, course.place) if not s.closed}
        if (course.axial_mm < middle).all():
            assert styles <= {"ink-dash"}
        if (course.axial_mm >= middle).all():
            assert "ink-dash" not in styles
    assert any(isinstance(p, Hatch) and p.about == "body" for p in scene.parts)
    ticks = [
        p for p in scene.parts if isinstance(p, Stroke) and p.style == "ink-thin" and not p.spot
    ]
    assert (
        sum(
            math.dist(*t.points) in (pytest.approx(7.0), pytest.approx(13.0))
            for t in ticks
            if len(t.points) == 2
        )
        == 12
    )


def test_spots_far_out_stay_inside_the_drawing():
    *_, pose = at_worst(STRUT)
    scene = side_scene(pose, front_left=True, title="LF")
    left, bottom, right, top = scene.viewport
    for part in scene.parts:
        if isinstance(part, Stroke) and part.spot:
            for x, y in part.points:
                assert left <= x <= right
                assert bottom <= y <= top + FAR * 0.2


def test_the_writer_names_spots_so_that_a_page_can_tell_which_was_pointed_at():
    *_, worst, pose = at_worst(STRUT)
    scene = lettered(side_scene(pose, front_left=True, title="LF"), letter)
    text = scene_svg(scene, id_prefix="side")
    assert f'data-spot="{worst.place}"' in text
    assert "style=" not in text


def test_the_section_of_a_pose_dimensions_the_gaps_of_that_pose_and_tells_them():
    _, _, worst, pose = at_worst(STRUT)
    scene = pose_scene(pose, title="LF", letter=letter)
    told = [m.params.get("gap_mm") for m in scene.description if m.code == "describe.spot-here"]
    assert told == sorted(told)
    assert told[0] == pose.spots[pose.tightest].clearance_mm
    assert strokes(scene, worst.place)

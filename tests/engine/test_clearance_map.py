"""The map of a place's clearance, against the tightest moments and against direct evaluation."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry import frames
from fitment.engine.check import corner_answer
from fitment.engine.curves.clearance_map import (
    NothingToMap,
    clearance_map,
    map_of,
)
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import BODY, LINK
from fitment.engine.solid.section import section_of
from tests.budget import share_of
from tests.engine.files import NAMES, REAR_STRUT, STRUT, check_of
from tests.engine.random_corners import random_check

#: What a map promises, mm.
RIGHT_MM = 0.1
#: Inside deep overlaps the slow twin and the search both stop at a grid of their own.
DEEP_MM, DEEP_RIGHT_MM = -25.0, 0.3
SEEDS = range(12)


def ready(check):
    """The setting, the section and the answer of a check's first corner."""
    name, corner = next(iter(check.corners.items()))
    setting = setting_of(name, corner, check.duty)
    return setting, section_of(corner.wheel, corner.tyre), corner_answer(setting)


def moving(setting, answer):
    """Places that have a map, each with its number."""
    for index, place in enumerate(answer.places):
        if setting.room.moving[index]:
            yield index, place


def directly(setting, section, index, travel, steer, load):
    """Clearance in poses, from a thousand points on every piece of an edge."""
    envelope, course = setting.envelope, setting.room.courses[index]
    angle, flags = np.radians(steer), np.full(len(steer), setting.envelope.kind_of(load) or 0)
    lower, upper = (envelope.travel(angle, np.full(len(angle), end), flags) for end in (0.0, 1.0))
    height = np.maximum(upper - lower, 1e-9)
    share = (travel + envelope.static_travel - lower) / height
    poses = envelope.poses(setting.room.hubs, angle, share, flags)
    pieces = len(course.knots) - 1
    along = np.linspace(0, pieces, 1 + 1000 * pieces) if course.is_edge else np.arange(pieces + 1.0)
    least = [
        section.distance(*frames.meridian(course.at(along), hub, spin)).min()
        for hub, spin in zip(poses.hub, poses.spin, strict=True)
    ]
    return np.array(least) - course.feature.half_thickness_mm


def allowed(clearance):
    return DEEP_RIGHT_MM if clearance < DEEP_MM else RIGHT_MM


@pytest.mark.parametrize("name", NAMES[:8])
def test_a_map_of_an_example_agrees_with_the_tightest_moment_of_each_place(name):
    setting, _, answer = ready(check_of(name))
    for _, place in moving(setting, answer):
        least, _ = map_of(setting, place).least
        assert least == pytest.approx(place.clearance_mm, abs=RIGHT_MM), place.place


@pytest.mark.parametrize("seed", SEEDS)
def test_a_map_agrees_with_the_tightest_moment_and_never_undercuts_it(seed):
    setting, _, answer = ready(random_check(seed))
    for _, place in moving(setting, answer):
        least, pose = map_of(setting, place).least
        gap = place.clearance_mm
        assert gap - RIGHT_MM <= least <= gap + allowed(gap), place.place
        assert pose.load == place.at.load


@pytest.mark.parametrize("seed", SEEDS)
def test_every_point_of_a_map_agrees_with_a_direct_evaluation(seed):
    setting, section, answer = ready(random_check(seed))
    rng = np.random.default_rng(seed)
    for index, place in moving(setting, answer):
        if place.carried_by != BODY:
            continue
        clearances = clearance_map(setting, section, index, place.at.load)
        pick = rng.integers(0, clearances.clearance_mm.size, 5)
        steer = np.repeat(clearances.steer_deg, len(clearances.share))[pick]
        travel = clearances.travel_mm.ravel()[pick]
        real = directly(setting, section, index, travel, steer, place.at.load)
        for stated, found in zip(clearances.clearance_mm.ravel()[pick], real, strict=True):
            assert found - RIGHT_MM <= stated <= found + allowed(found), place.place


def test_between_its_points_a_map_is_as_smooth_as_the_place_allows():
    setting, section, answer = ready(check_of(STRUT))
    (index, place) = next((i, p) for i, p in moving(setting, answer) if p.place == "arch lip")
    clearances = clearance_map(setting, section, index)
    steer, travel = np.array([-21.3, -4.4, 3.3, 17.7]), np.array([-8.1, 6.2, -33.3, 2.5])
    real = directly(setting, section, index, travel, steer, False)
    assert clearances.at(travel, steer) == pytest.approx(real, abs=0.5), place.place


def test_outside_the_envelope_a_map_says_nothing():
    setting, section, _ = ready(check_of(STRUT))
    clearances = clearance_map(setting, section, 0)
    top, last = float(clearances.travel_mm.max()), float(clearances.steer_deg[-1])
    # The street duty leaves less bump at full lock.
    beyond = clearances.at(np.array([top + 1, top, 0.0]), np.array([0.0, last, last + 1]))
    assert np.all(np.isnan(beyond))
    inside = clearances.at(np.array([top, 0.0]), np.array([0.0, last]))
    assert np.all(np.isfinite(inside))


def test_the_grid_follows_the_envelope_and_its_bends():
    setting, section, _ = ready(check_of(STRUT))
    clearances, envelope = clearance_map(setting, section, 0), setting.envelope
    knots = np.degrees(envelope.knots[:, 0])
    for steer, upper in zip(knots, envelope.knots[:, 1], strict=True):
        row = int(np.argmin(np.abs(clearances.steer_deg - steer)))
        assert clearances.steer_deg[row] == pytest.approx(steer)
        assert clearances.travel_mm[row, -1] == pytest.approx(upper - envelope.static_travel)
    low = envelope.lower_travel - envelope.static_travel
    assert clearances.travel_mm[:, 0] == pytest.approx(low)


def test_an_unsteered_corner_has_a_single_row():
    setting, section, answer = ready(check_of(REAR_STRUT))
    clearances = clearance_map(setting, section, 0)
    assert not clearances.steers
    assert clearances.clearance_mm.shape == (1, len(clearances.share))
    gap = answer.places[0].clearance_mm
    if not answer.places[0].at.loaded:
        assert clearances.least[0] == pytest.approx(gap, abs=RIGHT_MM)


def test_what_moves_with_the_wheel_has_no_map():
    setting, section, answer = ready(check_of(STRUT))
    index = next(i for i, place in enumerate(answer.places) if place.carried_by not in (BODY, LINK))
    with pytest.raises(NothingToMap):
        clearance_map(setting, section, index)
    with pytest.raises(NothingToMap):
        map_of(setting, answer.places[index])


def test_loaded_poses_begin_at_ride_height_and_need_compliance():
    check = check_of(STRUT)
    (name, corner) = next(iter(check.corners.items()))
    setting = setting_of(name, corner, check.duty)
    section = section_of(corner.wheel, corner.tyre)
    assert clearance_map(setting, section, 0, load="outside").travel_mm.min() == pytest.approx(0.0)
    stiff = setting_of(name, replace(corner, compliance=None), check.duty)
    with pytest.raises(ValueError, match=r"draw\.no-loaded-poses"):
        clearance_map(stiff, section, 0, load="outside")


def test_another_wheel_can_be_held_against_the_same_room():
    setting, section, _ = ready(check_of(STRUT))
    wheel = replace(setting.corner.wheel, spacer_mm=setting.corner.wheel.spacer_mm + 10.0)
    wider = section_of(wheel, setting.corner.tyre)
    here, there = (clearance_map(setting, one, 1).clearance_mm for one in (section, wider))
    assert there.mean() > here.mean() + 4.0  # the inner panel gains what the spacer gives


def test_a_map_takes_less_than_the_answer_of_its_corner():
    setting, section, _ = ready(check_of(STRUT))
    share = share_of(lambda: corner_answer(setting), lambda: clearance_map(setting, section, 0))
    assert share < 1.0  # 0.3 when it was written

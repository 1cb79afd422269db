"""What a joint a millimetre off does to poses, against linkages solved with that joint moved."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry import frames
from alignment.geometry.joint_slopes import (
    angle_slopes,
    joint_names,
    joint_slopes,
    with_joints_moved,
)
from alignment.geometry.model import (
    MeasuredTravel,
    Planned,
    Suspension,
    TravelReading,
)
from alignment.geometry.motion import HubPoses, Settled
from fitment.engine.minimum.setting import motion_for
from fitment.engine.model import Corner
from tests.engine.files import LINKS, REAR_STRUT, STRUT, check_of, wishbones_name

STEP = 0.02
SHEET = MeasuredTravel(
    (
        TravelReading(-40.0, 0.3, -0.1),
        TravelReading(0.0, 0.0, 0.0),
        TravelReading(35.0, None, 0.12),
    )
)


def corner_of(name: str) -> Corner:
    (corner,) = check_of(name).corners.values()
    return corner


def plan_of(corner: Corner, method: str) -> Planned:
    return replace(corner.planned, camber_deg=corner.survey.camber_deg - 0.8, camber_by=method)


CASES = [
    (STRUT, "top_mount", None),
    (STRUT, "knuckle", None),
    (STRUT, "lower_arm", None),
    (REAR_STRUT, "top_mount", None),
    (wishbones_name(), "upper_arm", None),
    (LINKS, "rod:upper front", None),
    (STRUT, "top_mount", SHEET),
]


def poses_of(
    corner: Corner, suspension: Suspension, planned: Planned, steer: np.ndarray, travel: np.ndarray
) -> tuple[HubPoses, Settled]:
    motion = motion_for(replace(corner, suspension=suspension))
    settled = motion.settle([planned])
    steered = motion.steered(settled, np.zeros(len(steer), int), steer)
    return motion.travelled(settled, steered, np.arange(len(steer)), travel), settled


@pytest.mark.parametrize(("name", "method", "sheet"), CASES)
def test_poses_move_with_their_joints_as_the_slopes_say(
    name: str, method: str, sheet: MeasuredTravel | None
) -> None:
    corner = corner_of(name)
    suspension = replace(corner.suspension, measured=sheet)
    if method.startswith("rod:"):
        method = f"rod:{suspension.links[1].name}"
        if suspension.links[1].toe:
            method = f"rod:{suspension.links[0].name}"
    planned = plan_of(corner, method)
    steer = np.radians([0.0, 18.0, -22.0, 10.0] if corner.limits.steer_in_deg else [0.0] * 4)
    travel = np.array([20.0, 30.0, 5.0, -25.0])
    rod = np.array([-1, 0, len(suspension.rod_names) - 1, 1])
    motion = motion_for(replace(corner, suspension=suspension))
    settled = motion.settle([planned])
    slopes = joint_slopes(motion, suspension, settled, planned, steer, travel, rod)
    for column, step in enumerate(STEP * np.eye(3 * len(joint_names(suspension)))):
        ahead, more = poses_of(corner, with_joints_moved(suspension, step), planned, steer, travel)
        behind, less = poses_of(
            corner, with_joints_moved(suspension, -step), planned, steer, travel
        )
        hub = (ahead.hub - behind.hub) / (2 * STEP)
        spin = (ahead.spin - behind.spin) / (2 * STEP)
        at = (ahead.spin + behind.spin) / 2
        # A sheet tilts the wheel by 0.3°, about which the bare model's turn is taken over as it is.
        close = 1e-6 if sheet is None else 5e-6
        assert slopes.hub[:, :, column] == pytest.approx(hub, abs=2e-5)
        assert frames.cross(slopes.turn[:, :, column], at) == pytest.approx(spin, abs=close)
        for adjuster, by in slopes.adjust.items():
            moved = (more.adjust[adjuster][0] - less.adjust[adjuster][0]) / (2 * STEP)
            assert by[column] == pytest.approx(moved, abs=2e-5)
        if ahead.rod_ends is None or behind.rod_ends is None:
            continue
        for row in np.flatnonzero(rod >= 0):
            ends = (ahead.rod_ends[row, rod[row]] - behind.rod_ends[row, rod[row]]) / (2 * STEP)
            assert slopes.ends[row, :, :, column] == pytest.approx(ends, abs=2e-4)


def test_a_sheet_that_stands_instead_of_the_model_keeps_the_joints_out_of_toe() -> None:
    corner = corner_of(REAR_STRUT)
    rows = tuple(TravelReading(z, 0.01 * z, 0.002 * z) for z in (-60.0, -30.0, 0.0, 30.0, 60.0))
    suspension = replace(corner.suspension, measured=MeasuredTravel(rows, instead=True))
    motion = motion_for(replace(corner, suspension=suspension))
    planned = Planned(corner.survey.toe_deg)
    settled = motion.settle([planned])
    travel, straight = np.array([-30.0, 30.0]), np.zeros(2)
    with_sheet = joint_slopes(motion, suspension, settled, planned, straight, travel)
    bare = motion_for(corner)
    without = joint_slopes(bare, corner.suspension, settled, planned, straight, travel)
    spin = motion.spin
    before = np.abs(frames.cross(np.moveaxis(without.turn, 1, 2), spin)).max()
    after = np.abs(frames.cross(np.moveaxis(with_sheet.turn, 1, 2), spin)).max()
    assert after < 0.05 * before


@pytest.mark.parametrize("name", [STRUT, wishbones_name(), LINKS])
def test_angles_over_travel_change_with_their_joints_as_the_slopes_say(name: str) -> None:
    corner = corner_of(name)
    survey, suspension = corner.survey, corner.suspension
    rows = tuple(TravelReading(z) for z in (-45.0, 30.0))
    slopes = angle_slopes(suspension, survey.camber_deg, survey.toe_deg, rows)

    def angles(moved: Suspension) -> np.ndarray:
        poses, _ = poses_of(
            replace(corner, suspension=moved),
            moved,
            Planned(survey.toe_deg),
            np.zeros(3),
            np.array([0.0, *(row.travel_mm for row in rows)]),
        )
        both = np.degrees([frames.camber_of(poses.spin), frames.toe_of(poses.spin)]).T
        return np.asarray(both[1:] - both[:1], float)

    for column, step in enumerate(STEP * np.eye(slopes.shape[2])):
        there = angles(with_joints_moved(suspension, step))
        here = angles(with_joints_moved(suspension, -step))
        assert slopes[:, :, column] == pytest.approx((there - here) / (2 * STEP), abs=2e-5)

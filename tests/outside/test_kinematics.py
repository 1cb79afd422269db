"""Where a hub goes, against figures and formulations from outside.

The twin in this file solves the same constraints with a general optimiser on rotation vectors
(scipy's ``least_squares``), from its own reading of what the adjusters do. Units: mm, degrees.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import scipy
from numpy.typing import NDArray

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import LINKS, STRUT, WISHBONES, Adjusters, Planned, Rod, Suspension
from alignment.geometry.motion import HubPoses, LinkedMotion, motion_of
from tests.engine.random_corners import random_check, the_corner

Array = NDArray[np.float64]

LINKED = (STRUT, WISHBONES, LINKS)
ANGLE_DEG, HUB_MM, ADJUSTER_MM = 1e-4, 1e-3, 1e-3


def poses_of(
    suspension: Suspension,
    travel: Array,
    *,
    camber_deg: float = 0.0,
    toe_deg: float = 0.0,
    steer_deg: float = 0.0,
) -> HubPoses:
    """Poses of a corner as surveyed."""
    motion = motion_of(suspension, camber_deg, toe_deg)
    settled = motion.settle([Planned(toe_deg=toe_deg)])
    steered = motion.steered(settled, np.zeros(1, int), np.radians([steer_deg]))
    return motion.travelled(settled, steered, np.zeros(len(travel), int), travel)


def camber_toe(spin: Array) -> tuple[Array, Array]:
    return -np.degrees(np.arcsin(spin[:, 2])), np.degrees(np.arctan2(spin[:, 0], spin[:, 1]))


# --- A textbook's double wishbone ---------------------------------------------------------

# Joints read in two public copies of a listing that goes with G. Rill and A. A. Castro, "Road
# Vehicle Dynamics", 2nd edition, 2020 (the attribution is from memory). The book prints plots
# only: the figures below were computed by three separate programs that agree to every digit.
CENTRE_M = (0.0, 0.768, 0.0)
JOINTS_M = {
    "lower_arm_rear": (-0.251, 0.320, -0.080),
    "lower_arm_front": (0.148, 0.320, -0.094),
    "lower_ball_joint": (0.013, 0.737, -0.145),
    "upper_arm_rear": (-0.105, 0.435, 0.196),
    "upper_arm_front": (0.122, 0.435, 0.230),
    "upper_ball_joint": (-0.025, 0.680, 0.162),
    "tie_inner": (-0.150, 0.380, -0.038),
    "tie_outer": (-0.137, 0.690, -0.088),
}
STATIC_CAMBER_DEG = 0.79995
TEXTBOOK = Suspension(
    WISHBONES,
    joints={
        name: tuple(1000.0 * (at - centre) for at, centre in zip(joint, CENTRE_M, strict=True))
        for name, joint in JOINTS_M.items()
    },
)
# travel, camber, toe, x and y of the wheel centre
TRAVELS = [
    (-80, -1.5119, -0.2893, 4.078, 742.737),
    (-40, +0.0985, -0.1163, 2.016, 758.722),
    (+40, +0.9194, +0.0924, -1.976, 771.750),
    (+80, +0.5754, +0.1741, -3.913, 770.444),
]
# rack displacement at travel 0, then the same
RACKS = [
    (-50, +4.5001, -22.9103, -23.136, 765.769),
    (-25, +2.3350, -10.7275, -10.966, 768.107),
    (+25, -0.2906, +10.1831, 10.234, 766.050),
    (+50, -0.9935, +20.2660, 19.867, 762.430),
]


@pytest.mark.parametrize(("travel", "camber", "toe", "x", "y"), TRAVELS)
def test_the_textbook_wishbones_travel_as_three_programs_computed(
    travel: float, camber: float, toe: float, x: float, y: float
) -> None:
    pose = poses_of(TEXTBOOK, np.array([float(travel)]), camber_deg=STATIC_CAMBER_DEG)
    here_camber, here_toe = camber_toe(pose.spin)
    assert here_camber[0] == pytest.approx(camber, abs=6e-5)
    assert here_toe[0] == pytest.approx(toe, abs=6e-5)
    assert pose.hub[0, 0] == pytest.approx(x, abs=6e-4)
    assert pose.hub[0, 1] + 768.0 == pytest.approx(y, abs=6e-4)


@pytest.mark.parametrize(("rack", "camber", "toe", "x", "y"), RACKS)
def test_the_textbook_wishbones_steer_as_three_programs_computed(
    rack: float, camber: float, toe: float, x: float, y: float
) -> None:
    motion = motion_of(TEXTBOOK, STATIC_CAMBER_DEG, 0.0)
    settled = motion.settle([Planned(toe_deg=0.0)])
    steered = motion.steered(settled, np.zeros(1, int), np.radians([toe]))
    assert steered.held[0] == pytest.approx(rack, abs=3e-4)
    pose = motion.travelled(settled, steered, np.zeros(1, int), np.zeros(1))
    assert camber_toe(pose.spin)[0][0] == pytest.approx(camber, abs=6e-5)
    assert pose.hub[0, 0] == pytest.approx(x, abs=1e-3)
    assert pose.hub[0, 1] + 768.0 == pytest.approx(y, abs=1e-3)


def test_the_textbook_wishbones_have_the_caster_and_inclination_computed_for_them() -> None:
    settled = motion_of(TEXTBOOK, STATIC_CAMBER_DEG, 0.0).settle([Planned(toe_deg=0.0)])
    assert settled.axis is not None
    assert np.degrees(settled.axis.caster[0]) == pytest.approx(7.0561, abs=6e-5)
    assert np.degrees(settled.axis.inclination[0]) == pytest.approx(10.5182, abs=6e-5)


# --- Closed forms ---------------------------------------------------------------------------


def flat_wishbones(lower: float, upper: float, drop: float = 0.0) -> Suspension:
    """Arms in planes square to x: lower joint 130 below the hub, upper 150 above.

    ``lower`` and ``upper`` are the arms' lengths in front view; both slope down outboard by
    ``drop``. The tie rod lies in the lower arm's plane, so that toe stays as it is.
    """
    y = -80.0

    def inner(length: float, x: float, z: float) -> tuple[float, float, float]:
        return (x, y - math.sqrt(length**2 - drop**2), z + drop)

    return Suspension(
        WISHBONES,
        joints={
            "lower_ball_joint": (0.0, y, -130.0),
            "lower_arm_front": inner(lower, 120.0, -130.0),
            "lower_arm_rear": inner(lower, -120.0, -130.0),
            "upper_ball_joint": (0.0, y, 150.0),
            "upper_arm_front": inner(upper, 90.0, 150.0),
            "upper_arm_rear": inner(upper, -90.0, 150.0),
            "tie_outer": (-130.0, y, -130.0),
            "tie_inner": inner(lower, -130.0, -130.0),
        },
    )


def test_parallel_equal_arms_keep_camber_and_shift_the_hub_by_a_versine() -> None:
    length, travel = 320.0, np.array([-90.0, -35.0, 0.0, 20.0, 80.0])
    poses = poses_of(flat_wishbones(length, length), travel, camber_deg=-1.0, toe_deg=0.1)
    camber, toe = camber_toe(poses.spin)
    angle = np.arcsin(travel / length)
    assert camber == pytest.approx(-1.0, abs=1e-9)
    assert toe == pytest.approx(0.1, abs=1e-9)
    assert poses.hub[:, 1] == pytest.approx(-length * (1 - np.cos(angle)), abs=1e-7)
    assert poses.hub[:, 0] == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize(
    ("lower", "upper", "drop"), [(360, 250, 0), (330, 280, 45), (300, 310, -30)]
)
def test_unequal_arms_move_like_the_four_bar_of_their_front_view(
    lower: float, upper: float, drop: float
) -> None:
    corner = flat_wishbones(lower, upper, drop)
    lift = np.array([-70.0, -30.0, 25.0, 60.0])
    poses = poses_of(corner, lift)
    camber, _ = camber_toe(poses.spin)
    for height, got_camber, hub in zip(lift, camber, poses.hub, strict=True):
        want_camber, want_y = four_bar(corner, lower, upper, height)
        assert got_camber == pytest.approx(want_camber, abs=1e-6)
        assert hub[1] == pytest.approx(want_y, abs=1e-6)


def four_bar(corner: Suspension, lower: float, upper: float, height: float) -> tuple[float, float]:
    """Camber (degrees) and hub y of a planar four-bar, by intersecting circles and bisection.

    The lower arm's angle is sought for which the hub, fixed to the coupler, has the height.
    """
    joint = {name: complex(at[1], at[2]) for name, at in corner.joints.items()}
    low, up = joint["lower_arm_front"], joint["upper_arm_front"]
    rest = joint["upper_ball_joint"] - joint["lower_ball_joint"]

    def hub(angle: float) -> tuple[complex, float]:
        bottom = low + lower * complex(math.cos(angle), math.sin(angle))
        span = up - bottom
        along = (abs(span) ** 2 + abs(rest) ** 2 - upper**2) / (2 * abs(span))
        aside = math.sqrt(abs(rest) ** 2 - along**2)
        top = bottom + span / abs(span) * complex(along, -aside)
        turn = (top - bottom) / rest
        return bottom - joint["lower_ball_joint"] * turn, math.atan2(turn.imag, turn.real)

    a, b = -0.6, 0.6
    for _ in range(200):
        middle = (a + b) / 2
        a, b = (middle, b) if hub(middle)[0].imag < height else (a, middle)
    at, turned = hub((a + b) / 2)
    # Turned right-handed about +x the top goes inboard (towards smaller y): camber falls.
    return -math.degrees(turned), at.real


@pytest.mark.parametrize("top_y", [-80.0, -150.0, -210.0])
def test_a_pure_strut_turns_as_its_lower_arm_and_slider_say(top_y: float) -> None:
    """Front view of a strut: the lower joint on a circle, the slider's line through the top."""
    lower, top, arm = complex(-80.0, -120.0), complex(top_y, 520.0), 330.0
    pivot = lower - arm
    corner = Suspension(
        STRUT,
        joints={
            "strut_top": (0.0, top.real, top.imag),
            "strut_lower": (0.0, lower.real, lower.imag),
            "lower_ball_joint": (0.0, lower.real, lower.imag),
            "lower_arm_front": (110.0, pivot.real, pivot.imag),
            "lower_arm_rear": (-110.0, pivot.real, pivot.imag),
            "tie_outer": (-120.0, lower.real, lower.imag),
            "tie_inner": (-120.0, pivot.real, pivot.imag),
        },
    )
    rest = np.angle(top - lower)

    def hub(angle: float) -> tuple[complex, float]:
        bottom = pivot + arm * np.exp(1j * angle)
        turned = float(np.angle(top - bottom) - rest)
        return bottom - lower * np.exp(1j * turned), turned

    lift = np.array([-60.0, -20.0, 30.0, 70.0])
    poses = poses_of(corner, lift)
    camber, _ = camber_toe(poses.spin)
    for height, got_camber, got in zip(lift, camber, poses.hub, strict=True):
        a, b = -0.5, 0.5
        for _ in range(200):
            middle = (a + b) / 2
            a, b = (middle, b) if hub(middle)[0].imag < height else (a, middle)
        at, turned = hub((a + b) / 2)
        assert got_camber == pytest.approx(-math.degrees(turned), abs=1e-6)
        assert got[1] == pytest.approx(at.real, abs=1e-6)


# --- A general optimiser -----------------------------------------------------------------------


class Optimised:
    """Constraints of a corner as residuals over hub x, y and a rotation vector."""

    def __init__(self, suspension: Suspension, camber_deg: float, toe_deg: float) -> None:
        self.kind = suspension.kind
        joint = {name: np.array(at, float) for name, at in suspension.joints.items()}
        self.joint, self.suspension = joint, suspension
        camber, toe = math.radians(camber_deg), math.radians(toe_deg)
        self.spin = np.array(
            [math.sin(toe) * math.cos(camber), math.cos(toe) * math.cos(camber), -math.sin(camber)]
        )
        if self.kind == LINKS:
            self.rods = [
                (rod.name, np.array(rod.inner), np.array(rod.outer)) for rod in suspension.links
            ]
            self.toe_rod = next(rod.name for rod in suspension.links if rod.toe)
        else:
            arms = ("lower",) if self.kind == STRUT else ("lower", "upper")
            self.rods = [
                (f"{arm} {end}", joint[f"{arm}_arm_{end}"], joint[f"{arm}_ball_joint"])
                for arm in arms
                for end in ("front", "rear")
            ]
            self.rods.append(("tie", joint["tie_inner"], joint["tie_outer"]))
            self.toe_rod = "tie"

    def residuals(
        self, place: Array, height: float, adjust: dict[str, float], rack: float
    ) -> Array:
        hub = np.array([place[0], place[1], height])
        turn = scipy.spatial.transform.Rotation.from_rotvec(place[2:5]).as_matrix()
        out = []
        for name, inner, outer in self.rods:
            length = np.linalg.norm(outer - inner)
            for arm, what, sign in (
                ("lower", "lower_arm_out_mm", 1.0),
                ("upper", "upper_arm_in_mm", -1.0),
            ):
                if self.kind != LINKS and name.startswith(arm) and adjust.get(what):
                    shifted = outer + sign * adjust[what] * self.outwards(arm)
                    length = np.linalg.norm(shifted - inner)
            length += adjust.get(f"rod:{name}", 0.0)
            end = inner.copy()
            if name == self.toe_rod:
                length += adjust.get("toe_link_mm", 0.0)
                end[1] += rack
            out.append(np.linalg.norm(hub + turn @ outer - end) - length)
        if self.kind == STRUT:
            k = math.radians(adjust.get("knuckle_camber_deg", 0.0))
            tilt = scipy.spatial.transform.Rotation.from_rotvec([k, 0, 0]).as_matrix()
            pivot = np.array(self.suspension.knuckle_pivot or self.joint["strut_lower"])
            base = pivot + tilt @ (self.joint["strut_lower"] - pivot)
            line = tilt @ (self.joint["strut_top"] - self.joint["strut_lower"])
            line /= np.linalg.norm(line)
            top = self.joint["strut_top"] - np.array(
                [adjust.get("top_mount_back_mm", 0.0), adjust.get("top_mount_in_mm", 0.0), 0.0]
            )
            off = np.cross(line, turn.T @ (top - hub) - base)
            out += list(off)  # three numbers, of which two are independent
        return np.array(out)

    def outwards(self, arm: str) -> Array:
        front, rear = self.joint[f"{arm}_arm_front"], self.joint[f"{arm}_arm_rear"]
        n = (front - rear) / np.linalg.norm(front - rear)
        v = self.joint[f"{arm}_ball_joint"] - front
        e = v - (v @ n) * n
        return e / np.linalg.norm(e)

    def pose(
        self, height: float, adjust: dict[str, float], rack: float, start: Array
    ) -> tuple[Array, Array, Array]:
        """Hub, spin axis and the unknowns."""
        solved = scipy.optimize.least_squares(
            self.residuals,
            start,
            args=(height, adjust, rack),
            xtol=1e-15,
            ftol=1e-15,
            gtol=1e-15,
            x_scale=[100, 100, 1, 1, 1],
        )
        assert np.max(np.abs(solved.fun)) < 1e-6
        turn = scipy.spatial.transform.Rotation.from_rotvec(solved.x[2:5]).as_matrix()
        return np.array([solved.x[0], solved.x[1], height]), turn @ self.spin, solved.x


def agrees_with_the_optimiser(seed: int) -> None:
    kind = LINKED[seed % 3]
    corner = the_corner(random_check(seed, kind=kind))
    survey, planned, limits = corner.survey, corner.planned, corner.limits
    motion = LinkedMotion(corner.suspension, survey.camber_deg, survey.toe_deg)
    settled = motion.settle([planned])
    twin = Optimised(corner.suspension, survey.camber_deg, survey.toe_deg)
    height = -planned.adjusters.ride_height_mm
    stated = planned.adjusters
    adjust = {
        name: float(getattr(stated, name))
        for name in (
            "top_mount_in_mm",
            "top_mount_back_mm",
            "lower_arm_out_mm",
            "upper_arm_in_mm",
            "knuckle_camber_deg",
        )
    } | {f"rod:{rod}": value for rod, value in stated.rods_mm.items()}
    camber_method = {
        "top_mount": "top_mount_in_mm",
        "lower_arm": "lower_arm_out_mm",
        "upper_arm": "upper_arm_in_mm",
        "knuckle": "knuckle_camber_deg",
    }
    free = ["toe_link_mm"]
    if planned.camber_by is not None:
        free.append(camber_method.get(planned.camber_by, planned.camber_by))
    wanted = [planned.toe_deg, planned.camber_deg]

    def setting(unknown: Array) -> Array:
        now = dict(adjust)
        for name, value in zip(free, unknown[5:], strict=True):
            now[name] = value
        gaps = twin.residuals(unknown[:5], height, now, 0.0)
        spin = scipy.spatial.transform.Rotation.from_rotvec(unknown[2:5]).as_matrix() @ twin.spin
        camber, toe = camber_toe(spin[None])
        angles = [toe[0] - wanted[0], camber[0] - (wanted[1] or 0.0)][: len(free)]
        return np.concatenate([gaps, 5.0 * np.array(angles)])

    begin = np.zeros(5 + len(free))
    scale = [100, 100, 1, 1, 1] + [10] * len(free)
    solved = scipy.optimize.least_squares(
        setting, begin, xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=scale
    )
    assert np.max(np.abs(solved.fun)) < 1e-6
    for name, value in zip(free, solved.x[5:], strict=True):
        assert settled.adjust[name][0] == pytest.approx(value, abs=ADJUSTER_MM), name
        adjust[name] = value
    assert settled.hub[0, :2] == pytest.approx(solved.x[:2], abs=HUB_MM)

    rng = np.random.default_rng(seed)
    for _ in range(3):
        steer = float(rng.uniform(-limits.steer_out_deg, limits.steer_in_deg))
        lift = float(rng.uniform(-limits.droop_mm, limits.bump_mm or 0.0))
        steered = motion.steered(settled, np.zeros(1, int), np.radians([steer]))
        rack = float(steered.held[0])
        _, spin, at_rest = twin.pose(height, adjust, rack, solved.x[:5])
        toe = camber_toe(spin[None])[1][0]
        assert toe - planned.toe_deg == pytest.approx(steer, abs=ANGLE_DEG)
        start = at_rest
        for z in np.linspace(height, lift, 4)[1:]:  # stay on the way that the car would go
            hub, spin, start = twin.pose(float(z), adjust, rack, start)
        pose = motion.travelled(settled, steered, np.zeros(1, int), np.array([lift]))
        assert pose.hub[0] == pytest.approx(hub, abs=HUB_MM)
        assert pose.rod_ends is not None
        turn = scipy.spatial.transform.Rotation.from_rotvec(start[2:5]).as_matrix()
        for (inner, outer), (name, at, joint) in zip(pose.rod_ends[0], twin.rods, strict=True):
            steered_end = np.array([0.0, rack if name == twin.toe_rod else 0.0, 0.0])
            assert inner == pytest.approx(at + steered_end, abs=HUB_MM)
            assert outer == pytest.approx(hub + turn @ joint, abs=HUB_MM)
        assert np.concatenate(camber_toe(pose.spin)) == pytest.approx(
            np.concatenate(camber_toe(spin[None])), abs=ANGLE_DEG
        )


@pytest.mark.parametrize("seed", range(24))
def test_settings_and_poses_agree_with_a_general_optimiser(seed: int) -> None:
    agrees_with_the_optimiser(seed)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(100, 200))
def test_a_hundred_more_linkages_agree_with_a_general_optimiser(seed: int) -> None:
    agrees_with_the_optimiser(seed)


# --- What must not matter, and what must not happen ----------------------------------------------


@pytest.mark.parametrize("seed", range(6))
def test_a_corner_turned_about_the_vertical_moves_as_the_same_corner_turned(seed: int) -> None:
    corner = the_corner(random_check(seed, kind=LINKED[seed % 3]))
    travel = np.linspace(-30, 30, 5)
    angles = {"camber_deg": corner.survey.camber_deg, "toe_deg": corner.survey.toe_deg}
    here = poses_of(corner.suspension, travel, **angles)
    turn = scipy.spatial.transform.Rotation.from_rotvec([0.0, 0.0, 0.35]).as_matrix()
    turned = poses_of(
        turned_about_the_vertical(corner.suspension, turn),
        travel,
        camber_deg=angles["camber_deg"],
        toe_deg=angles["toe_deg"] - math.degrees(0.35),
    )
    assert turned.hub == pytest.approx(here.hub @ turn.T, abs=1e-6)
    assert turned.spin == pytest.approx(here.spin @ turn.T, abs=1e-9)


def turned_about_the_vertical(suspension: Suspension, turn: Array) -> Suspension:
    def at(point: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = turn @ np.array(point)
        return (float(x), float(y), float(z))

    return replace(
        suspension,
        joints={name: at(joint) for name, joint in suspension.joints.items()},
        links=tuple(replace(r, inner=at(r.inner), outer=at(r.outer)) for r in suspension.links),
    )


@pytest.mark.parametrize("seed", range(6))
def test_a_corner_with_front_and_rear_exchanged_moves_as_its_mirror(seed: int) -> None:
    corner = the_corner(random_check(seed, kind=LINKED[seed % 3]))
    suspension, survey = corner.suspension, corner.survey
    travel = np.linspace(-40, 40, 5)

    def at(point: tuple[float, float, float]) -> tuple[float, float, float]:
        return (-point[0], point[1], point[2])

    mirrored = replace(
        suspension,
        joints={name: at(joint) for name, joint in suspension.joints.items()},
        links=tuple(Rod(r.name, at(r.inner), at(r.outer), r.toe) for r in suspension.links),
    )
    here = poses_of(suspension, travel, camber_deg=survey.camber_deg, toe_deg=survey.toe_deg)
    there = poses_of(mirrored, travel, camber_deg=survey.camber_deg, toe_deg=-survey.toe_deg)
    flip = np.array([-1.0, 1.0, 1.0])
    assert there.hub == pytest.approx(here.hub * flip, abs=1e-6)
    assert there.spin == pytest.approx(here.spin * flip, abs=1e-9)


@pytest.mark.parametrize("seed", range(9))
def test_a_pose_moves_little_when_travel_moves_little(seed: int) -> None:
    corner = the_corner(random_check(seed, kind=LINKED[seed % 3]))
    bump = corner.limits.bump_mm or 0.0
    travel = np.linspace(-corner.limits.droop_mm, bump, 161)
    survey = corner.survey
    poses = poses_of(
        corner.suspension, travel, camber_deg=survey.camber_deg, toe_deg=survey.toe_deg
    )
    step = travel[1] - travel[0]
    moved = np.linalg.norm(np.diff(poses.hub, axis=0), axis=1)
    turned = np.degrees(np.linalg.norm(np.diff(poses.spin, axis=0), axis=1))
    assert np.max(moved) < 1.2 * step
    assert np.max(turned) < 0.3 * step
    bend = np.linalg.norm(np.diff(poses.hub, n=2, axis=0), axis=1)
    assert np.max(bend) < 0.05 * step


@pytest.mark.parametrize("seed", range(9))
def test_no_pose_lies_on_the_wrong_side_of_a_joint(seed: int) -> None:
    """Each pose is reached again from its neighbour in small steps: the same branch throughout."""
    corner = the_corner(random_check(seed, kind=LINKED[seed % 3]))
    survey, limits = corner.survey, corner.limits
    motion = LinkedMotion(corner.suspension, survey.camber_deg, survey.toe_deg)
    settled = motion.settle([corner.planned])
    bump = (limits.bump_mm or 0.0) * 0.99
    for steer in (-0.9 * limits.steer_out_deg, 0.0, 0.9 * limits.steer_in_deg):
        steered = motion.steered(settled, np.zeros(1, int), np.radians([steer]))
        start = float(settled.static_travel[0])
        for end in (-limits.droop_mm, bump):
            at_once = motion.travelled(settled, steered, np.zeros(1, int), np.array([end]))
            twin = Optimised(corner.suspension, survey.camber_deg, survey.toe_deg)
            adjust = {name: float(value[0]) for name, value in settled.adjust.items()}
            place = np.concatenate(
                [
                    steered.hub[0, :2],
                    scipy.spatial.transform.Rotation.from_matrix(steered.turn[0]).as_rotvec(),
                ]
            )
            for z in np.linspace(start, end, 7)[1:]:
                hub, spin, place = twin.pose(float(z), adjust, float(steered.held[0]), place)
            assert at_once.hub[0] == pytest.approx(hub, abs=HUB_MM)
            assert at_once.spin[0] == pytest.approx(spin, abs=1e-6)


def test_a_height_beyond_the_arms_is_refused_and_the_rod_is_named() -> None:
    corner = flat_wishbones(320.0, 320.0)
    with pytest.raises(Unreachable, match=r"part=part\.(lower|upper)_arm_(front|rear)\("):
        poses_of(corner, np.array([400.0]))


def test_a_steer_angle_beyond_the_linkage_is_refused_and_the_rod_is_named() -> None:
    with pytest.raises(Unreachable, match=r"^stop\.steer\(steer_deg=-62\.0.*part=part\.tie_rod\("):
        poses_of(TEXTBOOK, np.zeros(1), camber_deg=STATIC_CAMBER_DEG, steer_deg=-62.0)


def test_the_last_steer_angle_that_the_linkage_can_give_is_given() -> None:
    """Found with the twin: past 82.9 mm of rack the tie rod and steering arm fall into line."""
    motion = motion_of(TEXTBOOK, STATIC_CAMBER_DEG, 0.0)
    settled = motion.settle([Planned(toe_deg=0.0)])
    steered = motion.steered(settled, np.zeros(1, int), np.radians([-54.0]))
    twin, place = Optimised(TEXTBOOK, STATIC_CAMBER_DEG, 0.0), np.zeros(5)
    for rack in np.linspace(0.0, float(steered.held[0]), 15):
        _, spin, place = twin.pose(0.0, {}, float(rack), place)
    assert camber_toe(spin[None])[1][0] == pytest.approx(-54.0, abs=1e-3)


@pytest.mark.parametrize("seed", range(12))
def test_camber_planned_in_small_steps_moves_its_adjuster_in_small_steps(seed: int) -> None:
    corner = the_corner(random_check(seed, kind=LINKED[seed % 3]))
    survey = corner.survey
    camber_method = {
        STRUT: ("top_mount", "lower_arm", "knuckle"),
        WISHBONES: ("lower_arm", "upper_arm"),
        LINKS: ("rod:upper front", "rod:lower rear"),
    }[corner.suspension.kind]
    motion = LinkedMotion(corner.suspension, survey.camber_deg, survey.toe_deg)
    wanted = survey.camber_deg + np.linspace(-3.0, 1.5, 19)
    for by in camber_method:
        plans = [Planned(survey.toe_deg, float(camber), by) for camber in wanted]
        settled = motion.settle(plans)
        moved = settled.adjust[motion.solved(plans[0])[1]]
        assert np.degrees(settled.camber) == pytest.approx(wanted, abs=1e-6)
        step = np.diff(moved)
        assert np.all(np.sign(step) == np.sign(step[0]))
        assert np.max(np.abs(np.diff(step)) / np.abs(step[:-1])) < 0.3
        assert np.interp(survey.camber_deg, wanted, moved) == pytest.approx(0.0, abs=0.02)


def test_a_camber_that_no_arm_can_give_is_refused() -> None:
    motion = motion_of(TEXTBOOK, STATIC_CAMBER_DEG, 0.0)
    plan = Planned(toe_deg=0.0, camber_deg=-40.0, camber_by="upper_arm")
    with pytest.raises(Unreachable, match=r"part=part\.(lower|upper)_arm_(front|rear)\("):
        motion.settle([plan])


def test_one_batch_of_settings_gives_what_each_gives_alone() -> None:
    motion = motion_of(TEXTBOOK, STATIC_CAMBER_DEG, 0.0)
    plans = [
        Planned(toe, camber, "upper_arm", Adjusters(ride_height_mm=height))
        for toe, camber, height in ((0.1, -1.0, 0.0), (-0.1, -2.0, -20.0), (0.0, 0.5, 10.0))
    ]
    together = motion.settle(plans)
    for row, plan in enumerate(plans):
        alone = motion.settle([plan])
        assert together.hub[row] == pytest.approx(alone.hub[0], abs=1e-6)
        assert together.adjust["upper_arm_in_mm"][row] == pytest.approx(
            alone.adjust["upper_arm_in_mm"][0], abs=1e-6
        )

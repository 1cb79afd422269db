"""What a survey's readings leave uncertain: where features and joints are.

A feature's points were read one by one, each with errors of its own, or off a template that fixes
them together. Joints are read one by one; those that were fitted to what the wheel was seen to do
are better known, and no longer independent. Millimetres, radians.
"""

from __future__ import annotations

from collections.abc import Hashable

import numpy as np

from alignment.geometry import frames
from alignment.geometry.bump_steer_sheet import MeasuredMotion
from alignment.geometry.frames import Array, Index
from alignment.geometry.joint_slopes import angle_slopes, joint_names, joint_slopes
from alignment.geometry.model import Suspension
from alignment.geometry.motion import LinkedMotion
from fitment.engine import defaults
from fitment.engine.minimum.rolled_lips import is_rolled
from fitment.engine.minimum.room import Room
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import LINK, STRUT_BODY, TEMPLATE
from fitment.engine.uncertainty.inputs import SURVEY, Inputs, Ledger
from fitment.engine.uncertainty.moments import LinearMoments

RADIUS, AXIAL, CLOCK = "survey radius", "survey axial", "survey clock angle"
JOINTS = "joint places"
ROLLED = "rolled lip"


def feature_inputs(setting: Setting, moments: LinearMoments, ledger: Ledger) -> list[Inputs]:
    """Radius, axial and clock angle of what was read of every feature, and of a rolled lip."""
    blocks: list[Inputs] = []
    for index, course in enumerate(setting.room.courses):
        rows = np.flatnonzero(moments.which == index)
        if len(rows):
            blocks += _of_feature(setting.room, index, moments, rows, ledger)
        if is_rolled(course.feature, setting.corner.planned):
            axis = course.spin if course.polar else setting.room.rest_spin
            sigma = ledger.sigma(None, defaults.ROLLED_LIP)
            mm = (moments.push @ axis) * (moments.which == index) * sigma
            blocks.append(Inputs.single(ROLLED, SURVEY, course.feature, mm))
    return blocks


def _of_feature(
    room: Room, index: int, moments: LinearMoments, rows: Index, ledger: Ledger
) -> list[Inputs]:
    course = room.courses[index]
    feature = course.feature
    if feature.carried_by == LINK and feature.sigma_mm is None:
        return []  # a rod lies where its joints lie
    sigma = ledger.sigma(feature.sigma_mm, defaults.FEATURE)
    clock = 0.0
    if feature.carried_by != LINK:
        clock = np.radians(ledger.sigma(None, defaults.CLOCK))
    points, weights, names = _read(room, index, moments, rows)
    hub, spin = (course.hub, course.spin) if course.polar else (np.zeros(3), room.rest_spin)
    out = points - hub
    out = out - (out @ spin)[..., None] * spin
    radius = np.linalg.norm(out, axis=-1, keepdims=True)
    out = out / np.maximum(radius, 1e-9)
    push = moments.push[rows]
    if feature.carried_by == STRUT_BODY:  # seen as it was read, before the knuckle turned it
        push = push @ frames.turn_about_forward(np.radians(room.strut_turn.angle_deg))
    push = push[:, None]
    ways = {
        RADIUS: np.sum(push * out, axis=-1) * sigma,
        AXIAL: np.sum(push * spin, axis=-1) * sigma,
        CLOCK: np.sum(push * frames.cross(spin, out), axis=-1) * radius[..., 0] * clock,
    }
    blocks = []
    for source, slope in ways.items():
        if source == CLOCK and not clock:
            continue
        mm = np.zeros((len(moments.which), len(names)))
        mm[rows] = slope * weights
        keys = tuple((source, feature, name) for name in names)
        blocks.append(Inputs(source, SURVEY, keys, mm))
    return blocks


def _read(
    room: Room, index: int, moments: LinearMoments, rows: Index
) -> tuple[Array, Array, tuple[Hashable, ...]]:
    """The readings of a feature: where (rows, k, 3), their weights (rows, k) in each moment."""
    course = room.courses[index]
    if course.feature.carried_by == LINK:
        return moments.points[rows][:, None], np.ones((len(rows), 1)), ("all",)
    here = room.at_rest(moments.spots.at(rows))[:, None]
    if course.feature.read == TEMPLATE:
        return here, np.ones((len(rows), 1)), ("all",)
    knots = np.arange(len(course.knots))
    weights = np.maximum(0.0, 1.0 - np.abs(moments.spots.along[rows][:, None] - knots))
    used = np.flatnonzero(weights.any(axis=0))
    names = tuple(int(knot) for knot in used)
    if course.polar:  # between two readings radius, axial and clock run straight, not the point
        return np.repeat(here, len(used), axis=1), weights[:, used], names
    points = course.at(used.astype(float))
    return np.repeat(points[None], len(rows), axis=0), weights[:, used], names


def joint_inputs(setting: Setting, moments: LinearMoments, ledger: Ledger) -> list[Inputs]:
    """What the joints' places leave uncertain of moments of the envelope."""
    spots = moments.spots
    travel = setting.envelope.travel(spots.steer, spots.share, spots.loaded)
    return joints_at(setting, moments, spots.steer, travel, ledger)


def joints_at(
    setting: Setting, moments: LinearMoments, steer: Array, travel: Array, ledger: Ledger
) -> list[Inputs]:
    """The same of moments at steer (rad) and travel (m,); nothing for measured curves."""
    suspension, room = setting.corner.suspension, setting.room
    bare = setting.motion.bare if isinstance(setting.motion, MeasuredMotion) else setting.motion
    on_strut = np.array([c.feature.carried_by == STRUT_BODY for c in room.courses])[moments.which]
    rows = np.flatnonzero(room.moving[moments.which] | on_strut)
    if not isinstance(bare, LinkedMotion) or not len(rows):
        return []
    sigma = ledger.sigma(suspension.sigma_joints_mm, defaults.JOINT)
    if sigma == 0.0:
        return []
    which = moments.which[rows]
    tube = room.tube_of[which]
    rod = np.where(tube >= 0, np.array([*room.rods, -1])[tube], -1)
    slopes = joint_slopes(
        setting.motion,
        suspension,
        setting.settled,
        setting.corner.planned,
        steer[rows],
        travel[rows],
        rod,
    )
    push, turn = moments.push[rows], moments.turn[rows]
    by_hub = np.sum(turn[..., None] * slopes.turn - push[..., None] * slopes.hub, axis=1)
    by_hub = np.where(room.moving[which][:, None], by_hub, 0.0)
    along = np.where(rod >= 0, moments.spots.along[rows], 0.0)[:, None, None]
    point = (1.0 - along) * slopes.ends[:, 0] + along * slopes.ends[:, 1]
    by_point = np.sum(push[..., None] * point, axis=1)
    by_strut = _by_strut(setting, moments, rows, slopes.adjust.get("knuckle_camber_deg"))
    mm = np.zeros((len(moments.which), by_hub.shape[1]))
    mm[rows] = by_hub + by_point + by_strut
    mm = mm @ joint_spread(setting, sigma)
    scope = _scope(suspension)
    return [Inputs(JOINTS, SURVEY, tuple((JOINTS, scope, i) for i in range(mm.shape[1])), mm)]


def _by_strut(setting: Setting, moments: LinearMoments, rows: Index, angle: Array | None) -> Array:
    """What a knuckle's camber adjuster that is solved anew does to what the strut carries."""
    if angle is None:
        return np.zeros((len(rows), 1))
    room = setting.room
    carried = np.array([c.feature.carried_by == STRUT_BODY for c in room.courses])
    arm = moments.points[rows] - room.strut_turn.pivot
    moved = frames.cross(np.array([1.0, 0.0, 0.0]), arm) * carried[moments.which[rows], None]
    by_angle = np.sum(moments.push[rows] * moved, axis=1)
    return np.asarray(by_angle[:, None] * np.radians(angle), float)


def joint_spread(setting: Setting, sigma_mm: float) -> Array:
    """A matrix (c, c) from independent standard normals to the errors of the joints' coordinates.

    As read; where they were fitted to camber and toe over travel, as those readings leave them
    (the posterior of the linear model).
    """
    suspension, survey = setting.corner.suspension, setting.corner.survey
    size = 3 * len(joint_names(suspension))
    fitted = suspension.fitted
    if fitted is None:
        return sigma_mm * np.eye(size)
    slopes = angle_slopes(suspension, survey.camber_deg, survey.toe_deg, fitted.rows)
    read = np.array(
        [[row.camber_deg is not None, row.toe_deg is not None] for row in fitted.rows], bool
    )
    seen = slopes[read] / fitted.sigma_deg
    precision = np.eye(size) / sigma_mm**2 + seen.T @ seen
    return np.asarray(np.linalg.inv(np.linalg.cholesky(precision)).T, float)


def _scope(suspension: Suspension) -> Hashable:
    """What corners have in common that stand on the same readings of joints."""
    return tuple(sorted(suspension.joints.items())), suspension.links

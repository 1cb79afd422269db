"""What a joint that was read a little wrong does to every pose.

A survey's joints are uncertain; what is planned is met in any case. So where a joint lies a
millimetre off, toe link and camber adjuster are solved anew, the rack for its steer angle too, and
then the knuckle goes elsewhere over its travel. To first order all three follow from the Jacobians
of the linkage's constraints (implicit differentiation, standard method): no pose is solved again.
Corner frame, millimetres, radians.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.bump_steer_sheet import MeasuredMotion
from alignment.geometry.frames import Array, Index
from alignment.geometry.linkage import LENGTHENS, RACK, Linkage, Pose, arm_out
from alignment.geometry.model import Planned, Suspension, TravelReading, Vec3
from alignment.geometry.motion import LinkedMotion, Motion, Settled, motion_of
from alignment.geometry.pchip import Pchip

#: By how much a joint is moved where its effect is found by differences, mm.
STEP_MM = 1e-3


@dataclass(frozen=True)
class PoseSlopes:
    """What n poses change by per millimetre of each of c coordinates.

    ``hub`` (n, 3, c) of the hub-face centre and ``turn`` (n, 3, c) of the wheel, a rotation
    vector about it (rad/mm). ``ends`` (n, 2, 3, c) of one rod's inner and outer end where it was
    asked for. ``adjust`` (c,) of every solved adjuster, by name.
    """

    hub: Array
    turn: Array
    ends: Array
    adjust: Mapping[str, Array]


def joint_names(suspension: Suspension) -> list[str]:
    """The joints of a linkage: as a survey names them, or ``rod/inner`` and ``rod/outer``."""
    if suspension.has_named_rods:
        return [f"{rod.name}/{end}" for rod in suspension.links for end in ("inner", "outer")]
    return list(suspension.joints)


def with_joints_moved(suspension: Suspension, shift: Array) -> Suspension:
    """The suspension with its joints, in the order of their names, moved by ``shift`` (3n,) mm."""
    by = dict(zip(joint_names(suspension), shift.reshape(-1, 3), strict=True))

    def at(point: Vec3, name: str) -> Vec3:
        x, y, z = (float(a + b) for a, b in zip(point, by[name], strict=True))
        return x, y, z

    if suspension.has_named_rods:
        links = tuple(
            replace(
                rod,
                inner=at(rod.inner, f"{rod.name}/inner"),
                outer=at(rod.outer, f"{rod.name}/outer"),
            )
            for rod in suspension.links
        )
        return replace(suspension, links=links)
    joints = {name: at(point, name) for name, point in suspension.joints.items()}
    return replace(suspension, joints=joints)


def joint_slopes(
    motion: Motion,
    suspension: Suspension,
    settled: Settled,
    planned: Planned,
    steer: Array,
    travel: Array,
    rod: Index | None = None,
) -> PoseSlopes:
    """Slopes of the poses at ``steer`` (n,) and ``travel`` (n,) of one settled plan.

    ``rod`` (n,) picks by pose the rod whose ends are followed; -1 for none. A bump-steer sheet
    that is laid over the model takes out what it has seen of camber and toe.
    """
    if isinstance(motion, MeasuredMotion):
        bare = joint_slopes(motion.bare, suspension, settled, planned, steer, travel, rod)
        return _seen_by_sheet(motion, suspension, bare, settled, travel, steer)
    if not isinstance(motion, LinkedMotion):
        raise TypeError("measured curves have no joints")
    linkage, count = motion.linkage, len(steer)
    every = np.arange(count)
    steered = motion.steered(settled, np.zeros(count, np.intp), steer)
    pose, adjust = motion.knuckle(settled, steered, every, travel)
    missed = _missed(suspension, motion, settled, (steered.hub, steered.turn), pose, adjust)
    free = motion.solved(planned)

    # Static height, straight ahead: the adjusters that meet the plan.
    rest = Pose(settled.hub, settled.turn)
    camber = None if planned.camber_deg is None else settled.camber
    error, slope = linkage.linear(rest, linkage.hold_of(settled.adjust))
    full = linkage.with_angles(rest, error, slope, settled.adjust, free, settled.toe, camber)[1]
    change = -np.linalg.solve(full, _padded(missed[:1], len(full[0])))
    solved = {name: change[0, 5 + i] for i, name in enumerate(free)}

    # At this steer: the rack that gives it.
    at_static = Pose(steered.hub, steered.turn)
    error, slope = linkage.linear(at_static, linkage.hold_of(adjust))
    toe = settled.toe[0] + steer
    full = linkage.with_angles(at_static, error, slope, adjust, (RACK,), toe, None)[1]
    known = missed[1 : 1 + count] + _by_adjusters(linkage, at_static, adjust, solved)
    rack = -np.asarray(np.linalg.solve(full, _padded(known, 6)), float)[:, 5]

    # And at this height, rack and adjusters held.
    slope = linkage.linear(pose, linkage.hold_of(adjust))[1]
    known = missed[1 + count :] + _by_adjusters(linkage, pose, adjust, solved)
    known += linkage.effect_of(RACK, pose, adjust)[:, :, None] * rack[:, None]
    moved = -np.asarray(np.linalg.solve(slope, known), float)
    hub = np.concatenate([moved[:, :2], np.zeros((count, 1, moved.shape[2]))], axis=1)
    turn = moved[:, 2:5]
    ends = _ends(suspension, linkage, pose, hub, turn, rack, rod)
    return PoseSlopes(hub, turn, ends, solved)


def angle_slopes(
    suspension: Suspension, camber_deg: float, toe_deg: float, rows: Sequence[TravelReading]
) -> Array:
    """What changes of camber and toe from the survey height (rows, 2, c) change by, °/mm."""
    motion = motion_of(replace(suspension, measured=None), camber_deg, toe_deg)
    planned = Planned(toe_deg=toe_deg)
    settled = motion.settle([planned])
    travel = np.array([0.0, *(row.travel_mm for row in rows)])
    straight = np.zeros(len(travel))
    slopes = joint_slopes(motion, suspension, settled, planned, straight, travel)
    spin = motion.travelled(
        settled,
        motion.steered(settled, np.zeros(1, np.intp), np.zeros(1)),
        np.zeros(len(travel), np.intp),
        travel,
    ).spin
    angles = np.degrees(camber_and_toe(spin, slopes.turn))
    return np.asarray(angles[1:] - angles[:1], float)


def camber_and_toe(spin: Array, turn: Array) -> Array:
    """Changes (n, 2, c) of camber and toe (rad) by small rotation vectors ``turn`` (n, 3, c)."""
    moved = np.cross(turn, spin[:, :, None], axis=1)
    flat = spin[:, 0] ** 2 + spin[:, 1] ** 2
    camber = -moved[:, 2] / np.sqrt(flat)[:, None]
    toe = (spin[:, 1, None] * moved[:, 0] - spin[:, 0, None] * moved[:, 1]) / flat[:, None]
    return np.stack([camber, toe], axis=1)


def _missed(
    suspension: Suspension,
    motion: LinkedMotion,
    settled: Settled,
    steered: tuple[Array, Array],
    pose: Pose,
    adjust: Mapping[str, Array],
) -> Array:
    """What the constraints miss per mm of each coordinate, (1 + 2n, 5, c), poses held.

    First the settled pose, then those at static height, then those at their travel.
    """
    hub = np.concatenate([settled.hub, steered[0], pose.hub])
    turn = np.concatenate([settled.turn, steered[1], pose.turn])
    count = len(pose.hub)
    values = {}
    for name, value in adjust.items():
        every = np.broadcast_to(value, (count,))
        still = np.zeros(1) if name == RACK else settled.adjust[name]
        values[name] = np.concatenate([still, every, every])
    everywhere, linkage = Pose(hub, turn), motion.linkage
    missed = _by_rods(suspension, linkage, everywhere, values)
    if linkage.strut:
        missed[:, 3:] = _by_slider(suspension, linkage, everywhere, values)
    return missed


def _by_rods(
    suspension: Suspension, linkage: Linkage, pose: Pose, values: Mapping[str, Array]
) -> Array:
    """The same by rods: a joint elsewhere turns what its rod is long, here and as it was read."""
    missed = np.zeros((len(pose.hub), 5, 3 * len(joint_names(suspension))))
    inner = linkage.hold_of(values).inner
    along = pose.hub[:, None] + linkage.outer @ pose.turn.transpose(0, 2, 1) - inner
    along = along / np.linalg.norm(along, axis=2, keepdims=True)
    for row, rod in enumerate(linkage.names):
        at_inner, at_outer = _columns_of(suspension, rod)
        arm, moved = rod.split("_arm_")[0], _lengthened(linkage, rod, values)
        read = linkage.outer[row] - linkage.inner[row]
        if moved:
            read = read + moved * linkage.arms[arm]
        read = read / np.linalg.norm(read)
        here = along[:, row]
        missed[:, row, at_inner] += read - here
        missed[:, row, at_outer] += (here[:, None] @ pose.turn)[:, 0] - read
        if moved:
            missed[:, row] -= moved * (read @ _arm_turns(suspension, arm))
    return missed


def _lengthened(linkage: Linkage, rod: str, values: Mapping[str, Array]) -> float:
    """How far an arm that this rod is part of was lengthened, mm."""
    for arm, name, sense in LENGTHENS:
        if arm in linkage.arms and rod.startswith(f"{arm}_arm"):
            return sense * float(values[name][0])
    return 0.0


def _arm_turns(suspension: Suspension, arm: str) -> Array:
    """What the way in which an arm is lengthened changes by per mm of each coordinate, (3, c)."""
    names = joint_names(suspension)
    turns = np.zeros((3, 3 * len(names)))
    joint = {name: np.asarray(at, float) for name, at in suspension.joints.items()}
    for name in (f"{arm}_ball_joint", f"{arm}_arm_front", f"{arm}_arm_rear"):
        for axis, step in enumerate(STEP_MM * np.eye(3)):
            ahead = arm_out({**joint, name: joint[name] + step}, arm)
            behind = arm_out({**joint, name: joint[name] - step}, arm)
            turns[:, 3 * names.index(name) + axis] = (ahead - behind) / (2 * STEP_MM)
    return turns


def _by_slider(
    suspension: Suspension, linkage: Linkage, pose: Pose, values: Mapping[str, Array]
) -> Array:
    """What a strut's slider misses (n, 2, c): its two ends make the line that its top slides on."""
    hold, names = linkage.hold_of(values), joint_names(suspension)
    top, base, across = hold.slider()
    tilt = frames.turn_about_forward(np.radians(float(values["knuckle_camber_deg"][0])))
    seen = ((top - pose.hub)[:, None] @ pose.turn)[:, 0] - base
    length = np.linalg.norm(linkage.top - linkage.base)
    share = (seen @ (tilt @ linkage.line) / length)[:, None, None]
    across = np.broadcast_to(across, (len(pose.hub), 2, 3))
    turned = across @ tilt
    missed = np.zeros((len(pose.hub), 2, 3 * len(names)))
    first, second = 3 * names.index("strut_top"), 3 * names.index("strut_lower")
    missed[:, :, first : first + 3] = across @ pose.turn.transpose(0, 2, 1) - share * turned
    missed[:, :, second : second + 3] = share * turned
    missed[:, :, second : second + 3] -= across if suspension.knuckle_pivot is None else turned
    return missed


def _padded(missed: Array, rows: int) -> Array:
    """The same with the rows of angles that are met anyway, (n, rows, c)."""
    return np.pad(missed, ((0, 0), (0, rows - missed.shape[1]), (0, 0)))


def _by_adjusters(
    linkage: Linkage, pose: Pose, adjust: Mapping[str, Array], solved: Mapping[str, Array]
) -> Array:
    """What the constraints miss (n, 5, c) because adjusters were solved anew."""
    total = np.zeros((len(pose.hub), 5, 1))
    for name, change in solved.items():
        column = linkage.effect_of(name, pose, adjust)
        total = total + column[:, :, None] * change
    return total


def _ends(
    suspension: Suspension,
    linkage: Linkage,
    pose: Pose,
    hub: Array,
    turn: Array,
    rack: Array,
    rod: Index | None,
) -> Array:
    """What the ends of the picked rods change by, (n, 2, 3, c): inner, outer."""
    size = hub.shape[2]
    ends = np.zeros((len(hub), 2, 3, size))
    if rod is None:
        return ends
    for row in np.flatnonzero(rod >= 0):
        index = int(rod[row])
        inner, outer = _columns_of(suspension, linkage.names[index])
        arm = pose.turn[row] @ linkage.outer[index]
        ends[row, 0][:, inner] = np.eye(3)
        if index == linkage.toe_rod:
            ends[row, 0, 1] += rack[row]
        ends[row, 1] = hub[row] + np.cross(turn[row], arm[:, None], axis=0)
        ends[row, 1][:, outer] += pose.turn[row]
    return ends


def _columns_of(suspension: Suspension, rod: str) -> tuple[slice, slice]:
    """The coordinates of a rod's inner and outer joint."""
    names = joint_names(suspension)
    if suspension.has_named_rods:
        inner, outer = f"{rod}/inner", f"{rod}/outer"
    elif rod in names:
        inner, outer = rod, f"{rod.split('_')[0]}_ball_joint"
    else:
        inner, outer = "tie_inner", "tie_outer"
    first, second = 3 * names.index(inner), 3 * names.index(outer)
    return slice(first, first + 3), slice(second, second + 3)


def _seen_by_sheet(
    motion: MeasuredMotion,
    suspension: Suspension,
    bare: PoseSlopes,
    settled: Settled,
    travel: Array,
    steer: Array,
) -> PoseSlopes:
    """The same under a bump-steer sheet: what it has read does not hang on the joints any more."""
    camber, toe = (
        float(np.degrees(angle(motion.spin))) for angle in (frames.camber_of, frames.toe_of)
    )
    steered = motion.steered(settled, np.zeros(len(travel), np.intp), steer)
    spin = motion.travelled(settled, steered, np.arange(len(travel)), travel).spin
    static = np.full(len(travel), float(settled.static_travel[0]))
    turn = bare.turn.copy()
    for column, part in enumerate(motion.overlay.added):
        if part is None:
            continue
        heights = tuple(TravelReading(float(z)) for z in part.knots)
        model = np.radians(angle_slopes(suspension, camber, toe, heights)[:, column])
        low, high = float(part.knots[0]), float(part.knots[-1])
        more = _redrawn(part, -model, np.clip(travel, low, high))
        more -= _redrawn(part, -model, np.clip(static, low, high))
        turn += _turning(spin, column)[:, :, None] * more[:, None]
    return replace(bare, turn=turn)


def _redrawn(curve: Pchip, knots: Array, at: Array) -> Array:
    """What a curve changes by at places (n,) when its knots change by ``knots`` (k, c), (n, c)."""
    columns = []
    for change in STEP_MM * knots.T[..., None]:
        ahead = Pchip(curve.knots, curve.values + change)(at)
        behind = Pchip(curve.knots, curve.values - change)(at)
        columns.append((ahead - behind)[:, 0] / (2 * STEP_MM))
    return np.stack(columns, axis=-1)


def _turning(spin: Array, column: int) -> Array:
    """Rotation vectors (n, 3) that change camber (column 0) or toe (1) of wheels by a radian."""
    if column == 1:
        return np.tile([0.0, 0.0, -1.0], (len(spin), 1))
    ahead = np.stack([spin[:, 1], -spin[:, 0], np.zeros(len(spin))], axis=-1)
    return -np.asarray(ahead / np.linalg.norm(ahead, axis=1, keepdims=True), float)

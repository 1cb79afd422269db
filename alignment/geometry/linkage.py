"""Where a hub goes when its knuckle is held by rods and, for a strut, a slider.

The knuckle is a rigid body held by five scalar constraints; the sixth freedom is travel, the height
of the hub-face centre. Strut, wishbones and five links differ only in the list of rods and in
whether there is a slider, so one Newton iteration on the constraints, vectorised over poses and
settings, serves them all (standard method; P. E. Nikravesh, *Computer-Aided Analysis of Mechanical
Systems*, 1988). Corner frame (x forward, y outboard, z up), millimetres, radians.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.kinds import ROD_PREFIX
from alignment.geometry.model import CAMBER_ADJUSTERS, Suspension, Vec3
from common.message import Message, Told, message

#: A pose is solved when every rod and the slider close to this (mm): far below what any
#: angle or clearance shows, far above rounding at half a metre.
CLOSED_MM = 1e-9
#: Newton's step squares an error and divides it by a rod's length: from here one step closes.
LAST_STEP_MM = 1e-5
#: After the last iteration a row that is this close counts as closed (mm).
ACCEPTED_MM = 1e-6
MAX_ITERATIONS = 25
#: Steps taken where a goal cannot be reached in one.
SUBSTEPS = 12
#: Largest step of one iteration: keeps Newton on the branch that the survey pose lies on.
STEP_RAD, STEP_MM = 0.3, 40.0
#: Step of the central difference by which an adjuster's effect on the constraints is found.
ADJUSTER_STEP = 1e-4
#: The toe rod is what locks a steering if it carries this share of the largest force.
ANSWERED = 0.3
#: Lever (mm) that turns an angle's error into a length, so that one tolerance serves both.
ANGLE_LEVER_MM = 300.0
#: The adjuster that stands for the steering rack: inner end of the toe rod, outboard positive.
RACK = "rack_mm"

#: Arms that an adjuster lengthens, and its sense: outboard of the joint positive.
LENGTHENS = (("lower", "lower_arm_out_mm", 1.0), ("upper", "upper_arm_in_mm", -1.0))

Adjust = Mapping[str, Array]

_NOTHING = np.zeros(1)
_FORWARD = np.array([1.0, 0.0, 0.0])
#: Which way the strut's top goes per millimetre of a top-mount adjuster.
_TOP_MOUNT = {
    "top_mount_back_mm": np.array([-1.0, 0.0, 0.0]),
    "top_mount_in_mm": np.array([0.0, -1.0, 0.0]),
}


class Unreachable(Told):
    """A pose or setting that the suspension cannot take; says what stopped it and where."""


class Stopped(Unreachable):
    """A row of poses that stops on its way: which, after what share of it, and what jams."""

    def __init__(self, row: int, share: float, jam: Message) -> None:
        self.row, self.share, self.jam = row, share, jam
        super().__init__(message("stop.jams", part=jam, way_share=share))


@dataclass(frozen=True)
class Pose:
    """Solved poses: hub-face centres (n, 3) in mm and rotations from the survey pose (n, 3, 3)."""

    hub: Array
    turn: Array


@dataclass(frozen=True)
class Span:
    """Something (n,) that goes evenly from one value to another."""

    start: Array
    end: Array

    def at(self, share: float) -> Array:
        """Its values after a share of the way."""
        return np.asarray(self.start + share * (self.end - self.start), float)


@dataclass(frozen=True)
class Goal:
    """Where poses should go: height (mm), and toe and camber (rad) where adjusters are free."""

    height: Span
    toe: Span | None = None
    camber: Span | None = None

    def rows(self, part: _Rows) -> Goal:
        """The goal of some rows alone."""
        height, toe, camber = (
            None if span is None else Span(part.of(span.start), part.of(span.end))
            for span in (self.height, self.toe, self.camber)
        )
        return Goal(height or self.height, toe, camber)


@dataclass(frozen=True)
class _Rows:
    """Some rows of arrays of ``count`` rows; arrays of one row serve all."""

    pick: Index
    count: int

    def of(self, value: Array) -> Array:
        return value[self.pick] if len(value) == self.count else value


@dataclass(frozen=True)
class _Hold:
    """What holds the knuckle, one row per pose (or one row for all).

    ``inner`` (n, m, 3) and ``length`` (n, m) of the m rods. For a strut: ``top`` (n, 3), the
    slider's body point; ``base`` (n, 3), a point of its line in the knuckle; ``across``
    (n, 2, 3), two directions in the knuckle square to that line.
    """

    inner: Array
    length: Array
    top: Array | None = None
    base: Array | None = None
    across: Array | None = None

    def slider(self) -> tuple[Array, Array, Array]:
        """Top, base and the two directions across of a strut's slider. TypeError without one."""
        if self.top is None or self.base is None or self.across is None:
            raise TypeError("this linkage has no slider")
        return self.top, self.base, self.across


class Linkage:
    """The compiled linkage of one corner: rods, slider, and how adjusters change them."""

    def __init__(self, suspension: Suspension, spin: Array) -> None:
        """Compile a strut, wishbones or links corner whose survey spin axis is ``spin`` (3,)."""
        self.kind, self.spin = suspension.kind, spin
        self.has_named_rods = suspension.has_named_rods
        joint = {name: np.asarray(at, float) for name, at in suspension.joints.items()}
        self.names = suspension.rod_names
        outer, inner, self.toe_rod = _rods(suspension)
        self.outer, self.inner = np.array(outer, float), np.array(inner, float)
        self.length = np.linalg.norm(self.outer - self.inner, axis=1)
        self.one = np.eye(len(self.names))
        self.rack_end = self.one[self.toe_rod][:, None] * [0.0, 1.0, 0.0]
        self.strut = suspension.has_strut
        if self.strut:
            self.top, self.base = joint["strut_top"], joint["strut_lower"]
            self.line = (self.top - self.base) / np.linalg.norm(self.top - self.base)
            pivot = suspension.knuckle_pivot
            self.pivot = self.base if pivot is None else np.asarray(pivot, float)
            self.slider = self._tilted(_NOTHING)
        self.lower_joint = joint.get("lower_ball_joint")
        self.upper_joint = joint.get("upper_ball_joint")
        self.arms = {
            arm: arm_out(joint, arm) for arm in ("lower", "upper") if f"{arm}_ball_joint" in joint
        }
        self.rest = Pose(np.zeros((1, 3)), np.eye(3)[None])
        self._sense = _side(self.linear(self.rest, self.hold_of({}))[1])[0]

    def camber_method(self, camber_by: str) -> str:
        """The adjuster that ``camber_by`` moves; KeyError for one that this kind has not."""
        if camber_by.startswith(ROD_PREFIX) and camber_by.removeprefix(ROD_PREFIX) in self.names:
            return camber_by
        return CAMBER_ADJUSTERS[self.kind][camber_by]

    def solve(
        self,
        start: Pose,
        adjust: Adjust,
        *,
        free: tuple[str, ...] = (),
        toe: Array | None = None,
        camber: Array | None = None,
    ) -> tuple[Pose, dict[str, Array], Flags]:
        """Close the linkage at the heights of ``start`` (n poses).

        ``adjust`` gives adjusters by name (arrays (n,) or (1,); rods as ``rod:NAME``). The ones
        named in ``free`` are solved so that ``toe`` and ``camber`` (rad, (n,)) are met, as many
        as there are wanted angles. Returns poses, adjusters, and which rows (n,) closed on the
        branch of the survey pose.
        """
        hub, turn = start.hub.copy(), start.turn.copy()
        values = dict(adjust)
        for name in free:
            values[name] = np.array(np.broadcast_to(values.get(name, 0.0), len(hub)), float)
        hold, accepted = self.hold_of(values), ACCEPTED_MM
        for _ in range(MAX_ITERATIONS):
            if free:
                hold = self.hold_of(values)
            pose = Pose(hub, turn)
            error, slope = self.linear(pose, hold)
            if free:
                error, slope = self.with_angles(pose, error, slope, values, free, toe, camber)
            largest = np.max(np.abs(error))
            if largest < CLOSED_MM:
                break
            step = _limited(_solve_rows(slope, -error))
            hub[:, :2] += step[:, :2]
            turn = frames.rotation(step[:, 2:5]) @ turn
            for column, name in enumerate(free, start=5):
                values[name] = values[name] + step[:, column]
            if largest < LAST_STEP_MM:
                accepted = LAST_STEP_MM
                break
        pose = Pose(hub, turn)
        closed = np.max(np.abs(error), axis=1) < accepted
        return pose, values, closed & (_side(slope) == self._sense)

    def reach(
        self,
        start: Pose,
        adjust: Adjust,
        goal: Goal,
        free: tuple[str, ...] = (),
        guess: tuple[Pose, Adjust] | None = None,
    ) -> tuple[Pose, dict[str, Array]]:
        """Go from closed poses to a goal, in small steps where one step does not get there.

        ``guess`` is where to begin the single step. Raises Stopped where a row cannot go on.
        """
        pose, values = guess or (start, adjust)
        pose, values, closed = self._step(pose, values, goal, free, 1.0)
        rest = np.flatnonzero(~closed)
        if not len(rest):
            return pose, values
        part = _Rows(rest, len(closed))
        goal, here = goal.rows(part), Pose(start.hub[rest], start.turn[rest])
        there: Adjust = {name: part.of(value) for name, value in adjust.items()}
        for share in np.linspace(0.0, 1.0, SUBSTEPS + 1)[1:]:
            ahead, moved, closed = self._step(here, there, goal, free, float(share))
            if not np.all(closed):
                row = int(np.argmin(closed))
                jam = self._jam(here, there, goal, free, row)
                raise Stopped(int(rest[row]), share - 1.0 / SUBSTEPS, jam)
            here, there = ahead, moved
        pose.hub[rest], pose.turn[rest] = here.hub, here.turn
        for name in free:
            values[name][rest] = there[name]
        return pose, values

    def _step(
        self, start: Pose, adjust: Adjust, goal: Goal, free: tuple[str, ...], share: float
    ) -> tuple[Pose, dict[str, Array], Flags]:
        hub = start.hub.copy()
        hub[:, 2] = goal.height.at(share)
        toe = goal.toe.at(share) if goal.toe else None
        camber = goal.camber.at(share) if goal.camber else None
        return self.solve(Pose(hub, start.turn), adjust, free=free, toe=toe, camber=camber)

    def _jam(
        self, pose: Pose, adjust: Adjust, goal: Goal, free: tuple[str, ...], row: int
    ) -> Message:
        """Name of the constraint that carries most of the jam near a pose that cannot go on.

        Where a linkage locks, its Jacobian loses rank, and the left null vector is how the
        constraints push against each other there.
        """
        values = dict(adjust)
        for name in free:
            values[name] = np.array(np.broadcast_to(values.get(name, 0.0), len(pose.hub)), float)
        error, slope = self.linear(pose, self.hold_of(values))
        if free:
            toe = goal.toe.at(0.0) if goal.toe else None
            camber = goal.camber.at(0.0) if goal.camber else None
            _, slope = self.with_angles(pose, error, slope, values, free, toe, camber)
        push = np.abs(np.linalg.svd(slope[row])[0][:5, -1])
        if RACK in free:  # steering pushes through the toe rod, and the arms only answer it
            push[self.toe_rod] /= ANSWERED
        index = int(np.argmax(push))
        if index >= len(self.names):
            return message("part.strut")
        if self.has_named_rods:
            return message("part.rod", name=self.names[index])
        return message(f"part.{self.names[index]}")

    def steering_twist(self, pose: Pose, adjust: Adjust) -> tuple[Array, Array]:
        """How the knuckle moves when the toe rod alone is freed at constant height.

        Returns hub velocity (n, 3) and angular velocity (n, 3), scaled to unit angular speed
        and signed so that toe grows.
        """
        slope = np.delete(self.linear(pose, self.hold_of(adjust))[1], self.toe_rod, axis=1)
        motion = np.linalg.svd(slope)[2][:, -1]
        speed = np.linalg.norm(motion[:, 2:], axis=1, keepdims=True)
        motion = motion / speed * -np.sign(motion[:, 4:5])
        return np.insert(motion[:, :2], 2, 0.0, axis=1), motion[:, 2:]

    # -- constraints -------------------------------------------------------------------

    def hold_of(self, adjust: Adjust) -> _Hold:
        """Constraints under the adjusters; parts have one row, or one per pose if they vary."""

        def by(name: str) -> Array:
            return adjust.get(name, _NOTHING)

        length = self.length[None]
        for arm, name, sense in LENGTHENS:
            if arm in self.arms and np.any(by(name)):
                shift = sense * by(name)[:, None, None] * self.arms[arm]
                rods = [
                    index for index, rod in enumerate(self.names) if rod.startswith(f"{arm}_arm")
                ]
                length = np.repeat(length, len(shift) // len(length), axis=0)
                length[:, rods] = np.linalg.norm(
                    self.outer[rods] + shift - self.inner[rods], axis=-1
                )
        for index, rod in enumerate(self.names):
            more = by(f"{ROD_PREFIX}{rod}") + (
                by("toe_link_mm") if index == self.toe_rod else _NOTHING
            )
            if np.any(more):
                length = length + more[:, None] * self.one[index]
        inner = self.inner[None] + by(RACK)[:, None, None] * self.rack_end
        if not self.strut:
            return _Hold(inner, length)
        back, inward = np.broadcast_arrays(by("top_mount_back_mm"), by("top_mount_in_mm"))
        top = self.top - np.stack([back, inward, np.zeros(len(back))], axis=-1)
        return _Hold(inner, length, top, *self._slides(adjust))

    def _slides(self, adjust: Adjust) -> tuple[Array, Array]:
        """The slider's line in the knuckle as ``_tilted`` gives it, at the adjusters."""
        tilt = adjust.get("knuckle_camber_deg", _NOTHING)
        return self.slider if not np.any(tilt) else self._tilted(tilt)

    def _tilted(self, angle_deg: Array) -> tuple[Array, Array]:
        """A point (n, 3) of the slider's line in the knuckle, and two directions (n, 2, 3) square
        to it, with the knuckle's camber adjuster at ``angle_deg`` (n,)."""
        tilt = frames.rotation(np.radians(angle_deg)[:, None] * _FORWARD)
        base = self.pivot + tilt @ (self.base - self.pivot)
        line = tilt @ self.line
        first = frames.cross(line, _FORWARD)
        first /= np.linalg.norm(first, axis=-1, keepdims=True)
        return base, np.stack([first, frames.cross(line, first)], axis=1)

    def linear(self, pose: Pose, hold: _Hold) -> tuple[Array, Array]:
        """Errors (n, 5) of the constraints in mm and their Jacobian (n, 5, 5).

        Columns: hub shift along x and y, world rotation vector (3). The height is given.
        """
        arm = self.outer @ pose.turn.transpose(0, 2, 1)
        along = pose.hub[:, None] + arm - hold.inner
        reach = np.sqrt(np.sum(along * along, axis=-1))
        error = reach - hold.length
        along = along / reach[..., None]
        slope = np.concatenate([along[..., :2], frames.cross(arm, along)], axis=-1)
        if hold.top is None or hold.across is None or hold.base is None:
            return error, slope
        arm = (hold.top - pose.hub)[:, None]
        seen = (arm @ pose.turn)[:, 0] - hold.base
        across = hold.across @ pose.turn.transpose(0, 2, 1)
        slider = np.concatenate([-across[..., :2], frames.cross(across, arm)], axis=-1)
        error = np.concatenate([error, np.sum(hold.across * seen[:, None], axis=-1)], axis=1)
        return error, np.concatenate([slope, slider], axis=1)

    def effect_of(self, name: str, pose: Pose, values: Adjust) -> Array:
        """How the errors (n, 5) change per unit of one adjuster."""
        column = np.zeros((len(pose.hub), 5))
        if name == RACK:
            tie = pose.hub + pose.turn @ self.outer[self.toe_rod] - self.inner[self.toe_rod]
            tie[:, 1] -= values[RACK]
            column[:, self.toe_rod] = -tie[:, 1] / np.linalg.norm(tie, axis=1)
        elif name == "toe_link_mm" or name.startswith(ROD_PREFIX):
            rod = (
                self.toe_rod
                if name == "toe_link_mm"
                else self.names.index(name.removeprefix(ROD_PREFIX))
            )
            column[:, rod] = -1.0
        elif name in _TOP_MOUNT and self.strut:
            way = pose.turn.transpose(0, 2, 1) @ _TOP_MOUNT[name]
            column[:, -2:] = (self._slides(values)[1] @ way[..., None])[..., 0]
        else:
            ahead = self.hold_of({**values, name: values[name] + ADJUSTER_STEP})
            behind = self.hold_of({**values, name: values[name] - ADJUSTER_STEP})
            change = self.linear(pose, ahead)[0] - self.linear(pose, behind)[0]
            column = change / (2 * ADJUSTER_STEP)
        return column

    def with_angles(
        self,
        pose: Pose,
        error: Array,
        slope: Array,
        values: Adjust,
        free: tuple[str, ...],
        toe: Array | None,
        camber: Array | None,
    ) -> tuple[Array, Array]:
        """Errors and slopes with the wanted angles as rows and the free adjusters as columns."""
        n = len(error)
        spin = pose.turn @ self.spin
        flat = spin[:, 0] ** 2 + spin[:, 1] ** 2
        rows, errors = [], []
        if toe is not None:
            by_turn = np.stack(
                [
                    spin[:, 0] * spin[:, 2] / flat,
                    spin[:, 1] * spin[:, 2] / flat,
                    -np.ones(n),
                ],
                axis=-1,
            )
            rows.append(by_turn)
            errors.append(frames.toe_of(spin) - toe)
        if camber is not None:
            by_turn = (
                np.stack([-spin[:, 1], spin[:, 0], np.zeros(n)], axis=-1) / np.sqrt(flat)[:, None]
            )
            rows.append(by_turn)
            errors.append(frames.camber_of(spin) - camber)
        extra = len(free)
        full = np.zeros((n, 5 + extra, 5 + extra))
        full[:, :5, :5] = slope
        full[:, 5:, 2:5] = ANGLE_LEVER_MM * np.stack(rows, axis=1)
        for column, name in enumerate(free, start=5):
            full[:, :5, column] = self.effect_of(name, pose, values)
        return np.concatenate([error, ANGLE_LEVER_MM * np.stack(errors, axis=1)], axis=1), full


def _side(slope: Array) -> Array:
    """Sign of the Jacobian at fixed height, (n,): it changes where a linkage goes over centre."""
    sign: Array = np.sign(np.linalg.det(slope[:, :5, :5]))
    return sign


def _rods(suspension: Suspension) -> tuple[list[Vec3], list[Vec3], int]:
    """Outer ends, inner ends and the toe rod's index, in the order of the rods' names."""
    if suspension.has_named_rods:
        links = suspension.links
        toe = next(index for index, rod in enumerate(links) if rod.toe)
        return [rod.outer for rod in links], [rod.inner for rod in links], toe
    outer, inner = [], []
    for name in suspension.rod_names[:-1]:
        outer.append(suspension.joints[f"{name.split('_')[0]}_ball_joint"])
        inner.append(suspension.joints[name])
    joints = suspension.joints
    return [*outer, joints["tie_outer"]], [*inner, joints["tie_inner"]], len(outer)


def arm_out(joint: Mapping[str, Array], arm: str) -> Array:
    """Unit vector from an arm's bush axis to its ball joint, square to that axis."""
    front, rear = joint[f"{arm}_arm_front"], joint[f"{arm}_arm_rear"]
    along = (front - rear) / np.linalg.norm(front - rear)
    reach = joint[f"{arm}_ball_joint"] - front
    out: Array = reach - (reach @ along) * along
    out /= np.linalg.norm(out)
    return out


def _solve_rows(slope: Array, error: Array) -> Array:
    """Solve each row's linear system; a singular row gets its least-squares step."""
    try:
        solved = np.linalg.solve(slope, error[..., None])[..., 0]
    except np.linalg.LinAlgError:
        solved = (np.linalg.pinv(slope) @ error[..., None])[..., 0]
    return np.asarray(solved, float)


def _limited(step: Array) -> Array:
    """Steps shortened, row by row, to the largest turn and shift that one iteration may take."""
    turn = np.max(np.abs(step[:, 2:5]), axis=1) / STEP_RAD
    shift = np.max(np.abs(np.delete(step, [2, 3, 4], axis=1)), axis=1) / STEP_MM
    limited: Array = step / np.maximum(1.0, np.maximum(turn, shift))[:, None]
    return limited

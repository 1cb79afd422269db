"""A corner's hub over travel and steer, at settings that were planned or perturbed.

``motion_of`` compiles a corner; ``settle`` finds the adjusters that give planned camber and
toe at static height; ``steered`` and ``travelled`` give hub poses. All of it works on batches:
a batch of settings (the planned one and its perturbations) and, for each, any poses. Corner
frame, millimetres; radians inside, degrees where a name says so. Travel is the hub's height
over the survey pose, bump positive; steer is by how much this wheel's toe differs from
straight ahead at static height, positive with the front edge turned inboard.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.kinds import ROD_PREFIX
from alignment.geometry.linkage import RACK, Goal, Linkage, Pose, Span, Stopped, Unreachable
from alignment.geometry.model import (
    ADJUSTERS,
    Adjusters,
    Planned,
    Suspension,
    level_arm_out_mm,
)
from alignment.geometry.pchip import Pchip
from common.message import message


@dataclass(frozen=True)
class Axis:
    """Steering axes: a point of each (n, 3), mm, and its direction upwards (n, 3), not scaled."""

    point: Array
    along: Array

    @property
    def caster(self) -> Array:
        """Lean in side view (rad), top rearward positive."""
        return np.asarray(np.arctan2(-self.along[:, 0], self.along[:, 2]), float)

    @property
    def inclination(self) -> Array:
        """Lean in front view (rad), top inboard positive."""
        return np.asarray(np.arctan2(-self.along[:, 1], self.along[:, 2]), float)

    def at_height(self, height: Array) -> Array:
        """Points (n, 3) of the axes at heights (n,) of the corner frame."""
        share = (height - self.point[:, 2]) / self.along[:, 2]
        return np.asarray(self.point + share[:, None] * self.along, float)


@dataclass(frozen=True)
class Settled:
    """A batch of m settings at static height, straight ahead.

    Angles in radians, (m,); ``hub`` (m, 3), ``turn`` (m, 3, 3); ``axis`` is the steering axis, or
    None where the kind has none. ``adjust`` holds adjusters by name, (m,), and for curves what
    the kind keeps instead.
    """

    static_travel: Array
    camber: Array
    toe: Array
    hub: Array
    turn: Array
    axis: Axis | None
    adjust: Mapping[str, Array]


@dataclass(frozen=True)
class Steered:
    """n poses at static height: which setting each belongs to, its steer (rad), what holds it."""

    which: Index
    steer: Array
    hub: Array
    turn: Array
    held: Array  # rack displacement (mm), or turn about the steering axis (rad)


@dataclass(frozen=True)
class HubPoses:
    """Hub-face centres (n, 3) and outboard unit spin axes (n, 3).

    ``axis`` is the steering axis where it was asked for and there is one; ``rod_ends`` (n, k, 2, 3)
    the inner and outer ends of the k rods of a linkage, in its order, where they are known.
    """

    hub: Array
    spin: Array
    axis: Axis | None = None
    rod_ends: Array | None = None

    def at(self, pick: Index) -> HubPoses:
        """The poses that ``pick`` (n,) names, without their axes."""
        rod_ends = None if self.rod_ends is None else self.rod_ends[pick]
        return HubPoses(self.hub[pick], self.spin[pick], rod_ends=rod_ends)


class Motion(Protocol):
    """What every kind of suspension can do."""

    spin: Array

    def solved(self, planned: Planned) -> tuple[str, ...]:
        """Names of the adjusters that ``settle`` solves for this plan."""

    def settle(self, plans: Sequence[Planned]) -> Settled:
        """Settings that meet the plans; plans of one batch state camber by the same means."""

    def steered(self, settled: Settled, which: Index, steer: Array) -> Steered:
        """Poses at static height with this much steer (rad)."""

    def travelled(self, settled: Settled, steered: Steered, pick: Index, travel: Array) -> HubPoses:
        """Poses at absolute ``travel`` (mm), steering held as in rows ``pick`` of ``steered``."""


def motion_of(suspension: Suspension, camber_deg: float, toe_deg: float) -> Motion:
    """Compile a corner surveyed at this camber and toe (degrees)."""
    if suspension.is_read_as_curves:
        return CurvesMotion(suspension, camber_deg, toe_deg)
    return LinkedMotion(suspension, camber_deg, toe_deg)


def adjuster_values(adjusters: Adjusters) -> dict[str, float]:
    """Adjusters by name, rods as ``rod:NAME``."""
    values = {name: float(getattr(adjusters, name)) for name in ADJUSTERS}
    return values | {
        f"{ROD_PREFIX}{name}": float(amount) for name, amount in adjusters.rods_mm.items()
    }


class LinkedMotion:
    """Strut, wishbones and five links: poses from the linkage."""

    def __init__(self, suspension: Suspension, camber_deg: float, toe_deg: float) -> None:
        self.spin = frames.spin_axis(np.radians(camber_deg), np.radians(toe_deg))
        self.linkage = Linkage(suspension, self.spin)

    def solved(self, planned: Planned) -> tuple[str, ...]:
        """See Motion: the toe link, and the camber method where camber is planned."""
        if planned.camber_deg is None:
            return ("toe_link_mm",)
        return ("toe_link_mm", self.linkage.camber_method(planned.camber_by or ""))

    def settle(self, plans: Sequence[Planned]) -> Settled:
        """See Motion. Raises Unreachable where the linkage cannot take the height or the angles."""
        linkage, first = self.linkage, plans[0]
        adjust = _columns([adjuster_values(plan.adjusters) for plan in plans])
        height = -adjust.pop("ride_height_mm")
        free = self.solved(first)
        camber = None
        if first.camber_deg is not None:
            camber = np.radians([plan.camber_deg or 0.0 for plan in plans])
        toe = np.radians([plan.toe_deg for plan in plans])
        count = len(plans)
        start = Pose(np.zeros((count, 3)), np.repeat(np.eye(3)[None], count, axis=0))
        goal = Goal(
            Span(np.zeros(count), height),
            Span(np.full(count, frames.toe_of(self.spin)), toe),
            None if camber is None else Span(np.full(count, frames.camber_of(self.spin)), camber),
        )
        try:
            pose, values = linkage.reach(start, adjust, goal, free)
        except Stopped as stop:
            raise Unreachable(
                message("stop.setting", travel_mm=float(height[stop.row]) + 0.0, jam=stop.message)
            ) from stop
        return self._settled(height, pose, values)

    def at_positions(self, rows: Sequence[Mapping[str, float]]) -> Settled:
        """Settings with every adjuster where it stands, the toe link too, and nothing solved.

        ``rows`` name positions as ``adjuster_values`` does; what is missing stands at the
        survey. Raises Unreachable where the linkage cannot be put together like that.
        """
        adjust, height, start = self._put(rows)
        goal = Goal(Span(np.zeros(len(rows)), height))
        try:
            pose, values = self.linkage.reach(start, adjust, goal)
        except Stopped as stop:
            raise Unreachable(message("stop.adjusters", jam=stop.message)) from stop
        return self._settled(height, pose, values)

    def at_positions_of_many(self, rows: Sequence[Mapping[str, float]]) -> tuple[Settled, Flags]:
        """The same in one step, and which rows the linkage could be put together for."""
        adjust, height, start = self._put(rows)
        start.hub[:, 2] = height
        pose, values, closed = self.linkage.solve(start, adjust)
        return self._settled(height, pose, values), closed

    def _put(self, rows: Sequence[Mapping[str, float]]) -> tuple[dict[str, Array], Array, Pose]:
        """Adjusters, heights and where to begin for rows of positions."""
        at_survey = adjuster_values(Adjusters())
        adjust = _columns([{**at_survey, **row} for row in rows])
        height = -adjust.pop("ride_height_mm")
        count = len(rows)
        return adjust, height, Pose(np.zeros((count, 3)), np.repeat(np.eye(3)[None], count, axis=0))

    def _settled(self, height: Array, pose: Pose, values: Mapping[str, Array]) -> Settled:
        spin = pose.turn @ self.spin
        axis = self._steering_axis(pose, values)
        return Settled(
            height, frames.camber_of(spin), frames.toe_of(spin), pose.hub, pose.turn, axis, values
        )

    def _steering_axis(self, pose: Pose, adjust: Mapping[str, Array]) -> Axis | None:
        """The axis from the lower joint to the strut top or the upper joint."""
        linkage = self.linkage
        if linkage.lower_joint is None:
            return None
        lower = pose.hub + pose.turn @ linkage.lower_joint
        if linkage.strut:
            shift = np.stack([adjust["top_mount_back_mm"], adjust["top_mount_in_mm"]], axis=-1)
            upper = linkage.top - np.pad(shift, ((0, 0), (0, 1)))
        else:
            upper = pose.hub + pose.turn @ np.asarray(linkage.upper_joint)
        return Axis(lower, upper - lower)

    def steered(self, settled: Settled, which: Index, steer: Array) -> Steered:
        """See Motion. Raises Unreachable for a steer angle that the linkage cannot give."""
        linkage = self.linkage
        base = Pose(settled.hub[which], settled.turn[which])
        adjust = {name: value[which] for name, value in settled.adjust.items()}
        rack = np.zeros(len(which))
        if not np.any(steer):
            return Steered(which, steer, base.hub, base.turn, rack)
        straight = settled.toe[which]
        velocity, spin = linkage.steering_twist(base, adjust)
        # Toe grows along the twist at a rate that the wheel's own attitude decides.
        axis = base.turn @ self.spin
        flat = axis[:, 0] ** 2 + axis[:, 1] ** 2
        rate = axis[:, 2] * np.sum(axis[:, :2] * spin[:, :2], axis=1) / flat - spin[:, 2]
        guess = _screwed(base, velocity, spin, steer / rate)
        tie = linkage.outer[linkage.toe_rod]
        swing = (
            np.sum((guess.turn - base.turn) @ tie * [0.0, 1.0, 0.0], axis=1)
            + (guess.hub - base.hub)[:, 1]
        )
        static = settled.static_travel[which]
        goal = Goal(Span(static, static), Span(straight, straight + steer))
        try:
            pose, values = linkage.reach(
                base, {**adjust, RACK: rack}, goal, (RACK,), (guess, {**adjust, RACK: swing})
            )
        except Stopped as stop:
            steer_deg = float(np.degrees(steer[stop.row]))
            raise Unreachable(
                message("stop.steer", steer_deg=steer_deg, jam=stop.message)
            ) from stop
        return Steered(which, steer, pose.hub, pose.turn, values[RACK])

    def travelled(self, settled: Settled, steered: Steered, pick: Index, travel: Array) -> HubPoses:
        """See Motion. Raises Unreachable for a height that the linkage cannot take."""
        pose, adjust = self.knuckle(settled, steered, pick, travel)
        rack = steered.held[pick]
        inner = self.linkage.inner + rack[:, None, None] * self.linkage.rack_end
        outer = pose.hub[:, None] + self.linkage.outer @ pose.turn.transpose(0, 2, 1)
        return HubPoses(
            pose.hub,
            pose.turn @ self.spin,
            self._steering_axis(pose, adjust),
            np.stack([inner, outer], axis=2),
        )

    def knuckle(
        self, settled: Settled, steered: Steered, pick: Index, travel: Array
    ) -> tuple[Pose, dict[str, Array]]:
        """The knuckle in the poses that ``travelled`` gives, and the adjusters that hold it."""
        which = steered.which[pick]
        rack = steered.held[pick]
        adjust = {name: value[which] for name, value in settled.adjust.items()}
        if len(settled.static_travel) == 1:
            adjust = dict(settled.adjust)
        adjust[RACK] = rack
        start = Pose(steered.hub[pick], steered.turn[pick])
        goal = Goal(Span(start.hub[:, 2], travel))
        try:
            pose, _ = self.linkage.reach(start, adjust, goal)
        except Stopped as stop:
            away = travel[stop.row] - settled.static_travel[which[stop.row]]
            angle = np.degrees(steered.steer[pick[stop.row]])
            raise Unreachable(
                message(
                    "stop.travel",
                    travel_mm=float(away),
                    steer_deg=float(angle),
                    jam=stop.message,
                )
            ) from stop
        return pose, adjust


class CurvesMotion:
    """A corner known by its measured curves and, if steered, a steering axis."""

    def __init__(self, suspension: Suspension, camber_deg: float, toe_deg: float) -> None:
        self.spin = frames.spin_axis(np.radians(camber_deg), np.radians(toe_deg))
        self.survey_camber = np.radians(camber_deg)
        rows = suspension.table
        self.low, self.high = rows[0].travel_mm, rows[-1].travel_mm
        self.on_arc = suspension.is_path_unread
        self.curves = Pchip(
            np.array([row.travel_mm for row in rows]),
            np.array(
                [
                    [
                        np.radians(row.camber_deg),
                        np.radians(row.toe_deg),
                        0.0 if self.on_arc else row.out_or_arc_mm,
                        row.forward_mm,
                    ]
                    for row in rows
                ]
            ),
        )
        self.pivots = {name: np.asarray(at, float) for name, at in suspension.camber_pivots.items()}
        self.axis_point = self.axis = None
        if suspension.steer_axis is not None:
            self.axis_point = np.asarray(suspension.steer_axis.point, float)
            caster = np.radians(suspension.steer_axis.caster_deg)
            inclination = np.radians(suspension.steer_axis.inclination_deg)
            axis = np.array([-np.tan(caster), -np.tan(inclination), 1.0])
            self.axis = axis / np.linalg.norm(axis)

    def solved(self, planned: Planned) -> tuple[str, ...]:
        """See Motion: measured curves have no adjusters."""
        return ()

    def settle(self, plans: Sequence[Planned]) -> Settled:
        """See Motion. Raises Unreachable for a static height outside the table."""
        height = np.array([-plan.adjusters.ride_height_mm for plan in plans])
        curve = self._at(height)
        toe = np.radians([plan.toe_deg for plan in plans])
        camber = self.survey_camber + curve[:, 0]
        tilt = np.zeros(len(plans))
        pivot = np.zeros(3)
        if plans[0].camber_deg is not None:
            pivot = self.pivots[plans[0].camber_by or ""]
            tilt = np.radians([plan.camber_deg or 0.0 for plan in plans]) - camber
        turn = frames.rotation(-tilt[:, None] * [1.0, 0.0, 0.0])
        shift = pivot - turn @ pivot
        hub = np.stack([curve[:, 3], shift[:, 1] + curve[:, 2], height], axis=-1)
        keep = {
            "tilt": tilt,
            "shift_y": shift[:, 1],
            "table_toe": curve[:, 1],
            "axis_drop": shift[:, 2],
            "pivot_x": np.full(len(plans), pivot[0]),
            "pivot_y": np.full(len(plans), pivot[1]),
            "pivot_z": np.full(len(plans), pivot[2]),
        }
        settled = Settled(height, camber + tilt, toe, hub, turn, None, keep)
        if self.axis is None:
            return settled
        return replace(settled, axis=self._axis_at(settled, np.arange(len(plans)), height))

    def _at(self, travel: Array) -> Array:
        outside = (travel < self.low - 1e-9) | (travel > self.high + 1e-9)
        if np.any(outside):
            far = float(travel[np.argmax(outside)])
            raise Unreachable(
                message("stop.curves", travel_mm=far, low_mm=self.low, high_mm=self.high)
            )
        curve = self.curves(travel)
        if self.on_arc:
            curve[:, 2] += level_arm_out_mm(travel)
        return curve

    def _axis_at(self, settled: Settled, which: Index, travel: Array) -> Axis:
        """Steering axis carried to ``travel``, directions of unit length."""
        if self.axis is None or self.axis_point is None:
            raise Unreachable(message("stop.no-axis"))
        curve = self._at(travel)
        keep, turn = settled.adjust, settled.turn[which]
        pivot = np.stack([keep["pivot_x"], keep["pivot_y"], keep["pivot_z"]], axis=-1)[which]
        point = pivot + np.einsum("nij,nj->ni", turn, self.axis_point - pivot)
        point[:, 2] -= keep["axis_drop"][which]
        carried = np.stack([curve[:, 3], curve[:, 2], travel], axis=-1)
        return Axis(point + carried, turn @ self.axis)

    def _straight(self, settled: Settled, which: Index, travel: Array) -> HubPoses:
        """Poses at ``travel`` with the wheel straight ahead."""
        curve, keep = self._at(travel), settled.adjust
        camber = self.survey_camber + curve[:, 0] + keep["tilt"][which]
        toe = settled.toe[which] + curve[:, 1] - keep["table_toe"][which]
        hub = np.stack([curve[:, 3], keep["shift_y"][which] + curve[:, 2], travel], axis=-1)
        return HubPoses(hub, frames.spin_axis(camber, toe))

    def steered(self, settled: Settled, which: Index, steer: Array) -> Steered:
        """See Motion: the turn about the steering axis is found by Newton on the toe change."""
        angle = np.zeros(len(which))
        travel = settled.static_travel[which]
        straight = self._straight(settled, which, travel)
        if np.any(steer):
            axis = self._axis_at(settled, which, travel).along
            angle = steer / axis[:, 2]
            for _ in range(30):
                spin = np.einsum(
                    "nij,nj->ni", frames.rotation(-angle[:, None] * axis), straight.spin
                )
                flat = spin[:, 0] ** 2 + spin[:, 1] ** 2
                slope = axis[:, 2] - spin[:, 2] * np.sum(spin[:, :2] * axis[:, :2], axis=1) / flat
                error = frames.toe_of(spin) - settled.toe[which] - steer
                angle = angle - error / slope
                if np.max(np.abs(error)) < 1e-13:
                    break
            if np.max(np.abs(error)) > 1e-9:
                row = int(np.argmax(np.abs(error)))
                steer_deg = float(np.degrees(steer[row]))
                raise Unreachable(message("stop.steer-about-axis", steer_deg=steer_deg))
        return Steered(which, steer, straight.hub, settled.turn[which], angle)

    def travelled(self, settled: Settled, steered: Steered, pick: Index, travel: Array) -> HubPoses:
        """See Motion. Raises Unreachable outside the table's travel."""
        which = steered.which[pick]
        straight = self._straight(settled, which, travel)
        if self.axis is None:
            return straight
        axis = self._axis_at(settled, which, travel)
        turn = frames.rotation(-steered.held[pick][:, None] * axis.along)
        hub = axis.point + np.einsum("nij,nj->ni", turn, straight.hub - axis.point)
        return HubPoses(hub, np.einsum("nij,nj->ni", turn, straight.spin), axis)


def _columns(rows: Sequence[Mapping[str, float]]) -> dict[str, Array]:
    """Adjusters of many rows by name, (rows,); a row that does not name one has it at 0."""
    names = {name for row in rows for name in row}
    return {name: np.array([row.get(name, 0.0) for row in rows], float) for name in names}


def _screwed(base: Pose, velocity: Array, spin: Array, angle: Array) -> Pose:
    """Poses moved along an instantaneous screw by ``angle`` (rad), heights kept."""
    centre = base.hub + frames.cross(spin, velocity)
    turn = frames.rotation(angle[:, None] * spin)
    pitch = np.sum(spin * velocity, axis=1)
    hub = (
        centre + np.einsum("nij,nj->ni", turn, base.hub - centre) + (pitch * angle)[:, None] * spin
    )
    hub[:, 2] = base.hub[:, 2]
    return Pose(hub, turn @ base.turn)

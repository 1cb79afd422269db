"""One corner made ready: its motion, its planned setting, its envelope and its room."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry.hubmap import hub_map
from alignment.geometry.model import Planned
from alignment.geometry.motion import HubPoses, Motion, Settled, motion_of
from fitment.engine.envelope import Envelope, envelope_of
from fitment.engine.model import Corner, Duty, TakenAt
from fitment.engine.points import Course, course_of
from fitment.engine.room import Room, StrutTurn, room_of


@dataclass(frozen=True)
class Setting:
    """A corner at its planned setting; ``settled`` has one row."""

    corner: Corner
    duty: Duty
    motion: Motion
    settled: Settled
    envelope: Envelope
    room: Room

    @property
    def solved(self) -> dict[str, float]:
        """Adjusters that were solved, as totals by name; none for curves."""
        names = self.motion.solved(self.corner.planned)
        return {name: float(self.settled.adjust[name][0]) for name in reversed(names)}


def setting_of(name: str, corner: Corner, duty: Duty) -> Setting:
    """Settle a corner and collapse its features.

    Raises Unreachable where the suspension cannot take the setting or a pose of the duty, and
    RestsOnStops where the planned height leaves no bump travel.
    """
    survey, planned = corner.survey, corner.planned
    motion = motion_of(corner.suspension, survey.camber_deg, survey.toe_deg)
    static = -planned.adjusters.ride_height_mm
    envelope = envelope_for(corner, duty, static_travel=static)
    settled = motion.settle([planned])
    hubs = hub_map(motion, settled, envelope.travel_span, envelope.steer_span)
    courses = courses_of(corner, motion)
    room = room_of(name, courses, envelope, hubs, motion.spin, strut_turn(corner, settled))
    return Setting(corner, duty, motion, settled, envelope, room)


def envelope_for(
    corner: Corner, duty: Duty, *, static_travel: float, more_bump_mm: float = 0.0
) -> Envelope:
    """Envelope of a corner at a static travel; an unknown bump limit is taken as static height."""
    packer = corner.planned.adjusters.bump_stop_mm
    bump = corner.limits.bump_mm
    if bump is None:
        bump = static_travel + packer
    return envelope_of(
        duty, corner.limits, bump + more_bump_mm, static_travel, packer, corner.compliance
    )


def strut_turn(corner: Corner, settled: Settled, row: int = 0) -> StrutTurn:
    """What the knuckle camber adjuster of one settled row does to what the strut carries."""
    suspension = corner.suspension
    angle = settled.adjust.get("knuckle_camber_deg")
    pivot = suspension.knuckle_pivot or suspension.joints.get("strut_lower", (0.0, 0.0, 0.0))
    return StrutTurn(np.asarray(pivot, float), 0.0 if angle is None else float(angle[row]))


def courses_of(corner: Corner, motion: Motion) -> tuple[Course, ...]:
    """Courses of all features, those read in another pose placed by the survey's own setting."""
    poses: dict[TakenAt, HubPoses] = {}
    wanted = {
        feature.taken_at for feature in corner.survey.features if feature.taken_at is not None
    }
    if wanted:
        as_surveyed = motion.settle([Planned(toe_deg=corner.survey.toe_deg)])
        for taken in wanted:
            steered = motion.steered(as_surveyed, np.zeros(1, int), np.radians([taken.steer_deg]))
            poses[taken] = motion.travelled(
                as_surveyed, steered, np.zeros(1, int), np.array([taken.travel_mm])
            )
    return tuple(
        course_of(feature, motion.spin, poses[feature.taken_at] if feature.taken_at else None)
        for feature in corner.survey.features
    )

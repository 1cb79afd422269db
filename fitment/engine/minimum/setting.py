"""One corner made ready: its motion, its planned setting, its envelope and its room."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry.bump_steer_sheet import MeasuredMotion, overlay_of
from alignment.geometry.hubmap import hub_map
from alignment.geometry.model import Planned
from alignment.geometry.motion import HubPoses, Motion, Settled, motion_of
from fitment.engine.minimum.envelope import Envelope, envelope_of
from fitment.engine.minimum.feature_curves import Course, course_of, tube_course
from fitment.engine.minimum.rolled_lips import as_planned
from fitment.engine.minimum.room import Room, StrutTurn, rods_carrying
from fitment.engine.model import LINK, Corner, Duty, Feature, TakenAt


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
    planned = corner.planned
    motion = motion_for(corner)
    static = -planned.adjusters.ride_height_mm
    envelope = envelope_for(corner, duty, static_travel=static)
    settled = motion.settle([planned])
    courses = courses_of(corner, motion)
    rods = tuple(corner.suspension.rod_names.index(name) for name in rods_carrying(courses))
    spans = envelope.travel_span, envelope.steer_span
    hubs = hub_map(motion, settled, *spans, rods, envelope.upper_travel)
    turn = strut_turn(corner, settled)
    room = Room(name, courses, envelope, hubs, motion.spin, turn, rods)
    return Setting(corner, duty, motion, settled, envelope, room)


def motion_for(corner: Corner) -> Motion:
    """Motion of a corner as surveyed, with its bump-steer sheet laid over it if there is one."""
    survey, suspension = corner.survey, corner.suspension
    motion = motion_of(suspension, survey.camber_deg, survey.toe_deg)
    if suspension.measured is None:
        return motion
    return MeasuredMotion(motion, overlay_of(motion, suspension.measured, survey.toe_deg))


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
    return tuple(_course(corner, feature, motion, poses) for feature in corner.survey.features)


def _course(
    corner: Corner, feature: Feature, motion: Motion, poses: dict[TakenAt, HubPoses]
) -> Course:
    if feature.carried_by == LINK:
        inner, outer = corner.suspension.rod_ends(feature.link)
        return tube_course(feature, np.array(inner), np.array(outer))
    taken = poses[feature.taken_at] if feature.taken_at else None
    return course_of(as_planned(feature, corner.planned), motion.spin, taken)

"""One corner in one pose: where every spot stands about the wheel, and how far away it is.

The clearances are those of the check: the same least distance along each spot, with what gaps
read on this car added, so that the least over all poses is the check's own answer. Travel is
counted from the planned static height, bump positive; steering has the front edge inward positive.
Axial from the hub face, outboard positive; radius from the spin axis; clock from straight up, plus
to the front. Millimetres and degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.motion import HubPoses
from common.verdicts import Verdict
from fitment.engine.curves.clearance_map import least_along
from fitment.engine.minimum.feature_curves import Course
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import BODY, PoseAt, SpotAnswer
from fitment.engine.solid.section import Section, section_of
from fitment.engine.verdict import judge

#: Points along each piece of a spot that it is drawn and looked for with.
PARTS = 40
#: A pose this little outside a bound of a load is on it, mm or radians.
SLACK = 1e-6
#: A clearance this near to the check's is the check's, mm.
SAME_MM = 0.05
#: A pose that is shown for another is told to be so from this on, mm and degrees.
OTHER_POSE = 1.0


@dataclass(frozen=True)
class SpotCourse:
    """A spot as it lies about the wheel in one pose: ``axial_mm``, ``radius_mm`` and ``clock_deg``
    (n,) of its points, joined where ``is_edge``, each with its clearance nowhere below the least.

    ``nearest`` is the number of the point that is nearest to the wheel.
    """

    place: str
    carried_by: str
    is_edge: bool
    half_thickness_mm: float
    axial_mm: Array
    radius_mm: Array
    clock_deg: Array
    nearest: int

    @property
    def on_body(self) -> bool:
        """Whether the body carries it."""
        return self.carried_by == BODY


@dataclass(frozen=True)
class CornerAtPose:
    """A corner in one pose. ``spots`` and ``courses`` are in the survey's order; ``spots`` are as
    in the check's answer, but with the clearance, the nearest points and the verdict of this pose.

    ``at`` is the pose that is shown; ``wanted`` the one that was asked for, which the use may not
    visit.
    """

    at: PoseAt
    wanted: PoseAt
    spots: tuple[SpotAnswer, ...]
    courses: tuple[SpotCourse, ...]
    section: Section

    @property
    def tightest(self) -> int | None:
        """The number of the spot with the least to spare; None where none was measured."""
        measured = [n for n, spot in enumerate(self.spots) if spot.is_measured]
        return min(measured, key=lambda n: self.spots[n].spare_mm, default=None)

    @property
    def is_as_wanted(self) -> bool:
        """Whether the use visits the pose that was asked for."""
        return (
            abs(self.at.travel_mm - self.wanted.travel_mm) < OTHER_POSE
            and abs(self.at.steer_deg - self.wanted.steer_deg) < OTHER_POSE
        )


@dataclass(frozen=True)
class PoseRange:
    """Between which poses a use goes: least and greatest travel (mm) and steering (degrees)."""

    low_mm: float
    high_mm: float
    out_deg: float
    in_deg: float

    @property
    def steers(self) -> bool:
        """Whether the wheel steers."""
        return self.in_deg - self.out_deg > 1e-3


def pose_range(setting: Setting) -> PoseRange:
    """The range of poses of a corner's use."""
    envelope = setting.envelope
    low, high = (end - envelope.static_travel for end in envelope.travel_span)
    outward, inward = np.degrees(envelope.steer_span)
    return PoseRange(low, high, float(outward), float(inward))


def fixed_poses(setting: Setting, tightest: PoseAt) -> tuple[PoseAt, PoseAt, PoseAt]:
    """Three poses that tell most: at ride height straight ahead, the tightest, and the far side of
    it: highest at the other lock, or for a wheel that does not steer at the other end of travel."""
    span, envelope = pose_range(setting), setting.envelope
    if span.steers:
        steer = span.out_deg if tightest.steer_deg >= 0 else span.in_deg
        top = float(envelope.upper_travel(np.radians([steer]))[0]) - envelope.static_travel
        return PoseAt(0.0, 0.0), tightest, PoseAt(top, steer)
    middle = (span.low_mm + span.high_mm) / 2
    other = span.low_mm if tightest.travel_mm > middle else span.high_mm
    return PoseAt(0.0, 0.0), tightest, PoseAt(other, 0.0)


def corner_at_pose(
    setting: Setting, answers: Sequence[SpotAnswer], wanted: PoseAt, *, load: str | None = None
) -> CornerAtPose:
    """A corner in the pose that is nearest to the wanted one among those that its use visits.

    ``answers`` are the check's, in the survey's order. Of the loads under which the use visits the
    pose, the one with the least to spare is shown; ``load`` asks for one of them. Raises ValueError
    where the answers are of another survey, or for a pose that is no number.
    """
    names = tuple(course.feature.place for course in setting.room.courses)
    if names != tuple(answer.place for answer in answers):
        raise ValueError("the answers are not of this survey")
    if not (math.isfinite(wanted.travel_mm) and math.isfinite(wanted.steer_deg)):
        raise ValueError("a pose needs finite travel and steering")
    corner = setting.corner
    section = section_of(corner.wheel, corner.tyre)
    at = visited(setting, wanted)
    found = [
        _under(setting, section, answers, wanted, at, kind) for kind in _kinds(setting, at, load)
    ]
    return min(found, key=_least_spare)


def _least_spare(pose: CornerAtPose) -> float:
    tightest = pose.tightest
    return math.inf if tightest is None else pose.spots[tightest].spare_mm


def visited(setting: Setting, wanted: PoseAt) -> PoseAt:
    """The wanted pose, or the nearest one in steering and then in travel that the use visits."""
    span, envelope = pose_range(setting), setting.envelope
    steer = min(max(wanted.steer_deg, span.out_deg), span.in_deg)
    top = float(envelope.upper_travel(np.radians([steer]))[0]) - envelope.static_travel
    return PoseAt(min(max(wanted.travel_mm, span.low_mm), top), steer)


def _kinds(setting: Setting, at: PoseAt, load: str | None) -> Iterator[int]:
    """The kinds of poses that visit a pose; that without load always does."""
    envelope = setting.envelope
    angle = np.radians([at.steer_deg])
    wanted = None if load is None else envelope.kind_of(load) or 0
    for kind in range(envelope.kinds):
        if wanted is not None and kind != wanted:
            continue
        ends = np.array(envelope.steer_span) * envelope.steer_shares[kind]
        low, high = (
            float(envelope.travel(angle, np.array([share]), np.array([kind]))[0])
            for share in (0.0, 1.0)
        )
        height = at.travel_mm + envelope.static_travel
        steered = ends[0] - SLACK <= angle[0] <= ends[1] + SLACK
        if kind in (0, wanted) or (steered and low - SLACK <= height <= high + SLACK):
            yield kind


def _under(
    setting: Setting,
    section: Section,
    answers: Sequence[SpotAnswer],
    wanted: PoseAt,
    at: PoseAt,
    kind: int,
) -> CornerAtPose:
    envelope, room = setting.envelope, setting.room
    hubs = room.hubs(np.array([at.travel_mm + envelope.static_travel]), np.radians([at.steer_deg]))
    poses = envelope.under_load(hubs, np.array([kind]))
    shown = replace(at, load=envelope.load_name(kind))
    courses = [_course(setting, section, n, poses) for n in range(len(room.courses))]
    rough = section_of(setting.corner.wheel, setting.corner.tyre, coarse=True)
    spots = []
    for number, (answer, course) in enumerate(zip(answers, courses, strict=True)):
        gap = answer.clearance_mm
        if room.moving[number] and answer.is_measured:
            gap = float(least_along(room, section, rough, number, poses)[0]) + answer.shift_mm
        spots.append(_spot(answer, course, section, gap, shown))
    return CornerAtPose(shown, wanted, tuple(spots), tuple(courses), section)


def _spot(
    answer: SpotAnswer, course: SpotCourse, section: Section, gap_mm: float, at: PoseAt
) -> SpotAnswer:
    axial, radius = course.axial_mm[course.nearest], course.radius_mm[course.nearest]
    touch, _ = section.nearest(np.array([axial]), np.array([radius]))
    return replace(
        answer,
        clearance_mm=gap_mm,
        at=at,
        nearest_mm=(float(axial), float(radius)),
        touch_mm=(float(touch[0, 0]), float(touch[0, 1])),
        verdict=_verdict(answer, gap_mm),
    )


def _verdict(answer: SpotAnswer, gap_mm: float) -> Verdict:
    """How a gap would be judged in this pose alone, as uncertain as the spot's tightest moment is;
    where that is the pose, as the check judges it."""
    if not answer.is_measured or abs(gap_mm - answer.clearance_mm) < SAME_MM:
        return answer.verdict
    chance = 0.5 * math.erfc(gap_mm / (math.sqrt(2.0) * max(answer.sigma_mm, 1e-9)))
    return judge(gap_mm, answer.needed_mm, chance)


def _course(setting: Setting, section: Section, number: int, poses: HubPoses) -> SpotCourse:
    """Where a spot lies about the wheel in a single pose."""
    room = setting.room
    course = room.courses[number]
    along = _along(course)
    points, hub, spin = _placed(setting, number, along, poses)
    axial, radius = frames.meridian(points, hub, spin)
    up, forward = frames.wheel_axes(spin)
    across = points - hub
    clock = np.degrees(np.arctan2((across * forward).sum(axis=-1), (across * up).sum(axis=-1)))
    return SpotCourse(
        course.feature.place,
        course.feature.carried_by,
        course.is_edge,
        course.feature.half_thickness_mm,
        axial,
        radius,
        clock,
        int(np.argmin(section.distance(axial, radius))),
    )


def _along(course: Course) -> Array:
    pieces = len(course.knots) - 1
    if not course.is_edge:
        return np.arange(pieces + 1.0)
    return np.linspace(0.0, pieces, 1 + PARTS * pieces)


def _placed(
    setting: Setting, number: int, along: Array, poses: HubPoses
) -> tuple[Array, Array, Array]:
    """Positions (n, 3) of a spot's points, and the hub and spin axis (3,) they are seen from."""
    room = setting.room
    points, tube = room.courses[number].at(along), int(room.tube_of[number])
    if not room.moving[number]:
        return room.on_knuckle(number, along), np.zeros(3), room.rest_spin
    if tube >= 0 and poses.rod_ends is not None:
        inner, outer = poses.rod_ends[0, tube]
        points = inner + along[:, None] * (outer - inner)
    return points, poses.hub[0], poses.spin[0]

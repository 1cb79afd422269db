"""A sheet of readings from one corner, and the survey that follows from it.

Readings refer to each other: a straightedge needs the front space, a lock its plate angle, a gap
the tyre that is on the car. The newest reading of a reference counts, for all points, whenever
they were read. Frame and units as in :mod:`fitment.engine.survey.surveying`.

Where a survey exists already the sheet corrects it: everything is brought into that survey's pose
by that survey's suspension, and places that were not read again stay as they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from alignment.geometry import frames
from alignment.geometry.bump_steer_sheet import MeasuredMotion, overlay_of
from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import STRUT, Planned
from alignment.geometry.motion import Motion, motion_of
from fitment.engine.minimum.feature_curves import course_of
from fitment.engine.model import BODY
from fitment.engine.survey import joints, surveying
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sigmas import (
    ANGLE_GUESSED_DEG,
    ANGLE_READ_DEG,
    HUB_AT_LOCK_MM,
    HUB_BY_HEIGHT_MM,
    HUB_BY_MODEL_MM,
)
from fitment.engine.survey.reading_values import Needed, bump_of, toe_of
from fitment.engine.survey.readings import (
    HANGING,
    LOCK_IN,
    LOCK_OUT,
    LOCKS,
    PLACES,
    STANDING,
    Place,
    Reading,
)
from fitment.engine.survey.sheet_forms import as_read
from fitment.engine.survey.sheet_references import References, rim_of
from fitment.engine.survey.surveying import BadReading, Measure, Pose, Taken

#: What a strut's damper does for each mm of the wheel, where it was not read.
STRUT_RATIO = 1.0
#: Two poses tell that ratio when they are so far apart, mm.
RATIO_APART_MM = 20.0
#: A lip by whose height one survey's height is told from another's.
LIP = "arch lip"


@dataclass(frozen=True)
class Point:
    """A reading that gave a point: in the survey pose and as it was about the hub then."""

    reading: Reading
    taken: Taken
    as_read: Taken


class Sheet(References):
    """Readings of one corner, and the survey ``base`` that they correct, if there is one."""

    # --- Poses --------------------------------------------------------------------------

    @cached_property
    def motion(self) -> Motion | None:
        """How the suspension moves: as the base survey has it, else by the joints read here."""
        if self.base is None:
            document, pose = joints.suspension_of(self), self.survey_pose
            if document is None:
                return None
            return motion_of(document, pose.camber_deg, pose.toe_deg)
        survey, suspension = self.base.survey, self.base.suspension
        if suspension.typical:
            return None
        motion = motion_of(suspension, survey.camber_deg, survey.toe_deg)
        if suspension.measured is None:
            return motion
        return MeasuredMotion(motion, overlay_of(motion, suspension.measured, survey.toe_deg))

    @cached_property
    def survey_pose(self) -> Pose:
        """The pose that everything is brought into. Raises BadReading while it is not read."""
        if self.base is not None:
            return Pose(self.base.survey.camber_deg, self.base.survey.toe_deg)
        read = self.newest("setting")
        if read is None:
            raise BadReading("", "Read camber, toe and height as it stands first.")
        return Pose(read.number("camber_deg") or 0.0, read.number("toe_deg") or 0.0)

    @cached_property
    def reference_height_mm(self) -> float | None:
        """Height from the cap's middle to the lip in the survey pose; None while not known."""
        if self.base is None:
            read = self.newest("setting")
            return read.number("height_mm") if read else None
        lip = self._base_lip()
        if lip is None or self.newest("front_space") is None:
            return None
        cap = self.cap.value * self.survey_pose.spin
        return float(lip[2] - cap[2])

    def _base_lip(self) -> Array | None:
        """The base survey's lip straight above the hub, (3,)."""
        for feature in self.base.survey.features if self.base else ():
            if feature.place == LIP and feature.shape == "edge" and feature.taken_at is None:
                course = course_of(feature, self.survey_pose.spin)
                last = len(course.knots) - 1  # its own points among them, where it has corners
                places = course.at(np.linspace(0, last, 200 * last + 1))
                up = places[places[:, 2] > 0]
                if len(up) > 1:
                    order = up[np.argsort(up[:, 0])]
                    at = float(np.clip(0.0, order[0, 0], order[-1, 0]))
                    return np.array([np.interp(at, order[:, 0], order[:, i]) for i in range(3)])
        return None

    def height_mm(self, pose: str) -> float | None:
        """Hub-to-lip height of a pose as read; at lock the standing one if none was."""
        read = self.newest("pose", pose)
        height = read.number("height_mm") if read else None
        if height is None and pose in (STANDING, LOCK_IN, LOCK_OUT):
            standing = self.newest("setting")
            height = standing.number("height_mm") if standing else None
        return height

    def travel_mm(self, pose: str) -> float:
        """Travel of a pose from the survey's; 0 where no height tells it."""
        height, reference = self.height_mm(pose), self._lip_over_hub_mm
        if height is None or reference is None:
            return 0.0
        camber, _ = self.angles_read(pose)
        return surveying.travel(reference, self._over_hub(height, pose, camber))

    @cached_property
    def _lip_over_hub_mm(self) -> float | None:
        """How far the lip is over the middle of the hub's face in the survey pose."""
        if self.base is None:
            read = self.newest("setting")
            height = read.number("height_mm") if read else None
            if height is None:
                return None
            return self._over_hub(height, STANDING, self.survey_pose.camber_deg)
        lip = self._base_lip()
        return None if lip is None else float(lip[2])

    def _over_hub(self, height_mm: float, pose: str, camber_deg: float | None) -> float:
        """A height from the cap as one from the hub's face, which the wheel's lean sets apart.

        Hanging the wheel is off, and the height is read from the bare hub already.
        """
        if pose == HANGING or self.newest("front_space") is None:
            return height_mm
        lean = self.survey_pose.camber_deg if camber_deg is None else camber_deg
        return height_mm - self.cap.value * math.sin(math.radians(lean))

    def steer_deg(self, pose: str) -> float | None:
        """Steer of a lock, front edge in positive; None where the plate was not read."""
        read = self.newest("pose", pose)
        plate = read.number("plate_deg") if read else None
        if plate is None:
            return None
        return abs(plate) if pose == LOCK_IN else -abs(plate)

    def pose(self, name: str, *, by_model: bool = True) -> Pose:
        """How the hub stood in a pose. Raises BadReading where too little was read of it.

        ``by_model`` False: by what was read alone, as joints are placed before they make a model.
        """
        known = self._poses.get((name, by_model))
        if known is None:
            known = self._poses[name, by_model] = self._pose(name, by_model)
        return known

    @cached_property
    def _poses(self) -> dict[tuple[str, bool], Pose]:
        """Poses that were told before; the linkage is solved once for each."""
        return {}

    def _pose(self, name: str, by_model: bool) -> Pose:
        if self.base is None and name == STANDING:
            return self.survey_pose
        steer = 0.0
        if name in LOCKS:
            plate = self.steer_deg(name)
            if plate is None:
                raise BadReading("", "Read the turn plate at this lock first.")
            steer = plate
        elif name != STANDING and self.height_mm(name) is None:
            raise BadReading("", "Read the height in this pose first.")
        travel = self.travel_mm(name)
        return self._pose_at(name, travel, steer, self._by_model(travel, steer, by_model))

    def _pose_at(self, name: str, travel: float, steer: float, model: Pose | None) -> Pose:
        camber, toe = self.angles_read(name)
        if model is not None:
            hub, sigma = model.hub_mm, HUB_BY_MODEL_MM
        else:
            shift = self.shift_read(name)
            out, forward = (0.0 if by is None else by for by in shift)
            hub, sigma = (forward, out, travel), HUB_AT_LOCK_MM if steer else HUB_BY_HEIGHT_MM
        reference = model or self.survey_pose
        known = camber is not None and (toe is not None or steer != 0.0)
        return Pose(
            reference.camber_deg if camber is None else camber,
            (reference.toe_deg + (0.0 if model else steer)) if toe is None else toe,
            hub,
            sigma_hub_mm=sigma,
            sigma_angle_deg=ANGLE_READ_DEG if known or model else ANGLE_GUESSED_DEG,
        )

    def shift_read(self, name: str) -> tuple[float | None, float | None]:
        """How far the hub moved out and forward to a pose, by the lip's line; None unread."""
        read, lip = self.newest("pose", name), self._standing_lip
        if read is None or lip is None:
            return None, None
        out, forward = read.number("line_mm"), read.number("line_forward_mm")
        return (
            None if out is None else float(lip[1]) - out,
            None if forward is None else float(lip[0]) - forward,
        )

    @cached_property
    def _standing_lip(self) -> Array | None:
        """The lip over the hub as the plumb line gave it standing, (3,)."""
        read = self.newest("plumb_line", STANDING)
        if read is None or self.base is not None:
            return None
        try:
            taken = as_read(self, read, self.survey_pose)
        except BadReading:
            return None
        return surveying.position(taken.point, self.survey_pose)

    def _by_model(self, travel: float, steer: float, wanted: bool) -> Pose | None:
        if not wanted or self.motion is None:
            return None
        one = np.zeros(1, int)
        try:
            settled = self.motion.settle([Planned(toe_deg=self.survey_pose.toe_deg)])
            steered = self.motion.steered(settled, one, np.radians([steer]))
            there = self.motion.travelled(settled, steered, one, np.array([travel]))
        except Unreachable:
            return None
        camber = math.degrees(float(frames.camber_of(there.spin)[0]))
        toe = math.degrees(float(frames.toe_of(there.spin)[0]))
        x, y, z = (float(value) for value in there.hub[0])
        return Pose(camber, toe, (x, y, z))

    def angles_read(self, name: str) -> tuple[float | None, float | None]:
        """Camber and toe as read in a pose; None where not."""
        camber = toe = None
        read = self.newest("pose", name)
        if read is not None:
            camber, toe = read.number("camber_deg"), read.number("toe_deg")
        string = self.newest("toe_string", name)
        if toe is None and string is not None:
            toe = toe_of(string).value
        standing = self.newest("setting")
        if name == STANDING and standing is not None:
            camber = standing.number("camber_deg") if camber is None else camber
            toe = standing.number("toe_deg") if toe is None else toe
        return camber, toe

    # --- Points -------------------------------------------------------------------------

    def point(self, reading: Reading) -> Point:
        """The point that a reading gives. Raises BadReading where it gives none yet."""
        there = self.pose(reading.pose)
        about_hub = as_read(self, reading, there)
        taken = about_hub
        if self.carrier(reading.place) == BODY:
            taken = surveying.in_survey_pose(about_hub, there, self.survey_pose)
        return Point(reading, taken, about_hub)

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """All points that can be told by now, in the order in which they were read."""
        return tuple(self._points())

    def _points(self) -> Iterator[Point]:
        for reading in self.readings:
            if FORMS[reading.form].gives_point:
                try:
                    yield self.point(reading)
                except BadReading:
                    continue

    def place(self, name: str) -> Place:
        """What a place is: as the base survey has it, or as its name tells."""
        for feature in self.base.survey.features if self.base else ():
            if feature.place == name:
                straight = bool(feature.xyz_mm)
                return Place(feature.carried_by, feature.shape, feature.surface, straight)
        return PLACES.get(name, Place())

    def carrier(self, name: str) -> str:
        """What carries a place."""
        return self.place(name).carried_by

    def camber_by_plumb_line(self) -> Measure | None:
        """Camber that the standing plumb line tells, to hold against the rack's."""
        read = self.newest("plumb_line", STANDING)
        if read is None or self.newest("front_space") is None:
            return None
        need = Needed(read)
        _, camber = surveying.plumb_line(
            rim=self.rim,
            cap=self.cap,
            height_mm=need["height_mm"],
            line_top_mm=need["line_top_mm"],
            line_bottom_mm=need["line_bottom_mm"],
            lip_radius_mm=need["lip_radius_mm"],
            toe_deg=self.pose(STANDING).toe_deg,
        )
        return camber

    # --- Travel -------------------------------------------------------------------------

    @property
    def bump(self) -> Measure | None:
        """Bump (mm) from the survey height to the stop, by the damper's shaft; None untold."""
        read = self.newest("bump_left")
        if read is None:
            return None
        try:
            return bump_of(read, self.travel_mm(read.pose), self.motion_ratio)
        except BadReading:
            return None

    @property
    def motion_ratio(self) -> float | None:
        """Shaft over wheel, by the shaft read in two poses; of a strut one to one."""
        read = [row for row in self.readings if row.form == "bump_left"]
        for later in reversed(read):
            for earlier in read:
                apart = self.travel_mm(earlier.pose) - self.travel_mm(later.pose)
                shaft = (later.number("shaft_mm") or 0.0) - (earlier.number("shaft_mm") or 0.0)
                if abs(apart) >= RATIO_APART_MM:
                    return shaft / apart
        return STRUT_RATIO if self.kind == STRUT else None

    @property
    def bump_used(self) -> Measure | None:
        """Bump (mm) that a dip took, by the tie on the shaft; None where it was not driven."""
        read = self.newest("bump_used")
        if read is None:
            return None
        ratio = read.number("motion_ratio") or self.motion_ratio
        if ratio is None:
            return None
        return surveying.bump_used(tie_mm=read.number("tie_mm") or 0.0, motion_ratio=ratio)

    @property
    def droop_mm(self) -> float | None:
        """Droop (mm) from the survey height, by the hanging wheel's height."""
        if self.height_mm(HANGING) is None or self.reference_height_mm is None:
            return None
        return -self.travel_mm(HANGING)

    def check(self, reading: Reading) -> None:
        """Refuse a reading that its form cannot give. Raises BadReading."""
        if FORMS[reading.form].gives_point:
            Sheet((*self.readings, reading), self.base).point(reading)
        elif reading.form == "joint":
            Sheet((*self.readings, reading), self.base).pose(reading.pose, by_model=False)
        elif reading.form == "front_space":
            rim_of(reading)
        elif reading.form == "present_tyre":  # its size, whether or not the rim plane is known
            space = self.newest("front_space") or Reading("front_space", {"front_space_mm": 60.0})
            _ = Sheet((space, reading)).fitted
        elif reading.form == "toe_string":
            toe_of(reading)
        elif reading.form == "bump_left":
            self._check_shaft(reading)
        elif reading.form == "bump_used":
            ratio = reading.number("motion_ratio") or self.motion_ratio
            if ratio is None:
                raise BadReading("motion_ratio", "enter it, or read the shaft in two poses first")
            surveying.bump_used(tie_mm=Needed(reading)["tie_mm"], motion_ratio=ratio)
        elif reading.form == "pose" and reading.pose in LOCKS:
            if not reading.number("plate_deg"):
                raise BadReading("plate_deg", "at lock the turn plate tells the pose")
        elif reading.form == "pose" and reading.number("height_mm") is None:
            raise BadReading("height_mm", "its height tells this pose from standing")

    def _check_shaft(self, reading: Reading) -> None:
        """A shaft is taken without its ratio as long as another pose may still tell it."""
        with_it = Sheet((*self.readings, reading), self.base)
        if reading.pose != STANDING and self.height_mm(reading.pose) is None:
            raise BadReading("pose", "read the height in this pose first")
        ratio = reading.number("motion_ratio") or with_it.motion_ratio
        bump_of(reading, 0.0, STRUT_RATIO if ratio is None else ratio)

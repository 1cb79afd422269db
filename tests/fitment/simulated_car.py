"""A car whose every place is known, and what a technician would read on it, step by step.

The wheel stands as the suspension holds it; readings are worked out in space, from places, and
share nothing with the conversions that they test.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import scipy

from alignment.geometry.model import Planned
from alignment.geometry.motion import motion_of
from fitment.engine.checkfile import Measured
from fitment.engine.minimum.feature_curves import course_of
from fitment.engine.model import BODY, Feature, Tyre, Wheel
from fitment.engine.solid.section import section_of
from fitment.engine.survey import surveying
from fitment.engine.survey.readings import (
    HANGING,
    JACKED,
    JOINT_NAMES,
    LOCK_IN,
    LOCK_OUT,
    STANDING,
    WHOLE,
)
from fitment.engine.survey.steps import Step
from fitment.engine.survey.surveying import Pose
from tests.engine.test_surveying import LATERAL, UP, Stand, Vec, stand, wedge

FORWARD = np.array([1.0, 0.0, 0.0])
Typed = dict[str, str]


@dataclass(frozen=True)
class Car:
    """A measured corner, its wheel, and the poses into which it can be brought."""

    truth: Measured
    kind: str
    front_space_mm: float = 62.0
    cap_depth_mm: float = 30.0
    lip_radius_mm: float = 233.0
    hanging_mm: float = -58.0
    jacked_mm: float = 34.0
    stop_mm: float = 20.0
    places: int = 3

    def pose(self, name: str) -> Pose:
        """The hub in a pose, as the suspension holds it."""
        limits, survey = self.truth.limits, self.truth.survey
        travel = {HANGING: self.hanging_mm, JACKED: self.jacked_mm}.get(name, 0.0)
        steer = {LOCK_IN: limits.steer_in_deg, LOCK_OUT: -limits.steer_out_deg}.get(name, 0.0)
        motion = motion_of(self.truth.suspension, survey.camber_deg, survey.toe_deg)
        settled = motion.settle([Planned(toe_deg=survey.toe_deg)])
        one = np.zeros(1, int)
        steered = motion.steered(settled, one, np.radians([steer]))
        there = motion.travelled(settled, steered, one, np.array([travel]))
        x, y, z = (float(part) for part in there.spin[0])
        hub = (float(there.hub[0][0]), float(there.hub[0][1]), float(there.hub[0][2]))
        return Pose(-math.degrees(math.asin(z)), math.degrees(math.atan2(x, y)), hub)

    def wheel(self, name: str) -> Stand:
        return stand(self.pose(name))

    def figure(self, value: float) -> str:
        return f"{value:.{self.places}f}"

    def feature(self, place: str) -> Feature:
        return next(one for one in self.truth.survey.features if one.place == place)

    def has(self, place: str) -> bool:
        return any(one.place == place for one in self.truth.survey.features)

    def over_the_tread(self, step: Step) -> bool:
        """Whether a wedge finds an edge over the tread where its gap is asked for."""
        spot = self.at_clock(step.place, 4.0, step.pose)
        clock, _, axial = self.about(spot, step.pose)
        centre = section_of(self.fitted, Tyre("225/45R17")).centre_axial_mm
        return abs(clock - 4.0) < 1.0 and abs(axial - centre) < 90.0

    def edge(self, place: str) -> Vec:
        """An edge in space, finely (n, 3)."""
        spin = surveying.Pose(self.truth.survey.camber_deg, self.truth.survey.toe_deg).spin
        course = course_of(self.feature(place), spin)
        return course.at(np.linspace(0, len(course.knots) - 1, 40001))

    def at_clock(self, place: str, clock: float, name: str) -> Vec:
        """The spot of an edge that is seen at a clock in a pose."""
        wheel = self.wheel(name)
        away = self.edge(place) - wheel.hub
        clocks = np.degrees(np.arctan2(away @ wheel.front, away @ wheel.top))
        spot: Vec = self.edge(place)[int(np.argmin(np.abs(clocks - clock)))]
        return spot

    def about(self, spot: Vec, name: str) -> tuple[float, float, float]:
        """Clock, radius and axial of a spot in a pose."""
        wheel = self.wheel(name)
        away = spot - wheel.hub
        axial = float(away @ wheel.out)
        up, front = float(away @ wheel.top), float(away @ wheel.front)
        return math.degrees(math.atan2(front, up)), math.hypot(up, front), axial

    @property
    def rim_mm(self) -> float:
        return self.front_space_mm

    def cap(self, name: str) -> Vec:
        return self.wheel(name).place(0, 0, self.rim_mm - self.cap_depth_mm)

    @property
    def lip_over_hub(self) -> Vec:
        """The spot of the lip that was marked over the hub as it stood."""
        return self.at_clock("arch lip", 0.0, STANDING)

    def height(self, name: str) -> float:
        """From the cap, or where the wheel is off from the middle of the hub's face."""
        below = self.wheel(name).hub if name == HANGING else self.cap(name)
        return float((self.lip_over_hub - below) @ UP)

    def read(self, step: Step) -> Typed:
        """What is typed for one step, by figure."""
        figures: Typed = getattr(self, f"_{step.form}")(step)
        return figures

    def _plan(self, step: Step) -> Typed:
        return {"level": WHOLE, "kind": self.kind}

    def _setting(self, step: Step) -> Typed:
        survey = self.truth.survey
        return {
            "camber_deg": self.figure(survey.camber_deg),
            "toe_deg": self.figure(survey.toe_deg),
            "height_mm": self.figure(self.height(STANDING)),
        }

    def _front_space(self, step: Step) -> Typed:
        return {
            "front_space_mm": self.figure(self.front_space_mm),
            "cap_depth_mm": self.figure(self.cap_depth_mm),
        }

    def _present_tyre(self, step: Step) -> Typed:
        around = math.pi * 2 * 316.7
        return {"size": "225/45R17", "rim_width_in": "7.5", "circumference_mm": f"{around:.1f}"}

    def _plumb_line(self, step: Step) -> Typed:
        spot, wheel, rim = self.lip_over_hub, self.wheel(step.pose), self.rim_mm
        top, bottom = (wheel.place(clock, self.lip_radius_mm, rim) for clock in (0, 180))
        return {
            "height_mm": self.figure(float((spot - self.cap(step.pose)) @ UP)),
            "line_top_mm": self.figure(float((spot - top) @ LATERAL)),
            "line_bottom_mm": self.figure(float((spot - bottom) @ LATERAL)),
            "lip_radius_mm": self.figure(self.lip_radius_mm),
        }

    def _straightedge(self, step: Step) -> Typed:
        spot = self.at_clock(step.place, step.clock_deg or 0.0, step.pose)
        clock, radius, axial = self.about(spot, step.pose)
        return {
            "block_mm": "40",
            "along_mm": self.figure(radius),
            "edge_mm": self.figure(axial - self.rim_mm - 40),
            "clock_deg": self.figure(clock),
        }

    def _turns_in(self, step: Step) -> Typed:
        return {"turns_in_mm": "0"}

    def _pose(self, step: Step) -> Typed:
        there = self.pose(step.pose)
        if step.pose in (LOCK_IN, LOCK_OUT):
            limits = self.truth.limits
            plate = limits.steer_in_deg if step.pose == LOCK_IN else limits.steer_out_deg
            return {"plate_deg": self.figure(plate)}
        line = self.lip_over_hub - np.array(there.hub_mm)
        return {
            "height_mm": self.figure(self.height(step.pose)),
            "camber_deg": self.figure(there.camber_deg),
            "toe_deg": self.figure(there.toe_deg),
            "line_mm": self.figure(float(line @ LATERAL)),
            "line_forward_mm": self.figure(float(line @ FORWARD)),
        }

    def _toe_string(self, step: Step) -> Typed:
        wheel = self.wheel(step.pose)
        front, rear = (900 - wheel.place(c, 250, 10) @ LATERAL for c in (90, -90))
        apart = {"apart_mm": "500"}
        return {"front_mm": self.figure(front), "rear_mm": self.figure(rear)} | apart

    def _hub_bar(self, step: Step) -> Typed:
        if step.clock_deg is not None:
            spot = self.at_clock(step.place, step.clock_deg, step.pose)
            clock, radius, axial = self.about(spot, step.pose)
        else:  # what the hub carries is where it was about the hub in every pose
            clock, radius, axial = self._carried(step)
        return {
            "thickness_mm": "10",
            "along_mm": self.figure(radius),
            "depth_mm": self.figure(10 - axial),
            "depth_side": "inboard",
            "clock_deg": self.figure(clock),
        }

    def _carried(self, step: Step) -> tuple[float, float, float]:
        feature = self.feature(step.place)
        spots = list(self.edge(step.place)) if feature.xyz_mm else []
        if spots:
            seen_in = step.pose if feature.carried_by == BODY else STANDING
            return self.about(spots[0] if step.joint == "first" else spots[-1], seen_in)
        nth = int(step.joint or 0)
        point = feature.points[nth]
        return point.clock_deg, point.radius_mm, point.axial_mm

    def _gap(self, step: Step) -> Typed:
        """A wedge between the tread and the spot of an edge that is seen near the top."""
        section = section_of(self.fitted, Tyre("225/45R17", overall_diameter_mm=2 * 316.7))
        clock, radius, axial = self.about(self.at_clock(step.place, 4.0, step.pose), step.pose)

        def beside(offset: float) -> float:
            spot = surveying.crown_spot(section, offset)
            far = (radius - spot.radius_mm) / spot.normal[1]
            return float(spot.axial_mm + far * spot.normal[0] - axial)

        at = float(scipy.optimize.brentq(beside, -95, 95))
        spot = surveying.crown_spot(section, at)
        gap = wedge(section, (axial, radius), spot.normal)
        return {
            "gap_mm": self.figure(gap),
            "spot": "crown",
            "beside_mm": self.figure(at),
            "clock_deg": self.figure(clock),
        }

    @property
    def fitted(self) -> Wheel:
        return Wheel(17, 7.5, 12.7 * 7.5 + 12.5 - self.front_space_mm)

    def _bump_left(self, step: Step) -> Typed:
        travel = {HANGING: self.hanging_mm, JACKED: self.jacked_mm}.get(step.pose, 0.0)
        shaft = self.stop_mm + (self.truth.limits.bump_mm or 0.0) - travel
        return {"shaft_mm": self.figure(shaft), "solid_mm": self.figure(self.stop_mm)}

    def _joint(self, step: Step) -> Typed:
        place = np.array(self.truth.suspension.joints[JOINT_NAMES[step.joint]])
        away = place - np.array(self.pose(step.pose).hub_mm)
        return {
            "forward_mm": self.figure(float(away[0])),
            "inboard_mm": self.figure(float(-away[1])),
            "up_mm": self.figure(float(away[2])),
        }

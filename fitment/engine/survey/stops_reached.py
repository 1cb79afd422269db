"""Whether a corner as surveyed can go to the stops that were measured with it.

A joint that is off by centimetres, or two that were swapped, shows here before any wheel is
planned: the linkage jams on the way to a stop that the car reaches every day.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.bump_steer_sheet import MeasuredMotion, overlay_of
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Limits, Planned, Suspension
from alignment.geometry.motion import Motion, motion_of
from common.message import Message
from fitment.engine.model import Survey


def jam(survey: Survey, suspension: Suspension, limits: Limits) -> Message | None:
    """What stops it on the way to a stop, and where; None where all stops are reached.

    Straight ahead from droop to bump, and at both locks from the height of the survey to droop.
    """
    try:
        motion: Motion = motion_of(suspension, survey.camber_deg, survey.toe_deg)
        if suspension.measured is not None:
            motion = MeasuredMotion(motion, overlay_of(motion, suspension.measured, survey.toe_deg))
        settled = motion.settle([Planned(toe_deg=survey.toe_deg)])
        first = np.zeros(1, np.intp)
        straight = motion.steered(settled, first, np.zeros(1))
        stops = [-limits.droop_mm] + ([] if limits.bump_mm is None else [limits.bump_mm])
        for stop in stops:
            motion.travelled(settled, straight, first, np.array([stop]))
        for lock in (-limits.steer_out_deg, limits.steer_in_deg):
            if lock:
                turned = motion.steered(settled, first, np.radians([lock]))
                motion.travelled(settled, turned, first, np.array([-limits.droop_mm]))
    except Unreachable as stuck:
        return stuck.message
    return None

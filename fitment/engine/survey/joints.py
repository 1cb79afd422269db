"""Joints read with plumb lines and tape, and the linkage that they make.

A joint is read from the middle of the hub's face, along and across the car and upwards, in any
pose. What the body carries stays where it was; what the hub carries is brought into the survey pose
with the hub.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations
from typing import Protocol

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.model import JOINTS, Suspension, Vec3
from fitment.engine.checkfile.plausible import SHORTEST_ROD_MM
from fitment.engine.survey.reading_values import Needed
from fitment.engine.survey.readings import JOINT_NAMES, ON_THE_KNUCKLE, Reading
from fitment.engine.survey.surveying import BadReading, Pose, about_hub, position


class PosedReadings(Protocol):
    """What joints are read from: a corner's readings, and how the hub stood in each pose."""

    @property
    def kind(self) -> str: ...

    @property
    def readings(self) -> Sequence[Reading]: ...

    @property
    def survey_pose(self) -> Pose: ...

    def pose(self, name: str, *, by_model: bool) -> Pose:
        """How the hub stood in a pose. Raises BadReading where too little was read of it."""


def joint_place(reading: Reading, there: Pose, survey: Pose) -> Array:
    """Where a joint lies in the corner frame in the survey pose, (3,). Raises BadReading."""
    need = Needed(reading)
    away = np.array([need["forward_mm"], -need["inboard_mm"], need["up_mm"]])
    place: Array = np.asarray(there.hub_mm, float) + away
    if JOINT_NAMES.get(reading.text("joint")) in ON_THE_KNUCKLE:
        return position(about_hub(place, there), survey)
    return place


def joints_read(sheet: PosedReadings) -> dict[str, Vec3]:
    """Joints read so far by their names in a check file, the newest of each."""
    found: dict[str, Vec3] = {}
    for reading in sheet.readings:
        name = JOINT_NAMES.get(reading.text("joint")) if reading.form == "joint" else None
        if name is None:
            continue
        try:
            there = sheet.pose(reading.pose, by_model=False)
            x, y, z = joint_place(reading, there, sheet.survey_pose)
        except BadReading:
            continue
        found[name] = (round(float(x), 2), round(float(y), 2), round(float(z), 2))
    return found


def suspension_of(sheet: PosedReadings) -> Suspension | None:
    """The linkage once all joints of its kind were read and stand apart; None before."""
    names, found = JOINTS.get(sheet.kind, ()), joints_read(sheet)
    if not names or any(name not in found for name in names):
        return None
    places = {name: found[name] for name in names if name != "strut_lower"}
    if any(math.dist(a, b) < SHORTEST_ROD_MM for a, b in combinations(places.values(), 2)):
        return None
    return Suspension(sheet.kind, joints={name: found[name] for name in names})

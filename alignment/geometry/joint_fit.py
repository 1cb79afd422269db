"""Joints fitted to what the wheel was seen to do.

A joint measured under a car is off by millimetres, and over fifty millimetres of bump that is half
a degree of toe. Toe and camber read at two or three heights (hanging, standing, jacked) cost a few
minutes and say what the joints cannot: the joints are moved within their own uncertainty until the
model repeats the readings. Least squares with the measured places as the prior, by Gauss-Newton
with central differences (A. Tarantola, *Inverse Problem Theory*, 2005, ch. 3). What was fitted to
is kept with the joints, which are the better known for it. Corner frame, millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.hub_position import travel_curve
from alignment.geometry.joint_slopes import joint_names, with_joints_moved
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import FittedTo, Planned, Suspension, TravelReading
from alignment.geometry.motion import motion_of
from common.message import Told, message

#: Standard uncertainty of a change of toe or camber read on the rack, degrees.
READING_SIGMA_DEG = 0.1
#: Step by which a joint is moved to find what it does, mm.
STEP_MM = 0.5
ITERATIONS = 6


class CannotFit(Told):
    """Readings that no joint places near the measured ones can repeat; says why."""


@dataclass(frozen=True)
class Fit:
    """A fitted suspension; ``moved_mm`` how far each joint went; errors (rms, degrees) of the
    readings before and after."""

    suspension: Suspension
    moved_mm: Mapping[str, float]
    before_deg: float
    after_deg: float


def fit_joints(
    suspension: Suspension,
    camber_deg: float,
    toe_deg: float,
    readings: tuple[TravelReading, ...],
    sigma_deg: float = READING_SIGMA_DEG,
) -> Fit:
    """Fit a linkage surveyed at this camber and toe to changes from the survey height.

    ``readings`` hold changes of camber or toe at travels other than 0. Raises CannotFit.
    """
    rows = [
        (reading.travel_mm, column, value)
        for reading in readings
        for column, value in enumerate((reading.camber_deg, reading.toe_deg))
        if value is not None and reading.travel_mm != 0
    ]
    if not rows:
        raise CannotFit(message("fit.nothing-read"))
    names = joint_names(suspension)
    if not names:
        raise CannotFit(message("fit.curves"))

    def error(shift: Array) -> Array:
        moved = with_joints_moved(suspension, shift)
        try:
            changes = _changes(moved, camber_deg, toe_deg, [row[0] for row in rows])
        except Unreachable as stop:
            raise CannotFit(message("fit.not-reached", stop=stop.message)) from stop
        model = np.array([changes[index, row[1]] for index, row in enumerate(rows)])
        return np.asarray(model - np.array([row[2] for row in rows]), float)

    shift = np.zeros(3 * len(names))
    wrong = error(shift)
    before = float(np.sqrt(np.mean(wrong**2)))
    weight = np.full(len(shift), 1.0 / suspension.joint_sigma_mm)
    for _ in range(ITERATIONS):
        slope = np.stack(
            [
                (error(shift + step) - error(shift - step)) / (2 * STEP_MM)
                for step in STEP_MM * np.eye(len(shift))
            ],
            axis=-1,
        )
        left = np.concatenate([slope / sigma_deg, np.diag(weight)])
        right = np.concatenate([-wrong / sigma_deg, -shift * weight])
        step = np.linalg.lstsq(left, right, rcond=None)[0]
        shift, wrong = shift + step, error(shift + step)
        if np.max(np.abs(step)) < 1e-3:
            break
    far = np.linalg.norm(shift.reshape(-1, 3), axis=1)
    return Fit(
        suspension=replace(
            with_joints_moved(suspension, shift), fitted=FittedTo(_told(readings), sigma_deg)
        ),
        moved_mm=dict(zip(names, (float(part) for part in far), strict=True)),
        before_deg=before,
        after_deg=float(np.sqrt(np.mean(wrong**2))),
    )


def _told(readings: tuple[TravelReading, ...]) -> tuple[TravelReading, ...]:
    """The readings that say something of the joints, rising in travel."""
    told = [
        one
        for one in readings
        if one.travel_mm != 0 and (one.camber_deg is not None or one.toe_deg is not None)
    ]
    return tuple(sorted(told, key=lambda one: one.travel_mm))


def _changes(suspension: Suspension, camber: float, toe: float, travel: list[float]) -> Array:
    """Changes (n, 2) of camber and toe in degrees at travels from the survey height."""
    bare = replace(suspension, measured=None)
    motion = motion_of(bare, camber, toe)
    curve = travel_curve(motion, motion.settle([Planned(toe_deg=toe)]), np.array(travel))
    changes: Array = np.stack([curve.camber_deg - camber, curve.toe_deg - toe], axis=-1)
    return changes

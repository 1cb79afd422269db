"""Measured curves against scipy: its monotone cubic, its rotations, its root finder.

Written again from what the curves are meant to do; nothing of the package's own arithmetic is
used. Corner frame, millimetres; angles in degrees outside, radians inside.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import scipy
from numpy.typing import NDArray

from alignment.geometry.model import CURVES, Adjusters, Planned, SteerAxis
from alignment.geometry.motion import motion_of
from fitment.engine.model import Corner
from tests.engine.random_corners import random_check, the_corner

Array = NDArray[np.float64]
ANGLE_DEG, HUB_MM = 1e-6, 1e-6


def steered_corner(seed: int) -> tuple[Corner, Planned]:
    """A random corner of measured curves that steers, with a planned camber by one of its means."""
    rng = np.random.default_rng([5, seed])
    corner = the_corner(random_check(seed, kind=CURVES))
    suspension = corner.suspension
    if suspension.steer_axis is None:
        x, y, z = (float(v) for v in rng.uniform((-15, -90, -30), (15, -40, 30)))
        axis = SteerAxis((x, y, z), float(rng.uniform(2, 9)), float(rng.uniform(8, 16)))
        corner = replace(corner, suspension=replace(suspension, steer_axis=axis))
    by = str(rng.choice(sorted(suspension.camber_pivots)))
    camber = corner.survey.camber_deg + float(rng.uniform(-2.5, 1.0))
    height = Adjusters(ride_height_mm=float(rng.uniform(-20, 5)))
    return corner, Planned(float(rng.uniform(-0.2, 0.3)), camber, by, height)


class Twin:
    def __init__(self, corner: Corner, planned: Planned) -> None:
        suspension, survey = corner.suspension, corner.survey
        rows = suspension.table
        self.table = scipy.interpolate.PchipInterpolator(
            [row.travel_mm for row in rows],
            [(row.camber_deg, row.toe_deg, row.out_mm, row.forward_mm) for row in rows],
        )
        self.z0 = -planned.adjusters.ride_height_mm
        self.toe, self.toe_there = planned.toe_deg, float(self.table(self.z0)[1])
        assert planned.camber_deg is not None
        more = planned.camber_deg - survey.camber_deg - float(self.table(self.z0)[0])
        self.camber = survey.camber_deg + more
        tilt = scipy.spatial.transform.Rotation.from_euler("x", -more, degrees=True)
        pivot = np.array(suspension.camber_pivots[planned.camber_by or ""])
        shift = pivot + tilt.apply(-pivot)
        self.shift = np.array([0.0, shift[1], 0.0])
        axis = suspension.steer_axis
        assert axis is not None
        self.point = pivot + tilt.apply(np.array(axis.point) - pivot) - [0.0, 0.0, shift[2]]
        along = np.array(
            [-np.tan(np.radians(axis.caster_deg)), -np.tan(np.radians(axis.inclination_deg)), 1.0]
        )
        self.along = tilt.apply(along / np.linalg.norm(along))

    def pose(self, travel: float, turned_deg: float) -> tuple[Array, Array]:
        """Hub and spin axis at a travel, turned so far about the carried axis."""
        camber, toe, out, forward = self.table(travel)
        carried = np.array([forward, out, travel])
        turn = scipy.spatial.transform.Rotation.from_rotvec(-turned_deg * self.along, degrees=True)
        hub = carried + self.shift
        lean, aim = np.radians([self.camber + camber, self.toe + toe - self.toe_there])
        spin = scipy.spatial.transform.Rotation.from_euler("xz", [-lean, -aim]).apply(
            [0.0, 1.0, 0.0]
        )
        about = self.point + carried
        return about + turn.apply(hub - about), turn.apply(spin)

    def turn_for(self, steer_deg: float) -> float:
        def off(turned: float) -> float:
            _, spin = self.pose(self.z0, turned)
            return float(np.degrees(np.arctan2(spin[0], spin[1]))) - self.toe - steer_deg

        return float(scipy.optimize.brentq(off, -75.0, 75.0, xtol=1e-12))


@pytest.mark.parametrize("seed", range(30))
def test_poses_of_measured_curves_are_those_that_scipy_gives(seed: int) -> None:
    corner, planned = steered_corner(seed)
    motion = motion_of(corner.suspension, corner.survey.camber_deg, corner.survey.toe_deg)
    settled, twin = motion.settle([planned]), Twin(corner, planned)
    one = np.zeros(1, np.intp)
    assert settled.axis is not None
    along = twin.along / twin.along[2]
    assert np.degrees(settled.axis.caster[0]) == pytest.approx(np.degrees(np.arctan(-along[0])))
    assert np.degrees(settled.axis.inclination[0]) == pytest.approx(
        np.degrees(np.arctan(-along[1]))
    )
    rng = np.random.default_rng(seed)
    first, last = (corner.suspension.table[end].travel_mm for end in (0, -1))
    for _ in range(4):
        steer, travel = float(rng.uniform(-35, 30)), float(rng.uniform(first, last))
        steered = motion.steered(settled, one, np.radians([steer]))
        pose = motion.travelled(settled, steered, one, np.array([travel]))
        hub, spin = twin.pose(travel, twin.turn_for(steer))
        assert pose.hub[0] == pytest.approx(hub, abs=HUB_MM)
        assert np.degrees(pose.spin[0]) == pytest.approx(np.degrees(spin), abs=ANGLE_DEG)

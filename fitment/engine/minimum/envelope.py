"""The poses that a use visits at one setting.

Steer is in radians here, travel in mm of the hub above the survey height. ``share`` runs from 0 at
the lower bound of travel to 1 at the upper, so that the envelope is a rectangle in (steer, share)
however its upper bound bends.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags
from alignment.geometry.hubmap import HubMap
from alignment.geometry.model import Compliance, Limits
from alignment.geometry.motion import HubPoses
from common.message import Told, message
from fitment.engine.model import Duty

#: Widest gap between steer angles looked at first, degrees, and number of heights.
STEER_STEP_DEG = 6.0
HEIGHTS = 9


class RestsOnStops(Told):
    """The planned height leaves no bump travel: the car would stand on its stops."""


@dataclass(frozen=True)
class Elastic:
    """What load adds to an outside wheel: camber and toe (rad), hub inboard (mm)."""

    camber: float
    toe: float
    inboard_mm: float

    def applied(self, poses: HubPoses) -> HubPoses:
        """The same poses under load."""
        spin = frames.spin_axis(
            frames.camber_of(poses.spin) + self.camber, frames.toe_of(poses.spin) + self.toe
        )
        hub = poses.hub - np.array([0.0, self.inboard_mm, 0.0])
        tubes = poses.tubes
        if tubes is not None:  # a rod's outer end goes with the knuckle, its inner end stays
            arm = tubes[:, :, 1] - poses.hub[:, None]
            tip = frames.rotation(frames.cross(poses.spin, spin)) @ arm.transpose(0, 2, 1)
            tubes = np.stack([tubes[:, :, 0], hub[:, None] + tip.transpose(0, 2, 1)], axis=2)
        return HubPoses(hub, spin, poses.axis, tubes)


def picked(choose: Flags, one: HubPoses, other: HubPoses) -> HubPoses:
    """Row by row the poses of ``one`` where ``choose`` (n,), else those of ``other``."""
    pick = choose[:, None]
    tubes = None
    if one.tubes is not None and other.tubes is not None:
        tubes = np.where(pick[..., None, None], one.tubes, other.tubes)
    return HubPoses(
        np.where(pick, one.hub, other.hub), np.where(pick, one.spin, other.spin), tubes=tubes
    )


@dataclass(frozen=True)
class Envelope:
    """Bounds of travel over steer: ``knots`` (k, 2) of (steer, upper travel), rising in steer."""

    static_travel: float
    lower_travel: float
    knots: Array
    elastic: Elastic | None

    @property
    def steer_span(self) -> tuple[float, float]:
        """Least and greatest steer, rad."""
        return float(self.knots[0, 0]), float(self.knots[-1, 0])

    @property
    def travel_span(self) -> tuple[float, float]:
        """Lowest and highest travel anywhere in the envelope, mm."""
        return self.lower_travel, float(self.knots[:, 1].max())

    def upper_travel(self, steer: Array) -> Array:
        """Highest travel (mm) at steer angles (n,)."""
        return np.interp(steer, self.knots[:, 0], self.knots[:, 1])

    def travel(self, steer: Array, share: Array, loaded: Flags) -> Array:
        """Travel (mm) at ``share`` between the bounds; loaded poses start at static height."""
        upper = self.upper_travel(steer)
        lower = np.where(loaded, self.static_travel, self.lower_travel)
        return lower + share * (upper - lower)

    def poses(self, hubs: HubMap, steer: Array, share: Array, loaded: Flags) -> HubPoses:
        """Hub poses (n,) of the envelope, loaded where ``loaded`` says so."""
        plain = hubs(self.travel(steer, share, loaded), steer)
        if self.elastic is None or not np.any(loaded):
            return plain
        return picked(loaded, self.elastic.applied(plain), plain)

    def steer_grid(self) -> Array:
        """Steer angles for a first look: every bend of the envelope and steps between."""
        angles = self.knots[:, 0]
        parts = [
            np.linspace(
                a, b, max(1, int(np.ceil((b - a) / np.radians(STEER_STEP_DEG)))), endpoint=False
            )
            for a, b in pairwise(angles)
        ]
        return np.concatenate([*parts, angles[-1:]])


def envelope_of(
    duty: Duty,
    limits: Limits,
    bump_mm: float,
    static_travel: float,
    packer_mm: float,
    compliance: Compliance | None,
) -> Envelope:
    """Envelope of a duty at static height ``static_travel`` with ``packer_mm`` of bump packers.

    ``bump_mm`` stands for the limit's bump where that is unknown. Raises RestsOnStops when an
    upper bound lies below static height.
    """
    room_up = bump_mm - packer_mm - static_travel
    if room_up < 0:
        raise RestsOnStops(message("stop.rests-on-bump-stop", beyond_mm=-room_up))
    room_down = static_travel + limits.droop_mm
    if room_down < 0:
        raise RestsOnStops(message("stop.below-droop", below_mm=-room_down))
    bends = np.array(duty.envelope, float)
    rows = [[0.0, bends[0, 1]]]
    for sign, limit in ((-1.0, limits.steer_out_deg), (1.0, limits.steer_in_deg)):
        if limit > 0:
            rows += [[sign * fraction * np.radians(limit), bump] for fraction, bump in bends[1:]]
    knots = np.array(sorted(rows))
    knots[:, 1] = static_travel + knots[:, 1] * room_up
    elastic = None
    if compliance is not None and duty.lateral_g > 0:
        elastic = Elastic(
            np.radians(compliance.camber_deg_per_g) * duty.lateral_g,
            np.radians(compliance.toe_deg_per_g) * duty.lateral_g,
            compliance.lateral_mm_per_g * duty.lateral_g,
        )
    return Envelope(
        static_travel=static_travel,
        lower_travel=static_travel - duty.droop_fraction * room_down,
        knots=knots,
        elastic=elastic,
    )

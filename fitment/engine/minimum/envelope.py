"""The poses that a use visits at one setting.

Steer is in radians here, travel in mm of the hub above the survey height. ``share`` runs from 0 at
the lower bound of travel to 1 at the upper, so that the envelope is a rectangle in (steer, share)
however its upper bound bends.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.hubmap import HubMap
from alignment.geometry.model import Compliance, Limits
from alignment.geometry.motion import HubPoses
from common.message import Told, message
from fitment.engine.minimum.loads import Load, loads_of, picked
from fitment.engine.model import Duty

#: Widest gap between steer angles looked at first, degrees, and number of heights.
STEER_STEP_DEG = 6.0
HEIGHTS = 9


class RestsOnStops(Told):
    """The planned height leaves no bump travel: the car would stand on its stops."""


@dataclass(frozen=True)
class Envelope:
    """Bounds of travel over steer: ``knots`` (k, 2) of (steer, upper travel), rising in steer.

    Poses are of several kinds: 0 without load, and from 1 on those under each of ``loads``.
    """

    static_travel: float
    lower_travel: float
    knots: Array
    loads: tuple[Load, ...] = ()

    @property
    def kinds(self) -> int:
        """How many kinds of poses there are: without load, and under each."""
        return 1 + len(self.loads)

    def kind_of(self, load: str) -> int | None:
        """The kind of poses that a load makes; None where the duty has no such load."""
        kinds = (kind for kind, one in enumerate(self.loads, start=1) if one.name == load)
        return next(kinds, None)

    def load_name(self, kind: int) -> str:
        """The name of the load of a kind of poses, empty without load."""
        return self.loads[kind - 1].name if kind else ""

    @property
    def steer_shares(self) -> Array:
        """Up to which share of the lock the poses of each kind (kinds,) go."""
        return np.array([1.0, *(load.steer_share for load in self.loads)])

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

    def travel(self, steer: Array, share: Array, loaded: Index | Flags) -> Array:
        """Travel (mm) at ``share`` between the bounds of poses of the kinds ``loaded`` (n,)."""
        kind = np.asarray(loaded, np.intp)
        upper = np.where(self.falls[kind], self.static_travel, self.upper_travel(steer))
        lower = self.lowest[kind]
        travel: Array = lower + share * (upper - lower)
        return travel

    @cached_property
    def lowest(self) -> Array:
        """Lower bound of travel (kinds,) of poses of each kind, mm."""
        rises = [False, *(not load.falls for load in self.loads)]
        return np.where(rises, self.static_travel, self.lower_travel)

    @cached_property
    def falls(self) -> Flags:
        """Which kinds (kinds,) of poses go no higher than static height."""
        return np.array([False, *(load.falls for load in self.loads)])

    def poses(self, hubs: HubMap, steer: Array, share: Array, loaded: Index | Flags) -> HubPoses:
        """Hub poses (n,) of the envelope, under load where ``loaded`` (n,) says so."""
        return self.under_load(hubs(self.travel(steer, share, loaded), steer), loaded)

    def under_load(self, poses: HubPoses, loaded: Index | Flags) -> HubPoses:
        """Poses (n,) each under the load of its kind, which for 0 is none."""
        for kind, load in enumerate(self.loads, start=1):
            under = np.asarray(loaded, np.intp) == kind
            if np.any(under):
                poses = picked(under, load.applied(poses), poses)
        return poses

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
    return Envelope(
        static_travel=static_travel,
        lower_travel=static_travel - duty.droop_fraction * room_down,
        knots=knots,
        loads=loads_of(duty, compliance),
    )

"""The room of a corner: everything that comes near the wheel, in one meridian half-plane.

The wheel and tyre are a solid of revolution, so a body point matters only by its axial and
radial place relative to the hub. Collapsing all travel and all steering gives one picture
per setting that does not depend on the wheel: it is computed once, drawn, and any number of
wheels and tyres are held against it. Axial from the hub face, outboard positive; radius from
the spin axis; millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.hubmap import HubMap
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.envelope import HEIGHTS, Envelope
from fitment.engine.minimum.feature_curves import Course, CourseTable
from fitment.engine.minimum.motion_bounds import MotionBounds, motion_bounds_of, zone_ends
from fitment.engine.model import BODY, EDGE, LINK, STRUT_BODY, Feature


@dataclass(frozen=True)
class Moments:
    """Points on features at poses of an envelope.

    ``which`` (n,) feature; ``place`` (n, 3): steer (rad), share of the envelope's height and
    place along the feature; ``loaded`` (n,): the kind of poses of the envelope, 0 without load.
    """

    which: Index
    place: Array
    loaded: Index

    @property
    def steer(self) -> Array:
        """Steer, rad, (n,)."""
        return self.place[:, 0]

    @property
    def share(self) -> Array:
        """Share of the way from the lower to the upper bound of travel, (n,)."""
        return self.place[:, 1]

    @property
    def along(self) -> Array:
        """Place along the feature, (n,)."""
        return self.place[:, 2]

    def at(self, pick: Index | slice) -> Moments:
        """The moments that ``pick`` names."""
        return Moments(self.which[pick], self.place[pick], self.loaded[pick])

    @staticmethod
    def of_places(which: Index, places: Array, loaded: Index) -> Moments:
        """Moments at several places (n, ..., 3) of each of some features (n,), in their order."""
        count = places.size // (3 * max(len(which), 1))
        return Moments(np.repeat(which, count), places.reshape(-1, 3), np.repeat(loaded, count))

    @staticmethod
    def joined(parts: Sequence[Moments]) -> Moments:
        """All moments of some lists as one."""
        return Moments(
            np.concatenate([part.which for part in parts]),
            np.concatenate([part.place for part in parts]),
            np.concatenate([part.loaded for part in parts]),
        )


@dataclass(frozen=True)
class FeatureSweep:
    """One feature over the poses of a duty.

    ``axial_mm`` and ``radius_mm`` (kinds, n_steer, n_travel, n_samples) for every kind of poses,
    without load first; ``travel_mm`` (n_steer, n_travel) of the hub over the survey height and
    ``steer_deg`` (n_steer,) without load. Poses of a kind are at ``steer_shares`` (kinds,) of that
    steer. Features carried by knuckle or strut have one pose.
    """

    place: str
    carried_by: str
    surface: str
    shape: str
    half_thickness_mm: float
    along: Array
    axial_mm: Array
    radius_mm: Array
    travel_mm: Array
    steer_deg: Array
    steer_shares: Array

    @property
    def is_edge(self) -> bool:
        """Whether consecutive points are joined."""
        return self.shape == EDGE

    @property
    def steer(self) -> Array:
        """Steer (kinds, n_steer) of the poses, rad."""
        return np.radians(self.steer_shares[:, None] * self.steer_deg)

    @property
    def share(self) -> Array:
        """Share (n_travel,) of the way from the lower to the upper bound of travel."""
        heights = self.axial_mm.shape[2]
        return np.linspace(0.0, 1.0, heights) if heights > 1 else np.zeros(1)

    @staticmethod
    def of(
        feature: Feature,
        along: Array,
        seen: tuple[Array, Array],
        travel_mm: Array,
        steer_deg: Array,
        steer_shares: Array,
    ) -> FeatureSweep:
        """Sweep of a feature from what was seen of it, (axial, radius)."""
        return FeatureSweep(
            feature.place,
            feature.carried_by,
            feature.surface,
            feature.shape,
            feature.half_thickness_mm,
            along,
            *seen,
            travel_mm,
            steer_deg,
            steer_shares,
        )


@dataclass(frozen=True)
class StrutTurn:
    """What the knuckle's camber adjuster does to the strut body: a turn about its pivot."""

    pivot: Array
    angle_deg: float

    def __call__(self, points: Array) -> Array:
        if self.angle_deg == 0.0:
            return points
        turned: Array = (
            self.pivot
            + (points - self.pivot) @ frames.turn_about_forward(np.radians(self.angle_deg)).T
        )
        return turned


@dataclass(frozen=True)
class Room:
    """The room of one corner at one setting, and what can place any pose of it exactly.

    ``courses`` in the survey's order; ``rest_spin`` (3,) is the survey's spin axis; ``rods`` are
    the linkage's rods that are tubes of the survey, whose ends the poses of ``hubs`` carry.
    """

    corner: str
    courses: tuple[Course, ...]
    envelope: Envelope
    hubs: HubMap
    rest_spin: Array
    strut_turn: StrutTurn
    rods: tuple[int, ...] = ()

    @cached_property
    def sweeps(self) -> tuple[FeatureSweep, ...]:
        """Every feature over the envelope, on the grid of a first look."""
        return self.swept(self.steer_grid(), HEIGHTS, [course.samples() for course in self.courses])

    def steer_grid(self) -> Array:
        """Steer angles of a first look: those of the envelope, and every seam of the hub map, so
        that the shares of them at which kinds of poses lie have every seam among them, too."""
        seams = zone_ends(self.envelope, self.hubs)
        low, high = self.envelope.steer_span
        widened = [seams / share for share in np.unique(self.envelope.steer_shares)]
        ends = np.clip(np.concatenate(widened), low, high)
        return np.unique(np.concatenate([self.envelope.steer_grid(), ends]))

    def swept(
        self, steer: Array, heights: int, along: Sequence[Array | None]
    ) -> tuple[FeatureSweep, ...]:
        """Features over the envelope at ``steer`` (rad) by ``heights``, each at its ``along``.

        A feature whose ``along`` is None is left out.
        """
        grid = np.meshgrid(steer, np.linspace(0.0, 1.0, heights), indexing="ij")
        at_steer, at_share = grid[0].ravel(), grid[1].ravel()
        count = len(at_steer)
        travel = self.envelope.travel(at_steer, at_share, np.zeros(count, int))
        kinds, shares = self.envelope.kinds, self.envelope.steer_shares
        loaded = np.repeat(np.arange(kinds), count)
        all_steers = np.tile(at_steer, kinds) * shares[loaded]
        poses = self.envelope.poses(self.hubs, all_steers, np.tile(at_share, kinds), loaded)
        sweeps = []
        for index, (course, where) in enumerate(zip(self.courses, along, strict=True)):
            if where is None:
                continue
            if self.moving[index]:
                points = self._in_poses(index, where, poses)
                seen = frames.meridian(points, poses.hub[:, None], poses.spin[:, None])
                shape = (kinds, len(steer), heights, len(where))
                angles, hub_travel = np.degrees(steer), travel.reshape(len(steer), heights)
            else:
                seen = frames.meridian(self.on_knuckle(index, where), np.zeros(3), self.rest_spin)
                shape = (1, 1, 1, len(where))
                angles, hub_travel = np.zeros(1), np.full((1, 1), self.envelope.static_travel)
            axial, radius = (part.reshape(shape) for part in seen)
            sweeps.append(
                FeatureSweep.of(
                    course.feature,
                    where,
                    (axial, radius),
                    hub_travel,
                    angles,
                    shares[: len(axial)],
                )
            )
        return tuple(sweeps)

    def _in_poses(self, index: int, along: Array, poses: HubPoses) -> Array:
        """Positions (poses or 1, samples, 3) of a feature that moves against the wheel."""
        tube = self.tube_of[index]
        if tube < 0 or poses.rod_ends is None:
            return self.courses[index].at(along)[None]
        inner, outer = poses.rod_ends[:, tube].transpose(1, 0, 2)
        points: Array = inner[:, None] + along[:, None] * (outer - inner)[:, None]
        return points

    def on_knuckle(self, index: int, along: Array) -> Array:
        """Positions (samples, 3) of a feature that knuckle or strut carries, as set up."""
        points = self.courses[index].at(along)
        on_strut = self.courses[index].feature.carried_by == STRUT_BODY
        return self.strut_turn(points) if on_strut else points

    def meridian(self, spots: Moments) -> tuple[Array, Array]:
        """Axial and radius (n,) of spots."""
        return frames.meridian(*self.seen(spots))

    def seen(self, spots: Moments) -> tuple[Array, Array, Array]:
        """Positions, hub centres and spin axes (n, 3) of spots, in the corner frame."""
        return self.seen_in(spots, self.poses(spots))

    def poses(self, spots: Moments) -> HubPoses:
        """The poses (n,) in which spots are seen."""
        return self.envelope.poses(self.hubs, spots.steer, spots.share, spots.loaded)

    def seen_in(
        self, spots: Moments, poses: HubPoses, on_strut: Array | None = None
    ) -> tuple[Array, Array, Array]:
        """The same in given ``poses`` (n,), with strut-carried spots at ``on_strut`` (n, 3).

        Without ``on_strut`` the strut is as set up. What knuckle or strut carries is seen from
        the hub at rest; a tube from its rod's ends.
        """
        points = self._table.at(spots.which, spots.along)
        turned = np.flatnonzero(self._on_strut[spots.which])
        if len(turned):
            there = self.strut_turn(points[turned]) if on_strut is None else on_strut[turned]
            points[turned] = there
        tube = np.flatnonzero(self.tube_of[spots.which] >= 0)
        if len(tube) and poses.rod_ends is not None:
            inner, outer = poses.rod_ends[tube, self.tube_of[spots.which[tube]]].transpose(1, 0, 2)
            points[tube] = inner + spots.along[tube, None] * (outer - inner)
        moving = self.moving[spots.which][:, None]
        hub = np.where(moving, poses.hub, 0.0)
        return points, hub, np.where(moving, poses.spin, self.rest_spin)

    def at_rest(self, spots: Moments) -> Array:
        """Positions (n, 3) of spots as surveyed, tubes left out."""
        return self._table.at(spots.which, spots.along)

    @cached_property
    def _on_strut(self) -> Flags:
        return self._carried(STRUT_BODY)

    def _carried(self, by: str) -> Flags:
        return np.array([course.feature.carried_by == by for course in self.courses])

    @cached_property
    def _table(self) -> CourseTable:
        return CourseTable(self.courses)

    @cached_property
    def moving(self) -> Flags:
        """Which features (n,) move against the wheel: those of the body, and tubes."""
        return self._carried(BODY) | self._carried(LINK)

    @cached_property
    def tube_of(self) -> Index:
        """For every feature the place of its rod among the poses' tubes; -1 for none."""
        rods = rods_carrying(self.courses)
        return np.array(
            [rods.index(c.feature.link) if c.feature.link else -1 for c in self.courses]
        )

    @cached_property
    def carrier(self) -> Index:
        """For every feature (n,) whose motion bounds its own: 0 the body, then tubes, last rest."""
        still = 1 + len(self.rods)
        return np.where(self.moving, self.tube_of + 1, still)

    @cached_property
    def motion_bounds(self) -> MotionBounds:
        """What bounds the motion of the features."""
        return motion_bounds_of(self.envelope, self.hubs, len(self.rods))

    def along_speeds(self, which: Index, low: Array, high: Array) -> tuple[Array, Array]:
        """Bounds (n,) of first and second derivatives of position along features, mm."""
        return self._table.speeds(which, low, high)

    @cached_property
    def half_thickness_mm(self) -> Array:
        """Half thickness (n,) of every feature, mm."""
        return np.array([course.feature.half_thickness_mm for course in self.courses])


def rods_carrying(courses: tuple[Course, ...]) -> list[str]:
    """Names of the rods that are tubes of the survey, each once, in order."""
    return list(dict.fromkeys(c.feature.link for c in courses if c.feature.link))

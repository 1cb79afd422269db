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
from fitment.engine.envelope import HEIGHTS, Envelope
from fitment.engine.model import BODY, EDGE, STRUT_BODY
from fitment.engine.points import Course, CourseTable


@dataclass(frozen=True)
class Spots:
    """Points on features at poses of an envelope.

    ``which`` (n,) feature; ``place`` (n, 3): steer (rad), share of the envelope's height and
    place along the feature; ``loaded`` (n,): with the elastic changes of an outside wheel.
    """

    which: Index
    place: Array
    loaded: Flags

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

    def at(self, pick: Index | slice) -> Spots:
        """The spots that ``pick`` names."""
        return Spots(self.which[pick], self.place[pick], self.loaded[pick])

    def like(self, place: Array) -> Spots:
        """Spots at other places (m, 3) of this single spot's feature and load."""
        count = len(place)
        return Spots(np.repeat(self.which, count), place, np.repeat(self.loaded, count))

    @staticmethod
    def joined(parts: Sequence[Spots]) -> Spots:
        """All spots of some lists as one."""
        return Spots(
            np.concatenate([part.which for part in parts]),
            np.concatenate([part.place for part in parts]),
            np.concatenate([part.loaded for part in parts]),
        )


@dataclass(frozen=True)
class FeatureSweep:
    """One feature over the poses of a duty.

    ``axial_mm`` and ``radius_mm`` (n_steer, n_travel, n_samples), the same for loaded poses
    or None; ``travel_mm`` (n_steer, n_travel) of the hub over the survey height,
    ``steer_deg`` (n_steer,). Features carried by knuckle or strut have one pose.
    """

    place: str
    carried_by: str
    surface: str
    shape: str
    half_thickness_mm: float
    along: Array
    axial_mm: Array
    radius_mm: Array
    loaded_axial_mm: Array | None
    loaded_radius_mm: Array | None
    travel_mm: Array
    steer_deg: Array

    @property
    def is_edge(self) -> bool:
        """Whether consecutive points are joined."""
        return self.shape == EDGE


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
    """The room of one corner at one setting, and what can place any pose of it exactly."""

    corner: str
    sweeps: tuple[FeatureSweep, ...]
    courses: tuple[Course, ...]
    envelope: Envelope
    hubs: HubMap
    rest_spin: Array
    strut_turn: StrutTurn

    def meridian(self, spots: Spots) -> tuple[Array, Array]:
        """Axial and radius (n,) of spots."""
        return frames.meridian(self.points(spots), *self.wheel(spots))

    def wheel(self, spots: Spots) -> tuple[Array, Array]:
        """Hub centres and spin axes (n, 3) that spots are seen from; at rest if carried."""
        poses = self.envelope.poses(self.hubs, spots.steer, spots.share, spots.loaded)
        moving = self.moving[spots.which][:, None]
        return np.where(moving, poses.hub, 0.0), np.where(moving, poses.spin, self.rest_spin)

    def points(self, spots: Spots, strut_turn: StrutTurn | None = None) -> Array:
        """Positions (n, 3) of spots in the corner frame.

        Features carried by knuckle or strut are given where they sit on the knuckle as set up,
        or as ``strut_turn`` would set the strut.
        """
        points = self._table.at(spots.which, spots.along)
        turned = self._on_strut[spots.which]
        if np.any(turned):
            points[turned] = (strut_turn or self.strut_turn)(points[turned])
        return points

    @cached_property
    def _table(self) -> CourseTable:
        return CourseTable(self.courses)

    @cached_property
    def _on_strut(self) -> Flags:
        return np.array([course.feature.carried_by == STRUT_BODY for course in self.courses])

    @cached_property
    def moving(self) -> Flags:
        """Which features (n,) move against the wheel: those that the body carries."""
        return np.array([course.feature.carried_by == BODY for course in self.courses])

    @cached_property
    def half_thickness_mm(self) -> Array:
        """Half thickness (n,) of every feature, mm."""
        return np.array([course.feature.half_thickness_mm for course in self.courses])


def room_of(
    name: str,
    courses: tuple[Course, ...],
    envelope: Envelope,
    hubs: HubMap,
    rest_spin: Array,
    strut_turn: StrutTurn,
) -> Room:
    """Collapse features over an envelope; ``rest_spin`` (3,) is the survey's spin axis."""
    steer = envelope.steer_grid()
    share = np.linspace(0.0, 1.0, HEIGHTS)
    grid_steer, grid_share = (part.ravel() for part in np.meshgrid(steer, share, indexing="ij"))
    shape = (len(steer), len(share))
    kinds = [False] if envelope.elastic is None else [False, True]
    poses = [
        envelope.poses(hubs, grid_steer, grid_share, np.full(len(grid_steer), loaded))
        for loaded in kinds
    ]
    travel = envelope.travel(grid_steer, grid_share, np.zeros(len(grid_steer), bool)).reshape(shape)
    sweeps = []
    for course in courses:
        feature, along = course.feature, course.samples()
        points = course.at(along)
        swept: list[tuple[Array, Array]] = []
        if feature.carried_by == BODY:
            for pose in poses:
                axial, radius = frames.meridian(points, pose.hub[:, None], pose.spin[:, None])
                swept.append((axial.reshape(*shape, -1), radius.reshape(*shape, -1)))
            heights, angles = travel, np.degrees(steer)
        else:
            held = strut_turn(points) if feature.carried_by == STRUT_BODY else points
            axial, radius = frames.meridian(held, np.zeros(3), rest_spin)
            swept.append((axial[None, None], radius[None, None]))
            heights, angles = np.full((1, 1), envelope.static_travel), np.zeros(1)
        loaded_axial, loaded_radius = swept[1] if len(swept) > 1 else (None, None)
        sweeps.append(
            FeatureSweep(
                place=feature.place,
                carried_by=feature.carried_by,
                surface=feature.surface,
                shape=feature.shape,
                half_thickness_mm=feature.half_thickness_mm,
                along=along,
                axial_mm=swept[0][0],
                radius_mm=swept[0][1],
                loaded_axial_mm=loaded_axial,
                loaded_radius_mm=loaded_radius,
                travel_mm=heights,
                steer_deg=angles,
            )
        )
    return Room(name, tuple(sweeps), courses, envelope, hubs, rest_spin, strut_turn)

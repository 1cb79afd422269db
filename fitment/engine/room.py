"""The room of a corner: everything that comes near the wheel, in one meridian half-plane.

The wheel and tyre are a solid of revolution, so a body point matters only by its axial and
radial place relative to the hub. Collapsing all travel and all steering gives one picture
per setting that does not depend on the wheel: it is computed once, drawn, and any number of
wheels and tyres are held against it. Axial from the hub face, outboard positive; radius from
the spin axis; millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.hubmap import HubMap
from fitment.engine.envelope import HEIGHTS, Envelope
from fitment.engine.model import BODY, STRUT_BODY
from fitment.engine.points import Course, CourseTable


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

    def points(self, which: Array, along: Array) -> Array:
        """Positions (n, 3) at ``along`` of the features ``which`` (n,), in the corner frame.

        Features carried by knuckle or strut are given where they sit on the knuckle as set up.
        """
        points = self._table.at(which, along)
        turned = self._on_strut[which]
        if np.any(turned):
            points[turned] = self.strut_turn(points[turned])
        return points

    @cached_property
    def _table(self) -> CourseTable:
        return CourseTable(self.courses)

    @cached_property
    def _on_strut(self) -> Array:
        return np.array([course.feature.carried_by == STRUT_BODY for course in self.courses])

    @cached_property
    def moving(self) -> Array:
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
    """Collapse a corner's features over an envelope; ``rest_spin`` (3,) is the survey's spin axis."""
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

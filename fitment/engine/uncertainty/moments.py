"""The moments of a corner at which its clearances are made linear.

For every feature its tightest moment, then others that could be its tightest if the inputs were a
little different: the other lock, the other end of travel, another reading of an edge. To first
order a clearance answers to two things alone, where the feature's point goes and how the wheel
turns, so both slopes are found once and serve every input that moves them. Millimetres, radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Index
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.solid.section import Section

#: Step of the central differences of the section's distance, mm: of the size of what is uncertain,
#: so that a corner of the solid counts by both of its sides.
STEP_MM = 1.0


@dataclass(frozen=True)
class LinearMoments:
    """m moments of n features, the first n of them the tightest of each, in the survey's order.

    ``points``, ``hub`` and ``spin`` (m, 3) is what is seen there, ``axial_mm`` and ``radius_mm``
    (m,) where that lies about the wheel. A clearance grows by ``push`` (m, 3) per mm that its
    point moves against the hub, and by ``turn`` (m, 3) per rad that the wheel turns about it.
    """

    spots: Moments
    clearance_mm: Array
    points: Array
    hub: Array
    spin: Array
    axial_mm: Array
    radius_mm: Array
    push: Array
    turn: Array

    @property
    def which(self) -> Index:
        """The feature (m,) of every moment."""
        return self.spots.which

    def at(self, pick: Index) -> LinearMoments:
        """The moments that ``pick`` names."""
        return LinearMoments(
            self.spots.at(pick),
            *(getattr(self, one.name)[pick] for one in fields(self) if one.name != "spots"),
        )

    def joined(self, more: Sequence[LinearMoments]) -> LinearMoments:
        """These moments and others behind them."""
        every = (self, *more)
        return LinearMoments(
            Moments.joined([one.spots for one in every]),
            *(
                np.concatenate([getattr(one, field.name) for one in every])
                for field in fields(self)
                if field.name != "spots"
            ),
        )

    def tilt(self, camber: Array, toe: Array) -> tuple[Array, Array]:
        """By how much clearances (m,) grow per rad of camber and of toe at these angles (m,)."""
        away = self.points - self.hub
        out = away - self.axial_mm[:, None] * self.spin
        lean = np.sum(self.turn * frames.cross(self.spin, out), axis=1)
        lean = lean / np.maximum(np.sum(out * out, axis=1), 1e-9)
        by_camber = np.stack(
            [-np.sin(toe) * np.sin(camber), -np.cos(toe) * np.sin(camber), -np.cos(camber)], axis=-1
        )
        by_toe = np.stack([np.cos(toe), -np.sin(toe), np.zeros(len(toe))], axis=-1)
        by_toe *= np.cos(camber)[:, None]
        return (
            np.asarray(lean * np.sum(out * by_camber, axis=1), float),
            np.asarray(lean * np.sum(out * by_toe, axis=1), float),
        )


def along_face(
    moments: LinearMoments, more_mm: Array, places: Array, slopes: Array
) -> LinearMoments:
    """The same spots (m,) against another face, which is ``more_mm`` farther away.

    ``slopes`` (m, 2) are those of its distance along axial and radius; what a changed dimension
    does to it is read off at ``places`` (m, 2).
    """
    spin = moments.spin
    out = _outward(moments.points - moments.hub, moments.axial_mm, spin)
    lean = slopes[:, 0] * moments.radius_mm - slopes[:, 1] * moments.axial_mm
    return replace(
        moments,
        clearance_mm=moments.clearance_mm + more_mm,
        axial_mm=places[:, 0],
        radius_mm=places[:, 1],
        push=slopes[:, :1] * spin + slopes[:, 1:] * out,
        turn=lean[:, None] * frames.cross(spin, out),
    )


def moments_of(
    room: Room,
    section: Section,
    spots: Moments,
    clearance_mm: Array,
    poses: HubPoses | None = None,
) -> LinearMoments:
    """Moments at these spots, with the slopes of their clearances; in their own poses or given."""
    points, hub, spin = room.seen_in(spots, room.poses(spots) if poses is None else poses)
    axial, radius = frames.meridian(points, hub, spin)
    steps_a = axial + STEP_MM * np.array([[1.0], [-1.0], [0.0], [0.0]])
    steps_r = radius + STEP_MM * np.array([[0.0], [0.0], [1.0], [-1.0]])
    gaps = section.distance(steps_a, np.maximum(steps_r, 0.0))
    by_axial, by_radius = (gaps[0] - gaps[1]) / (2 * STEP_MM), (gaps[2] - gaps[3]) / (2 * STEP_MM)
    out = _outward(points - hub, axial, spin)
    push = by_axial[:, None] * spin + by_radius[:, None] * out
    turn = (by_axial * radius - by_radius * axial)[:, None] * frames.cross(spin, out)
    return LinearMoments(spots, clearance_mm, points, hub, spin, axial, radius, push, turn)


def _outward(away: Array, axial_mm: Array, spin: Array) -> Array:
    """Unit vectors (m, 3) square to spin axes towards places ``away`` (m, 3) from the hub."""
    out = away - axial_mm[:, None] * spin
    return np.asarray(out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-9), float)

"""Survey features as curves in space.

Turns a feature's points into positions in the corner frame at any parameter along it. A
feature of k points is a run of k - 1 pieces if it is an edge and k lone points otherwise;
``along`` counts pieces from its first point: 2.25 is a quarter into the third piece.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Index
from alignment.geometry.motion import HubPoses
from fitment.engine.model import BODY, EDGE, LINK, Feature

#: Longest step between samples along an edge for a first look, mm.
SAMPLE_STEP_MM = 40.0
#: The same along edges that do not move against the wheel.
STILL_STEP_MM = 4.0


@dataclass(frozen=True)
class Course:
    """A feature's course in the corner frame.

    ``knots`` (k, 3) holds clock (rad), radius, axial where ``polar``, else x, y, z;
    ``hub`` (3,) and ``spin`` (3,) are the pose in which the polar readings were taken.
    """

    feature: Feature
    knots: Array
    polar: bool
    hub: Array
    spin: Array

    @property
    def is_edge(self) -> bool:
        """Whether consecutive points are joined."""
        return self.feature.shape == EDGE

    def at(self, along: Array) -> Array:
        """Positions (..., 3) in the corner frame at parameters ``along`` of any shape."""
        along = np.asarray(along, float)
        index = np.clip(along.astype(int), 0, max(len(self.knots) - 2, 0))
        share = (along - index)[..., None]
        following = self.knots[np.minimum(index + 1, len(self.knots) - 1)]
        mixed: Array = self.knots[index] + share * (following - self.knots[index])
        if not self.polar:
            return mixed
        return self.hub + frames.cylindrical_point(
            mixed[..., 0], mixed[..., 1], mixed[..., 2], self.spin
        )

    def samples(self) -> Array:
        """Parameters for a first look: every point, and edges at steps of SAMPLE_STEP_MM."""
        knots = np.arange(len(self.knots), dtype=float)
        if not self.is_edge:
            return knots
        at = self.at(knots)
        if self.polar:  # the arc is longer than its chord
            at = np.stack(
                [self.knots[:, 0] * self.knots[:, 1].mean(), self.knots[:, 1], self.knots[:, 2]],
                axis=-1,
            )
        widest = SAMPLE_STEP_MM if self.feature.carried_by in (BODY, LINK) else STILL_STEP_MM
        length = np.linalg.norm(np.diff(at, axis=0), axis=1)
        parts = [
            np.linspace(i, i + 1, max(1, int(np.ceil(step / widest))), endpoint=False)
            for i, step in enumerate(length)
        ]
        return np.concatenate([*parts, [knots[-1]]])


def tube_course(feature: Feature, inner: Array, outer: Array) -> Course:
    """Course of a tube between a rod's joints, as surveyed; poses give its ends elsewhere."""
    return Course(feature, np.stack([inner, outer]), False, np.zeros(3), outer - inner)


def course_of(feature: Feature, spin: Array, taken: HubPoses | None = None) -> Course:
    """Course of a feature surveyed with spin axis ``spin`` (3,), or in the one pose ``taken``."""
    hub = np.zeros(3)
    if taken is not None:  # the same car axes, but about the hub and wheel of that pose
        hub, spin = taken.hub[0], taken.spin[0]
    if feature.xyz_mm:
        knots = hub + np.array(feature.xyz_mm, float)
        return Course(feature, knots, False, hub, spin)
    knots = np.array(
        [[np.radians(p.clock_deg), p.radius_mm, p.axial_mm] for p in feature.points], float
    )
    return Course(feature, knots, True, hub, spin)


def looked_at(feature: Feature) -> float:
    """Places along a feature that a first look takes, in such as are looked at in every pose."""
    moves = feature.carried_by in (BODY, LINK)
    places = len(course_of(feature, np.array([0.0, 1.0, 0.0])).samples())
    return float(places) if moves else places * STILL_STEP_MM / SAMPLE_STEP_MM


class CourseTable:
    """Many courses in one table, so that points along any of them come from one expression."""

    def __init__(self, courses: tuple[Course, ...]) -> None:
        counts = np.array([len(course.knots) for course in courses])
        self.first = np.concatenate([[0], np.cumsum(counts)[:-1]])
        self.pieces = counts - 1
        self.knots = np.concatenate([course.knots for course in courses])
        self.polar = np.array([course.polar for course in courses])
        self.hub = np.array([course.hub for course in courses])
        self.spin = np.array([course.spin for course in courses])
        self.up, self.forward = frames.wheel_axes(self.spin)

    def at(self, which: Index, along: Array) -> Array:
        """Positions (n, 3) at parameters ``along`` (n,) of the courses ``which`` (n,)."""
        pieces = self.pieces[which]
        index = np.clip(along.astype(int), 0, np.maximum(pieces - 1, 0))
        share = (along - index)[:, None]
        row = self.first[which] + index
        here = self.knots[row]
        mixed = here + share * (self.knots[np.minimum(row + 1, self.first[which] + pieces)] - here)
        clock, radius, axial = mixed[:, 0:1], mixed[:, 1:2], mixed[:, 2:3]
        round_hub = (
            self.hub[which]
            + axial * self.spin[which]
            + radius * (np.cos(clock) * self.up[which] + np.sin(clock) * self.forward[which])
        )
        points: Array = np.where(self.polar[which, None], round_hub, mixed)
        return points

    def speeds(self, which: Index, low: Array, high: Array) -> tuple[Array, Array]:
        """Bounds (n,) of |dp/dalong| and |d²p/dalong²| between ``low`` and ``high`` (n,), mm.

        Both lie in one piece. Zero for lone points.
        """
        pieces = self.pieces[which]
        index = np.clip(((low + high) / 2).astype(int), 0, np.maximum(pieces - 1, 0))
        row = self.first[which] + index
        here = self.knots[row]
        run = self.knots[np.minimum(row + 1, self.first[which] + pieces)] - here
        share = np.stack([low - index, high - index])
        radius = np.abs(here[:, 1] + share * run[:, 1]).max(axis=0)
        polar = self.polar[which]
        turn = np.abs(run[:, 0])
        round_hub = np.where(polar, radius * turn, turn)
        first = np.sqrt(round_hub**2 + run[:, 1] ** 2 + run[:, 2] ** 2)
        second = np.where(polar, radius * turn**2 + 2 * np.abs(run[:, 1]) * turn, 0.0)
        still = low == high
        return np.where(still, 0.0, first), np.where(still, 0.0, second)

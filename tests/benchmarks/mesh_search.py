"""The same minimum found with triangle meshes, for comparison.

The wheel and tyre are turned into meshes as coarse as a twentieth of a millimetre allows, each
feature is a mesh, and python-fcl measures between them: over the same grid of poses as the
engine's first look, then by a pattern search in travel and steer from the best hollows. Only
the time inside python-fcl is counted: poses and meshes are given to it.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import fcl
import numpy as np
import trimesh
from numpy.typing import NDArray

from alignment.geometry.frames import wheel_axes
from fitment.engine.minimum.envelope import HEIGHTS
from fitment.engine.minimum.room import Room
from fitment.engine.model import EDGE
from fitment.engine.solid.section import Section

Array = NDArray[np.float64]

FACETS = 240
SLIVERS = 32
HOLLOWS = 3
SMALLEST_STEP = 2.0**-7


@dataclass
class MeshSearch:
    """Mesh distances of one room; ``seconds`` and ``queries`` add up."""

    room: Room
    section: Section
    seconds: float = 0.0
    cpu_seconds: float = 0.0
    queries: int = 0

    def __post_init__(self) -> None:
        self.use(self.section)
        self.obstacles = [self._obstacle(index) for index in range(len(self.room.courses))]

    def use(self, section: Section) -> None:
        """Mesh another wheel and tyre, with the tree that python-fcl measures by."""
        vertices, faces, count = [], [], 0
        for outline in (section.tyre_outline_mm, section.rim_outline_mm):
            line = np.stack([outline[:, 1], outline[:, 0]], axis=-1)
            line[:, 0] /= 0.5 + 0.5 * np.cos(np.pi / FACETS)
            mesh = trimesh.creation.revolve(np.vstack([line, line[:1]]), sections=FACETS)
            vertices.append(mesh.vertices)
            faces.append(mesh.faces + count)
            count += len(mesh.vertices)
        self.triangles = sum(len(part) for part in faces)
        self.solid = _model(np.concatenate(vertices), np.concatenate(faces))

    def _obstacle(self, index: int) -> fcl.CollisionObject:
        course = self.room.courses[index]
        last = len(course.knots) - 1
        if course.feature.shape == EDGE:
            points = course.at(np.linspace(0, last, 1 + SLIVERS * last))
            pairs = np.stack([points[:-1], points[1:]], axis=1)
        else:
            points = course.at(np.arange(last + 1.0))
            pairs = np.stack([points, points + np.array([1e-5, 0.0, 0.0])], axis=1)
        third = pairs[:, 1:] + np.array([0.0, 1e-5, 1e-5])
        vertices = np.concatenate([pairs, third], axis=1).reshape(-1, 3)
        faces = np.arange(len(vertices)).reshape(-1, 3)
        return fcl.CollisionObject(_model(vertices, faces), fcl.Transform())

    def distances(self, index: int, hub: Array, spin: Array) -> Array:
        """Distances (n,) of one feature to the solid in poses (n, 3)."""
        up, forward = wheel_axes(spin)
        turns = np.stack([up, forward, spin], axis=-1)
        places = [fcl.Transform(turn, at) for turn, at in zip(turns, hub, strict=True)]
        request, other, found = fcl.DistanceRequest(), self.obstacles[index], []
        wheel = fcl.CollisionObject(self.solid, fcl.Transform())
        begin, cpu = time.perf_counter(), time.process_time()
        for place in places:
            wheel.setTransform(place)
            found.append(fcl.distance(wheel, other, request, fcl.DistanceResult()))
        self.seconds += time.perf_counter() - begin
        self.cpu_seconds += time.process_time() - cpu
        self.queries += len(places)
        clear: Array = np.array(found) - self.room.half_thickness_mm[index]
        return clear

    def least(self, index: int) -> float:
        """Least clearance of one feature over all poses, mm."""
        if not self.room.moving[index]:
            return float(self.distances(index, np.zeros((1, 3)), self.room.rest_spin[None])[0])
        envelope, steer = self.room.envelope, self.room.envelope.steer_grid()
        share = np.linspace(0.0, 1.0, HEIGHTS)
        grid = np.stack([part.ravel() for part in np.meshgrid(steer, share, indexing="ij")], -1)
        step = np.array([np.max(np.diff(steer)) if len(steer) > 1 else 0.0, share[1]]) / 2
        best = np.inf
        for kind, part in enumerate(envelope.steer_shares):
            there = grid * [part, 1.0]
            gaps = self._at(index, there, kind)
            for start in np.argsort(gaps)[:HOLLOWS]:
                best = min(best, self._down(index, there, there[start], gaps[start], step, kind))
        return best

    def _down(
        self, index: int, grid: Array, place: Array, value: float, step: Array, kind: int
    ) -> float:
        arms = np.array([(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j], float)
        arms = arms[np.all((arms == 0) | (step > 0), axis=1)]
        scale = 1.0
        while scale > SMALLEST_STEP:
            trial = np.clip(place + scale * step * arms, grid.min(axis=0), grid.max(axis=0))
            gaps = self._at(index, trial, kind)
            arm = int(np.argmin(gaps))
            if gaps[arm] < value - 1e-9:
                place, value = trial[arm], float(gaps[arm])
            else:
                scale /= 2
        return value

    def _at(self, index: int, place: Array, kind: int) -> Array:
        room = self.room
        poses = room.envelope.poses(room.hubs, place[:, 0], place[:, 1], np.full(len(place), kind))
        return self.distances(index, poses.hub, poses.spin)


def _model(vertices: Array, faces: NDArray[np.intp]) -> fcl.BVHModel:
    model = fcl.BVHModel()
    model.beginModel(len(vertices), len(faces))
    model.addSubModel(np.asarray(vertices, float), np.asarray(faces, np.int32))
    model.endModel()
    return model

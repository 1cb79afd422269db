"""Clearances against triangle meshes: trimesh builds the solid, python-fcl measures to it.

The naive section is turned about the spin axis into tyre and rim meshes; every obstacle is a
mesh of its own. Where a wheel is clear, the least distance of triangles is the clearance.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from alignment.geometry.model import KINDS
from fitment.engine.check import run
from fitment.engine.model import BODY, EDGE, KNUCKLE, LINK, STRUT_BODY, Feature, SpotAnswer
from tests.engine.brute import Brute
from tests.engine.random_corners import random_check, the_corner
from tests.nights import day_and_night

Array = NDArray[np.float64]

AGREE_MM = 0.05
#: Meshes know no inside: only places that are clear by more than this are compared.
CLEAR_MM = 0.3
#: Facets round the wheel: at 320 mm radius they lie within 0.007 mm of the circle.
FACETS = 480
#: How far outline points may leave the naive curve, mm, so that meshes stay small.
OUTLINE_MM = 0.004


class Solid:
    """Tyre and rim of a corner as collision models."""

    def __init__(self, brute: Brute) -> None:
        import trimesh

        self.parts = []
        for path in (brute.section.tyre_path(), brute.section.rim_path()):
            outline = _simplified(path) + np.array([brute.section.shift, 0.0])
            # Half of the facets' sagitta is given back, so that they straddle the circle.
            outline[:, 1] /= 0.5 + 0.5 * np.cos(np.pi / FACETS)
            line = np.stack([outline[:, 1], outline[:, 0]], axis=-1)
            mesh = trimesh.creation.revolve(np.vstack([line, line[:1]]), sections=FACETS)
            self.parts.append(_model(mesh.vertices, mesh.faces))

    def distance(self, obstacle: object, hub: Array, spin: Array) -> float:
        """Least distance of an obstacle (in the corner frame) to the solid at a pose, mm."""
        import fcl

        up = np.array([0.0, 0.0, 1.0]) - spin[2] * spin
        up /= np.linalg.norm(up)
        place = fcl.Transform(np.column_stack([up, np.cross(spin, up), spin]), hub)
        other = fcl.CollisionObject(obstacle, fcl.Transform())
        return min(
            fcl.distance(
                fcl.CollisionObject(part, place), other, fcl.DistanceRequest(), fcl.DistanceResult()
            )
            for part in self.parts
        )


def obstacle_of(brute: Brute, feature: Feature) -> object:
    """A feature as slivers of triangles: an edge's pieces, or a speck at every point."""
    count = len(feature.points or feature.xyz_mm)
    if feature.shape == EDGE:
        points = brute.point(feature, np.linspace(0, count - 1, 1 + 60 * (count - 1)))
        pairs = np.stack([points[:-1], points[1:]], axis=1)
    else:
        points = brute.point(feature, np.arange(float(count)))
        pairs = np.stack([points, points + np.array([1e-5, 0.0, 0.0])], axis=1)
    third = pairs[:, 1] + np.array([0.0, 1e-5, 1e-5])
    vertices = np.concatenate([pairs, third[:, None]], axis=1).reshape(-1, 3)
    return _model(vertices, np.arange(len(vertices)).reshape(-1, 3))


def agrees_with_the_mesh(seed: int) -> int:
    """Number of places of one random corner that were compared."""
    check = random_check(seed)
    corner = the_corner(check)
    (answer,) = run(check).corners.values()
    brute = Brute(corner, check.duty)
    solid, compared = Solid(brute), 0
    for feature, place in zip(corner.survey.features, answer.places, strict=True):
        if place.to_solid_mm < CLEAR_MM:
            continue
        compared += 1
        stated = place.to_solid_mm + feature.half_thickness_mm
        where = f"seed {seed}, {feature.place}"
        if feature.link:
            tube_agrees_with_the_mesh(brute, solid, feature, place, where)
            continue
        obstacle = obstacle_of(brute, feature)
        if feature.carried_by != BODY:
            there = solid.distance(obstacle, np.zeros(3), brute.rest)
            assert there == pytest.approx(stated, abs=AGREE_MM), where
            continue
        steer, share = moment_of(brute, place)
        hub, spin = brute.poses(steer, share, place.at.load)
        there = solid.distance(obstacle, hub[0], spin[0])
        assert there == pytest.approx(stated, abs=AGREE_MM), where
        elsewhere = [
            solid.distance(obstacle, *pose)
            for load in brute.kinds
            for pose in zip(*some_poses(brute, load), strict=True)
        ]
        assert min(elsewhere) > stated - AGREE_MM, f"{where}: closer in another pose"
    return compared


def moment_of(brute: Brute, place: SpotAnswer) -> tuple[Array, Array]:
    """Steer (rad) and share of travel, (1,) each, at which a place is tightest."""
    steer = np.radians([place.at.steer_deg])
    lower, upper = brute.lower(place.at.load), float(brute.upper(steer, place.at.load)[0])
    return steer, np.array([(brute.z0 + place.at.travel_mm - lower) / (upper - lower)])


def tube_agrees_with_the_mesh(
    brute: Brute, solid: Solid, feature: Feature, place: SpotAnswer, where: str
) -> None:
    """A rod goes with the wheel, so every pose has an obstacle of its own."""

    def gaps(steer: Array, share: Array, load: str) -> list[float]:
        poses = zip(
            *brute.poses(steer, share, load),
            *brute.rod(feature.link, steer, share, load),
            strict=True,
        )
        return [
            solid.distance(_speck(inner, outer), hub, spin) - feature.half_thickness_mm
            for hub, spin, inner, outer in poses
        ]

    (there,) = gaps(*moment_of(brute, place), place.at.load)
    assert there == pytest.approx(place.to_solid_mm, abs=AGREE_MM), where
    elsewhere = [gap for load in brute.kinds for gap in gaps(*_grid(brute, load), load)]
    assert min(elsewhere) > place.to_solid_mm - AGREE_MM, f"{where}: closer in another pose"


def _speck(start: Array, end: Array) -> object:
    """A straight line as one sliver of a triangle."""
    return _model(np.stack([start, end, end + np.array([0.0, 1e-5, 1e-5])]), np.arange(3)[None])


def _grid(brute: Brute, load: str) -> tuple[Array, Array]:
    """Steer (rad) and share of travel (n,) all over the envelope."""
    low, high = brute.steers(load)
    steers = np.linspace(low, high, 9)
    if low == high:
        steers = np.zeros(1)
    steer, share = (part.ravel() for part in np.meshgrid(steers, np.linspace(0, 1, 5)))
    return steer, share


def some_poses(brute: Brute, load: str) -> tuple[Array, Array]:
    """A grid of poses over the envelope: hubs and spin axes (n, 3)."""
    return brute.poses(*_grid(brute, load), load)


#: Corners with a rod as a tube that is clear, loaded and not.
TUBES = (228, 233, 268, 313)


#: A share that has every kind of suspension, and of place and carrier that is clear.
BY_DAY = (200, 201, 203, 206, 207, 208)


@pytest.mark.parametrize(
    "seed", day_and_night([*BY_DAY, *TUBES], [*range(200, 220), *range(2000, 2200)])
)
def test_clearances_agree_with_triangle_meshes(seed: int) -> None:
    agrees_with_the_mesh(seed)


def clear_places(seeds: Iterable[int]) -> Iterator[tuple[str, SpotAnswer]]:
    """Places that are compared, each with the kind of its suspension."""
    for seed in seeds:
        check = random_check(seed)
        for answer in run(check).corners.values():
            for place in answer.places:
                if place.to_solid_mm >= CLEAR_MM:
                    yield the_corner(check).suspension.kind, place


def test_clear_places_of_every_kind_are_compared_by_day() -> None:
    """Guards the comparison above against comparing nothing."""
    found = list(clear_places(BY_DAY))
    assert len(found) > 20
    assert {kind for kind, _ in found} == set(KINDS)
    assert {place.carried_by for _, place in found} == {BODY, KNUCKLE, LINK, STRUT_BODY}
    assert {place.at.loaded for _, place in found} == {True, False}


def test_some_of_the_tubes_are_clear_so_that_they_are_compared() -> None:
    found = [place.at.loaded for _, place in clear_places(TUBES) if place.carried_by == LINK]
    assert len(found) >= 4
    assert {True, False} == set(found)


def _model(vertices: Array, faces: Array) -> object:
    import fcl

    model = fcl.BVHModel()
    model.beginModel(len(vertices), len(faces))
    model.addSubModel(np.asarray(vertices, float), np.asarray(faces, np.int32))
    model.endModel()
    return model


def _simplified(path: Array) -> Array:
    """A fine closed path without the points that straight pieces replace within OUTLINE_MM."""
    keep, first = [0], 0
    for last in range(2, len(path)):
        run_ = path[last] - path[first]
        between = path[first + 1 : last] - path[first]
        length = np.hypot(*run_)
        off = np.abs(between[:, 0] * run_[1] - between[:, 1] * run_[0]) / max(length, 1e-12)
        if np.max(off) > OUTLINE_MM:
            first = last - 1
            keep.append(first)
    keep.append(len(path) - 1)
    return path[keep].copy()

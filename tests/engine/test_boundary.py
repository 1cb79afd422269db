"""Distances to a boundary, against every segment measured one by one."""

from __future__ import annotations

import numpy as np
import pytest

from alignment.geometry.frames import Array
from fitment.engine.solid.boundary import CHUNK, GROUP, Boundary


def closed(path: Array) -> Boundary:
    return Boundary(path, np.roll(path, -1, axis=0))


def star(rng: np.random.Generator, count: int) -> Array:
    """A ragged anticlockwise polygon round (20, 300)."""
    angle = (np.arange(count) + rng.uniform(0, 0.4, count)) * 2 * np.pi / count
    reach = rng.uniform(40, 120, count)[:, None]
    corners: Array = [20.0, 300.0] + reach * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    return corners


def plainly(path: Array, point: Array) -> float:
    """Signed distance by the textbook: clamp to every segment, count the crossings of a ray."""
    least, inside = np.inf, False
    for here, there in zip(path, np.roll(path, -1, axis=0), strict=True):
        run = there - here
        share = min(max(float((point - here) @ run / (run @ run)), 0.0), 1.0)
        least = min(least, float(np.hypot(*(point - here - share * run))))
        if (here[1] > point[1]) != (there[1] > point[1]):
            inside ^= point[0] < here[0] + (point[1] - here[1]) / run[1] * run[0]
    return -least if inside else least


@pytest.mark.parametrize("count", [3, GROUP, GROUP + 1, 61])
def test_a_distance_is_that_to_the_nearest_of_all_segments(count: int) -> None:
    rng = np.random.default_rng(count)
    for _ in range(5):
        path = star(rng, count)
        points = np.stack([rng.uniform(-150, 190, 120), rng.uniform(130, 470, 120)], axis=-1)
        found = closed(path).distance(*points.T)
        assert found == pytest.approx([plainly(path, point) for point in points], abs=1e-9)


def test_a_corner_tells_inside_from_outside_however_sharp_it_is() -> None:
    needle = np.array([[0.0, 0.0], [100.0, -0.5], [1.0, 0.0], [100.0, 0.5]])
    points = np.array([[-3.0, 0.0], [-1.0, 2.0], [104.0, 0.5], [0.5, 0.0], [30.0, 0.0]])
    found = closed(needle).distance(*points.T)
    assert np.sign(found).tolist() == [1, 1, 1, -1, 1]
    assert found[:3] == pytest.approx([3.0, np.sqrt(5.0), 4.0])


def test_the_nearest_point_lies_on_its_segment_at_that_distance() -> None:
    rng = np.random.default_rng(5)
    boundary = closed(star(rng, 40))
    a, r = rng.uniform(-150, 190, 300), rng.uniform(130, 470, 300)
    touch, segment = boundary.nearest(a, r)
    away = np.hypot(touch[:, 0] - a, touch[:, 1] - r)
    assert away == pytest.approx(np.abs(boundary.distance(a, r)), abs=1e-9)
    start, end = boundary.start[segment], boundary.end[segment]
    parts = np.linalg.norm(touch - start, axis=1) + np.linalg.norm(touch - end, axis=1)
    assert parts == pytest.approx(np.linalg.norm(end - start, axis=1), abs=1e-9)


def test_many_points_are_measured_as_each_alone_would_be() -> None:
    rng = np.random.default_rng(6)
    boundary = closed(star(rng, 30))
    count = 2 * CHUNK
    a, r = rng.uniform(-150, 190, count), rng.uniform(130, 470, count)
    some = rng.integers(0, count, 50)
    alone = [boundary.distance(a[i : i + 1], r[i : i + 1])[0] for i in some]
    assert boundary.distance(a, r)[some] == pytest.approx(alone, abs=1e-12)

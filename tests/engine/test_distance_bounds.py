"""Lower bounds of a distance over zonogons, against the least of very many of their points."""

from __future__ import annotations

import numpy as np
import pytest

from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.boundary import Boundary
from fitment.engine.solid.distance_bounds import floor
from fitment.engine.solid.section import section_of
from tests.nights import day_and_night

Array = np.ndarray
#: Points of a zonogon that are looked at: all corners, and as many again inside.
LOOKED = 600


def star(rng: np.random.Generator, corners: int) -> Boundary:
    """A solid with sharp corners, most of them turned in and out by turns, well off the axis."""
    angle = np.linspace(0.0, 2 * np.pi, corners, endpoint=False)
    out = rng.uniform(15.0, 60.0, corners)
    path = np.stack([out * np.cos(angle), 300.0 + out * np.sin(angle)], axis=-1)
    return Boundary(path, np.roll(path, -1, axis=0))


def wheels() -> list[Boundary]:
    plain = section_of(Wheel(17, 8, 40), Tyre("225/45R17"))
    bare = section_of(Wheel(18, 11, 30, barrel_mm=12.0), Tyre("225/40R18"))
    spokes = ((4.0, 60.0), (-30.0, 110.0), (9.0, 170.0))
    open_back = section_of(Wheel(18, 8, 30, barrel_mm=10.0, spoke_back=spokes), Tyre("225/40R18"))
    return [one.boundary for one in (plain, bare, open_back)]


def drawn(rng: np.random.Generator, solid: Boundary, count: int) -> tuple[Array, Array]:
    """Zonogons of all sizes about the boundary, some thin, some reaching far in or out."""
    pick = rng.integers(len(solid.start), size=count)
    at = solid.start[pick] + rng.random((count, 1)) * (solid.end - solid.start)[pick]
    centre = at + rng.normal(0.0, 1.0, (count, 2)) * rng.choice([0.3, 3.0, 25.0], (count, 1))
    ways = rng.normal(0.0, 1.0, (count, 3, 2)) * rng.choice([0.0, 0.2, 2.0, 8.0], (count, 3, 1))
    return centre, ways


def least(rng: np.random.Generator, solid: Boundary, centre: Array, ways: Array) -> Array:
    """The least distance of very many places of zonogons."""
    share = rng.uniform(-1.0, 1.0, (LOOKED, 3))
    share[: LOOKED // 2] = np.sign(share[: LOOKED // 2])
    places = centre[:, None] + share @ ways
    return solid.distance(*places.reshape(-1, 2).T).reshape(len(centre), -1).min(axis=1)


@pytest.mark.parametrize("seed", day_and_night(range(8), range(20)))
def test_no_place_of_a_zonogon_is_nearer_or_deeper_than_its_bound(seed: int) -> None:
    rng = np.random.default_rng(seed)
    for solid in (star(rng, 9), star(rng, 24), *wheels()):
        centre, ways = drawn(rng, solid, 300)
        centre[:, 1] = np.maximum(centre[:, 1], 0.0)
        bound, here = floor(solid, centre, ways)
        assert here == pytest.approx(solid.distance(*centre.T), abs=1e-9)
        assert np.all(bound <= least(rng, solid, centre, ways) + 1e-9)


def test_the_bound_of_a_small_zonogon_is_off_by_the_square_of_its_size() -> None:
    """Outside, across a side, and on the ridge inside where two sides are equally near."""
    path = np.array([[0.0, 300.0], [80.0, 300.0], [80.0, 340.0], [0.0, 340.0]])
    solid = Boundary(path, np.roll(path, -1, axis=0))
    centre = np.array([[40.0, 350.0], [40.0, 340.2], [40.0, 320.0], [90.0, 350.0]])
    for size in (4.0, 1.0, 0.25):
        way = np.array([[0.6, 0.8], [-0.3, 0.1], [0.0, 0.0]]) * size
        bound, _ = floor(solid, centre, np.tile(way, (4, 1, 1)))
        rise = size * 0.9
        straight = [10.0 - rise, min(0.2 - rise, 0.0) if rise > 0.2 else 0.2 - rise, -20.0]
        assert bound[:3] == pytest.approx(straight, abs=1e-9)
        true = np.hypot(10.0, 10.0) - size * (1.4 + 0.2) / np.sqrt(2.0)
        assert true - size**2 / 10.0 <= bound[3] <= true + size**2 / 10.0


def test_under_a_notch_the_depth_is_that_to_its_corner() -> None:
    """The line of neither side of a notch tells how deep a place under it lies."""
    path = np.array(
        [[0.0, 300.0], [80.0, 300.0], [80.0, 340.0], [41.0, 340.0], [40.0, 320.0], [39.0, 340.0]]
    )
    path = np.concatenate([path, [[0.0, 340.0]]])
    solid = Boundary(path, np.roll(path, -1, axis=0))
    centre, ways = np.array([[40.0, 312.0]]), np.zeros((1, 3, 2))
    ways[0, 0] = [0.5, 0.0]
    bound, _ = floor(solid, centre, ways)
    assert bound[0] <= -8.0
    assert bound[0] == pytest.approx(-8.0, abs=0.05)

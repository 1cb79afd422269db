"""The chance that the least of several clearances is not positive."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitment.engine.uncertainty.inputs import JOB, Inputs
from fitment.engine.uncertainty.touching import below_zero, joined, touch_chance


# Tables of the normal distribution.
@pytest.mark.parametrize(
    ("clearance", "sigma", "chance"),
    [
        (0.0, 3.0, 0.5),
        (3.0, 3.0, 0.158655),
        (-3.0, 3.0, 0.841345),
        (4.934561, 3.0, 0.05),
        (6.0, 3.0, 0.022750),
        (30.0, 3.0, 7.6199e-24),
    ],
)
def test_the_chance_of_touching_is_the_normal_tail(
    clearance: float, sigma: float, chance: float
) -> None:
    assert below_zero(clearance, sigma) == pytest.approx(chance, rel=2e-5)
    one = touch_chance(np.array([clearance]), np.array([[sigma * 0.6, sigma * 0.8]]))
    assert one == pytest.approx(chance, rel=2e-5)


@pytest.mark.parametrize(("clearance", "chance"), [(1e-9, 0.0), (0.0, 1.0), (-1e-9, 1.0)])
def test_without_uncertainty_the_chance_is_none_or_certain(clearance: float, chance: float) -> None:
    assert below_zero(clearance, 0.0) == chance
    assert touch_chance(np.array([clearance, 50.0]), np.zeros((2, 3))) == chance


def test_nothing_never_touches() -> None:
    assert touch_chance(np.zeros(0), np.zeros((0, 4))) == 0.0


@pytest.mark.parametrize("together", [-0.9, -0.5, 0.0, 0.3, 0.8, 0.99, 1.0])
def test_two_at_no_clearance_touch_as_the_angle_between_them_says(together: float) -> None:
    """P(both free) = 1/4 + asin(ρ) / 2π, Sheppard 1899."""
    slopes = np.array([[2.0, 0.0], [3.0 * together, 3.0 * math.sqrt(1.0 - together**2)]])
    free = 0.25 + math.asin(together) / (2 * math.pi)
    assert touch_chance(np.zeros(2), slopes) == pytest.approx(1.0 - free, abs=1e-3)


def test_independent_spots_touch_as_one_less_the_product() -> None:
    gaps, sigma = np.array([3.0, 5.0, 4.0, 6.0]), np.array([2.0, 3.0, 3.5, 4.0])
    free = np.prod([1.0 - below_zero(g, s) for g, s in zip(gaps, sigma, strict=True)])
    assert touch_chance(gaps, np.diag(sigma)) == pytest.approx(1.0 - free, abs=5e-4)


def test_spots_that_share_everything_touch_together() -> None:
    slopes = np.tile([[1.0, 2.0, 2.0]], (5, 1))
    gaps = np.array([4.0, 4.5, 5.0, 7.0, 9.0])
    assert touch_chance(gaps, slopes) == pytest.approx(below_zero(4.0, 3.0), abs=1e-5)


@pytest.mark.parametrize("seed", range(8))
def test_many_at_once_against_a_million_draws(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count, inputs = int(rng.integers(2, 24)), int(rng.integers(3, 60))
    shared = rng.normal(size=(1, inputs)) * rng.uniform(0, 2)
    slopes = rng.normal(size=(count, inputs)) * rng.uniform(0.1, 1) + shared
    slopes *= rng.uniform(2, 5) / np.linalg.norm(slopes, axis=1, keepdims=True)
    gaps = rng.uniform(1, 12, count)
    values, vectors = np.linalg.eigh(slopes @ slopes.T)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    touching = 0
    for _ in range(10):
        touching += int(
            np.sum(np.min(gaps + rng.normal(size=(100_000, count)) @ root.T, axis=1) <= 0)
        )
    share = touching / 1e6
    chance = touch_chance(gaps, slopes)
    assert chance == pytest.approx(share, abs=0.002 + 3 * math.sqrt(share * (1 - share) / 1e6))
    assert touch_chance(gaps, slopes) == chance, "the same every time"
    assert chance >= max(
        below_zero(g, s) for g, s in zip(gaps, np.linalg.norm(slopes, axis=1), strict=True)
    )


def test_an_input_that_two_corners_have_in_common_counts_once() -> None:
    tyre = Inputs.single("section width", JOB, "tyre", np.array([3.0]))
    own = [Inputs.single("ride height", JOB, name, np.array([0.0])) for name in ("LF", "RF")]
    gaps = np.array([4.0, 4.0])
    shared = touch_chance(gaps, joined([[tyre, own[0]], [tyre, own[1]]]))
    other = Inputs.single("section width", JOB, "another", np.array([3.0]))
    apart = touch_chance(gaps, joined([[tyre, own[0]], [other, own[1]]]))
    one = below_zero(4.0, 3.0)
    assert shared == pytest.approx(one, abs=1e-5)
    assert apart == pytest.approx(1 - (1 - one) ** 2, abs=1e-4)

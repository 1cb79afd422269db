"""Learning in shops whose truth is known: is it as sure of itself as it should be?

Simulation-based calibration (S. Talts, M. Betancourt, D. Simpson, A. Vehtari and A. Gelman,
Validating Bayesian inference algorithms with simulation-based calibration, arXiv 1804.06788, 2018):
where truths are drawn from the priors, the posterior's ranks of them are uniform.
"""

from __future__ import annotations

import numpy as np
import pytest

from alignment.geometry.frames import Array
from fitment.engine.learning.posterior import Posterior, posterior
from tests.engine.simulated_shops import shop

BINS = 10


def rank(found: Posterior, error_mm: float) -> float:
    """The posterior's chance that the survey errs by less than it does."""
    one = found.density
    below = np.concatenate([[0.0], np.cumsum(np.diff(one.shift_mm) * one.per_mm[1:])])
    return float(np.interp(error_mm, one.shift_mm, below / below[-1]))


def spread_rank(found: Posterior, between_mm: float) -> float:
    """The same for the difference between cars."""
    interpolate = pytest.importorskip("scipy.interpolate")
    over = found.weight.sum(axis=1)
    at, known = np.log(found.between[over > 0]), np.log(over[over > 0])
    fine = np.linspace(at[0], at[-1], 2001)
    below = np.cumsum(np.exp(interpolate.CubicSpline(at, known)(fine)))
    return float(np.interp(np.log(between_mm), fine, below / below[-1]))


def p_uniform(ranks: Array) -> float:
    stats = pytest.importorskip("scipy.stats")
    return float(stats.chisquare(np.histogram(ranks, BINS, (0, 1))[0]).pvalue)


@pytest.mark.parametrize(
    ("shops", "least", "most"),
    [
        (300, 0.85, 0.95),
        pytest.param(5000, 0.887, 0.913, marks=pytest.mark.nightly),
    ],
)
def test_nine_in_ten_intervals_hold_the_truth_and_ranks_are_uniform(
    shops: int, least: float, most: float
) -> None:
    held, ranks, spreads, chances, touched = [], [], [], [], []
    for seed in range(shops):
        one = shop((1, seed))
        found = posterior(one.question)
        low, high = found.interval_mm
        held.append(low <= one.error_mm <= high)
        ranks.append(rank(found, one.error_mm))
        spreads.append(spread_rank(found, one.between_mm))
        chances.append(found.touch_chance(one.question.jobs[0]))
        touched.append(one.touches)
    assert least <= np.mean(held) <= most
    assert p_uniform(np.array(ranks)) > 1e-3
    assert p_uniform(np.array(spreads)) > 1e-3
    chance = np.array(chances)
    off = np.sum(touched) - chance.sum()
    assert abs(off) < 3.3 * np.sqrt(np.sum(chance * (1 - chance)))


@pytest.mark.parametrize("shops", [60, pytest.param(1000, marks=pytest.mark.nightly)])
def test_a_wider_spread_than_expected_costs_little_of_the_coverage(shops: int) -> None:
    """τ is 5 mm where 3 are expected, eight cars a shop."""
    held = []
    for seed in range(shops):
        one = shop((2, seed), cars=8, between_mm=5.0)
        low, high = posterior(one.question).interval_mm
        held.append(low <= one.error_mm <= high)
    assert np.mean(held) > 0.78

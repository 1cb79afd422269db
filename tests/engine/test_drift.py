"""Drift between settings: its slope and its uncertainty against closed forms and simulation."""

import math

import numpy as np
import pytest

from alignment.geometry.coverage_factor import coverage_factor
from alignment.geometry.drift import drift


def test_one_run_is_an_ordinary_straight_line() -> None:
    # Closed form of least squares with one known sigma: slope = Sxy / Sxx, sigma / sqrt(Sxx).
    x, y = [0.0, 1.0, 2.0, 4.0], [0.00, 0.11, 0.19, 0.40]
    found = drift(x, y, [0.05] * 4, [0] * 4)
    assert found is not None
    xs, ys = np.array(x), np.array(y)
    sxx = float(np.sum((xs - xs.mean()) ** 2))
    assert found.slope == pytest.approx(float(np.sum((xs - xs.mean()) * ys)) / sxx)
    assert found.sigma == pytest.approx(0.05 / math.sqrt(sxx))
    assert found.expanded == pytest.approx(2 * found.sigma), "these scatter less than they might"
    assert found.is_told


def test_a_setting_in_between_is_no_drift() -> None:
    found = drift([0, 1, 1, 2], [-1.0, -1.1, -2.0, -2.1], [0.03] * 4, [0, 0, 1, 1])
    assert found is not None
    assert found.slope == pytest.approx(-0.1)
    assert found.levels == pytest.approx((-1.0, -1.9))


def test_readings_that_scatter_widen_the_uncertainty() -> None:
    calm = drift([0, 1, 2, 3], [0.0, 0.1, 0.2, 0.3], [0.02] * 4, [0] * 4)
    wild = drift([0, 1, 2, 3], [0.2, -0.2, 0.5, 0.3], [0.02] * 4, [0] * 4)
    assert calm is not None
    assert wild is not None
    assert wild.sigma > 5 * calm.sigma
    assert not wild.is_told


@pytest.mark.parametrize(
    ("x", "run"), [([], []), ([1.0], [0]), ([1.0, 1.0], [0, 0]), ([1.0, 2.0], [0, 1])]
)
def test_without_two_readings_between_settings_there_is_no_drift(
    x: list[float], run: list[int]
) -> None:
    assert drift(x, [0.0] * len(x), [0.05] * len(x), run) is None


def test_the_stated_uncertainty_is_the_spread_of_simulated_slopes() -> None:
    rng = np.random.default_rng(20)
    x, run = np.array([0.0, 0.6, 0.6, 1.4, 2.0]), [0, 0, 1, 1, 1]
    slopes, sigmas = [], []
    for _ in range(4000):
        y = 0.15 * x + np.array([0, 0, -1, -1, -1]) + rng.normal(0, 0.03, 5)
        found = drift(x, y, [0.03] * 5, run)
        assert found is not None
        slopes.append(found.slope)
        sigmas.append(found.sigma)
    assert np.mean(slopes) == pytest.approx(0.15, abs=0.003)
    assert min(sigmas) == pytest.approx(np.std(slopes), rel=0.05)


@pytest.mark.parametrize("free", [1, 2, 3, 5, 10, 11, 12, 20, 60, 1000])
def test_coverage_factors_are_the_quantiles_of_students_t(free: int) -> None:
    from scipy.stats import t

    assert coverage_factor(free) == pytest.approx(t.ppf(0.5 + 0.9545 / 2, free), abs=0.002)


def test_no_degree_of_freedom_tells_no_scatter() -> None:
    with pytest.raises(ValueError, match="degrees of freedom"):
        coverage_factor(0)


@pytest.mark.parametrize("visits", [3, 4, 7])
@pytest.mark.parametrize(("worse", "low", "high"), [(1.0, 0.0, 0.045), (2.0, 0.025, 0.065)])
def test_cars_without_a_drift_are_told_one_no_more_often_than_five_times_in_a_hundred(
    visits: int, worse: float, low: float, high: float
) -> None:
    """Also with a rack twice as bad as it claims, where twice the widened uncertainty told a drift
    of 14 cars in 100 after four visits."""
    rng = np.random.default_rng(visits)
    x, sigma = np.arange(float(visits)), 0.03
    told = 0
    for _ in range(3000):
        found = drift(x, rng.normal(0.0, worse * sigma, visits), [sigma] * visits, [0] * visits)
        assert found is not None
        told += found.is_told
    assert low < told / 3000 < high


def test_a_drift_that_two_visits_tell_goes_by_what_the_rack_claims() -> None:
    found = drift([0.0, 1.0], [0.0, 0.2], [0.03] * 2, [0, 0])
    assert found is not None
    assert found.expanded == pytest.approx(2 * 0.03 * math.sqrt(2))
    assert found.is_told

"""Drift between settings: its slope and its uncertainty against closed forms and simulation."""

import math

import numpy as np
import pytest

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

"""Our interpolation of measured curves against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from alignment.geometry.pchip import Pchip


@pytest.mark.parametrize("seed", range(20))
def test_it_is_scipys_interpolation(seed: int) -> None:
    rng = np.random.default_rng(seed)
    knots = np.sort(rng.uniform(-120, 120, int(rng.integers(2, 9))))
    values = rng.normal(size=(len(knots), 4))
    values[rng.random(values.shape) < 0.2] = 0.0  # flat stretches and turning points
    at = np.concatenate([knots, rng.uniform(knots[0], knots[-1], 200)])
    got, wanted = Pchip(knots, values)(at), scipy.interpolate.PchipInterpolator(knots, values)(at)
    assert got == pytest.approx(wanted, abs=1e-11)


def test_it_never_overshoots_what_was_measured() -> None:
    knots, values = np.array([-60.0, -20, 0, 30, 70]), np.array([[3.0], [3], [0], [-1], [-1]])
    fine = Pchip(knots, values)(np.linspace(-60, 70, 1001))[:, 0]
    assert fine.max() <= 3.0
    assert fine.min() >= -1.0
    assert np.all(np.diff(fine) <= 1e-12)

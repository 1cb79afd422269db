"""The normal distribution over arrays, exact far into its tails. numpy has no error function."""

from __future__ import annotations

from functools import cache
from math import erfc, log, pi, sqrt

import numpy as np

from alignment.geometry.frames import Array

#: Between these the table holds; above, the logarithm is zero to 1e-18.
LOWEST, HIGHEST, STEPS_PER_SIGMA = -37, 9, 256
LOG_ROOT_2PI = 0.5 * log(2.0 * pi)


def log_cdf(z: Array) -> Array:
    """Logarithm of the chance that a standard normal draw lies below ``z``, to 2e-6.

    Linear in a table of the complementary error function; below it the asymptotic series
    (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.12).
    """
    logs, rises = _table()
    place = (np.clip(z, LOWEST, HIGHEST) - LOWEST) * STEPS_PER_SIGMA
    step = place.astype(np.intp)
    place -= step
    found = rises[step]
    found *= place
    found += logs[step]
    far = z < LOWEST
    if far.any():
        beyond = z[far]
        series = np.log1p(-(beyond**-2.0) + 3 * beyond**-4.0)
        found[far] = series - beyond**2 / 2 - np.log(-beyond) - LOG_ROOT_2PI
    return found


def cdf(z: Array) -> Array:
    """The chance that a standard normal draw lies below ``z``."""
    return np.exp(log_cdf(z))


@cache
def _table() -> tuple[Array, Array]:
    """The logarithm at every step, and its rise to the next."""
    at = np.linspace(LOWEST, HIGHEST, (HIGHEST - LOWEST) * STEPS_PER_SIGMA + 1)
    logs = np.array([log(0.5 * erfc(-z / sqrt(2.0))) for z in at])
    return logs, np.append(np.diff(logs), 0.0)

"""The rate at which a reading drifts between adjustments of the car.

An adjustment is no drift: readings are fitted in runs, from one setting to the next, with one slope
for all runs and a level of its own for each. Least squares with weights 1/σ²; the slope's standard
uncertainty comes from the σ of the readings, widened by the scatter where the readings lie further
from the lines than their σ allows (ratio of R. T. Birge, *Physical Review* 40, 1932). A scatter of
a few readings is itself hardly known, so the expanded uncertainty is the larger of twice what the
readings' σ make of it and Student's t times what their scatter does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.coverage_factor import coverage_factor
from alignment.geometry.readings import COVERAGE

#: Visits closer together than this share of the whole span tell no slope apart from noise.
LEAST_SPREAD = 1e-9


@dataclass(frozen=True)
class Drift:
    """``slope`` per unit of x with its standard uncertainty, and the ``expanded`` one, which
    holds about 95 in 100; ``levels`` at x = 0, one per run."""

    slope: float
    sigma: float
    expanded: float
    levels: tuple[float, ...]
    points: int

    @property
    def is_told(self) -> bool:
        """Whether the slope is more than its expanded uncertainty."""
        return abs(self.slope) > self.expanded


def drift(
    x: Sequence[float], y: Sequence[float], sigma: Sequence[float], run: Sequence[int]
) -> Drift | None:
    """Common slope of y over x within runs; None where no run holds two different x.

    ``x`` (years or kilometres), ``y`` (degrees or mm) and ``sigma`` (standard uncertainty of y,
    positive) are of one length; ``run`` numbers the runs from 0 without a gap.
    """
    xs, ys = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    weight = 1.0 / np.square(np.asarray(sigma, dtype=float))
    runs = np.asarray(run, dtype=int)
    if not len(xs):
        return None
    count = int(runs.max()) + 1
    total = np.bincount(runs, weight, count)
    mean_x = np.bincount(runs, weight * xs, count) / total
    mean_y = np.bincount(runs, weight * ys, count) / total
    dx, dy = xs - mean_x[runs], ys - mean_y[runs]
    spread = float(np.sum(weight * dx * dx))
    if spread <= LEAST_SPREAD * float(np.sum(weight)) * max(1.0, float(np.max(np.abs(xs))) ** 2):
        return None
    slope = float(np.sum(weight * dx * dy)) / spread
    free = len(xs) - count - 1
    widened, expanded = 1.0, COVERAGE
    if free > 0:
        birge = math.sqrt(float(np.sum(weight * np.square(dy - slope * dx))) / free)
        widened, expanded = max(1.0, birge), max(COVERAGE, coverage_factor(free) * birge)
    levels = tuple(float(level) for level in mean_y - slope * mean_x)
    alone = 1.0 / math.sqrt(spread)
    return Drift(slope, widened * alone, expanded * alone, levels, len(xs))

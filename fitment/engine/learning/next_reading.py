"""Which reading on the next car would narrow a spot's survey error most."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from fitment.engine.learning.posterior import Posterior


@dataclass(frozen=True)
class Narrowed:
    """Standard deviation of the survey's error before and after one more gap; ``how`` names what
    was done for it, ``gap_sigma_mm`` is the gap's and the job's together."""

    how: str
    gap_sigma_mm: float
    before_mm: float
    after_mm: float


def narrowed_by(found: Posterior, gaps: Mapping[str, float]) -> tuple[Narrowed, ...]:
    """What a gap on a car not seen yet would do, the most narrowing first.

    ``gaps`` names what could be done (a gap as it is; with the tyre measured; with the ride height
    read) with the standard uncertainty that job and gap have together then, mm. For each τ the
    survey's error is taken for normal, which it is but for observations that are no gaps.
    """
    rows = found.weight.sum(axis=1)
    known = rows > 0
    share = found.weight[known] / rows[known, None]
    centre = share @ found.shift
    variance = np.sum(share * (found.shift - centre[:, None]) ** 2, axis=1)
    between = found.between[known]
    apart = float(np.sum(rows[known] * (centre - found.shift_mm) ** 2))
    told = []
    for how, sigma in gaps.items():
        left = 1.0 / (1.0 / variance + 1.0 / (between**2 + sigma**2))
        after = math.sqrt(float(np.sum(rows[known] * left)) + apart)
        told.append(Narrowed(how, sigma, found.sigma_mm, after))
    return tuple(sorted(told, key=lambda one: one.after_mm))

"""The chance that the least of several clearances is not positive.

The clearances are jointly normal, linear in independent inputs. Taken one after another, the most
likely to touch first, each stays free with a chance that follows from the normal distribution once
those before it are given; the product is averaged over quasi-random points (A. Genz, Numerical
computation of multivariate normal probabilities, J. Comput. Graph. Stat. 1 (1992); the points are
the Kronecker sequence of square roots of primes, folded). Deterministic; a single clearance comes
out exactly, thirty within 0.002.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import erfc, sqrt
from statistics import NormalDist

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine.uncertainty.inputs import Inputs, Key

#: Quasi-random points.
POINTS = 2048
#: Clearances with a smaller chance of their own are left out of a joint chance; where one is this
#: near to certain no other is asked.
NEVER, CERTAIN = 1e-5, 0.999
#: What a clearance has left of its own (mm) once others are given, below which it has nothing.
FIXED_MM = 1e-4
#: Table of the normal distribution: half its width in sigmas, and its step.
WIDE, STEP = 8.0, 1e-2

_NORMAL = NormalDist()


def below_zero(clearance_mm: float, sigma_mm: float) -> float:
    """Chance that a clearance is not positive, for a normal error of ``sigma_mm``."""
    if sigma_mm <= 0:
        return 1.0 if clearance_mm <= 0 else 0.0
    return 0.5 * erfc(clearance_mm / sigma_mm / sqrt(2.0))


def touch_chance(clearance_mm: Array, slopes: Array) -> float:
    """Chance that the least of clearances (m,) is not positive.

    ``slopes`` (m, k) holds what one standard deviation of each of k inputs adds to them, mm.
    """
    sigma = np.sqrt(np.sum(slopes**2, axis=1))
    alone = np.array([below_zero(g, s) for g, s in zip(clearance_mm, sigma, strict=True)])
    if not len(alone) or alone.max() >= CERTAIN:
        return float(alone.max(initial=0.0))
    likely = np.flatnonzero(alone > NEVER)
    if len(likely) < 2:
        return float(alone.max())
    free = _free(*_ordered(clearance_mm[likely], slopes[likely] @ slopes[likely].T))
    return float(min(max(1.0 - free, alone.max()), 1.0))


def _ordered(gaps: Array, covariance: Array) -> tuple[Array, Array]:
    """Clearances (m,) and the Cholesky factor (m, m) of their covariance, likeliest touch first.

    Each is the likeliest given that those before it lie where they do on average when free.
    """
    gaps, covariance = gaps.copy(), covariance.copy()
    count = len(gaps)
    factor, mean = np.zeros((count, count)), np.zeros(count)
    for i in range(count):
        left = np.diag(covariance)[i:] - np.sum(factor[i:, :i] ** 2, axis=1)
        own = np.sqrt(np.maximum(left, 0.0))
        there = gaps[i:] + factor[i:, :i] @ mean[:i]
        below = np.divide(-there, own, out=np.where(there > 0, -WIDE, WIDE), where=own > FIXED_MM)
        swap = [i + int(np.argmax(below)), i]
        gaps[swap[::-1]], factor[swap[::-1]] = gaps[swap], factor[swap]
        covariance[swap[::-1]] = covariance[swap]
        covariance[:, swap[::-1]] = covariance[:, swap]
        own_mm, at = float(own[swap[0] - i]), float(below.max())
        if own_mm <= FIXED_MM:
            continue
        factor[i, i] = own_mm
        rest = covariance[i + 1 :, i] - factor[i + 1 :, :i] @ factor[i, :i]
        factor[i + 1 :, i] = rest / own_mm
        mean[i] = _NORMAL.pdf(at) / max(below_zero(at, 1.0), 1e-12)
    return gaps, factor


def _free(gaps: Array, factor: Array) -> float:
    """Chance that all clearances stay positive, averaged over the quasi-random points."""
    at, table = _table()
    drawn = np.zeros((len(gaps), POINTS))
    free = np.ones(POINTS)
    for i, gap in enumerate(gaps):
        there = gap + factor[i, :i] @ drawn[:i]
        if factor[i, i] == 0.0:
            free = np.where(there > 0, free, 0.0)
            continue
        below = np.interp(-there / factor[i, i], at, table)
        free = free * (1.0 - below)
        if i + 1 < len(gaps):
            share = below + _points(i) * (1.0 - below)
            drawn[i] = np.interp(share, table, at)
    return float(free.mean())


@cache
def _table() -> tuple[Array, Array]:
    at = np.arange(-WIDE, WIDE + STEP / 2, STEP)
    return at, np.array([0.5 * erfc(-z / sqrt(2.0)) for z in at])


@cache
def _points(index: int) -> Array:
    """One coordinate (POINTS,) of the points, between 0 and 1, folded so that it has no seam."""
    share = (np.arange(1, POINTS + 1) * sqrt(_prime(index))) % 1.0
    return np.asarray(1.0 - np.abs(2.0 * share - 1.0), float)


@cache
def _prime(index: int) -> int:
    """The prime number of an index, 2 for 0."""
    candidate = 2 if index == 0 else _prime(index - 1) + 1
    while any(candidate % _prime(i) == 0 for i in range(index)):
        candidate += 1
    return candidate


def joined(parts: Sequence[Sequence[Inputs]]) -> Array:
    """Slopes (m, k) of the moments of some corners one after another, shared inputs once."""
    columns: dict[Key, int] = {}
    for inputs in parts:
        for block in inputs:
            for key in block.keys:
                columns.setdefault(key, len(columns))
    counts = [len(inputs[0].mm) if inputs else 0 for inputs in parts]
    slopes = np.zeros((sum(counts), len(columns)))
    first = 0
    for inputs, count in zip(parts, counts, strict=True):
        for block in inputs:
            at = [columns[key] for key in block.keys]
            slopes[first : first + count, at] += block.mm
        first += count
    return slopes

"""How likely the evidence of each car is, given the survey's error and the difference between cars.

The error u on a car is N(s, τ²) beforehand. Its gaps are a normal reading of u and are taken in
closed form, which leaves N(μ, w²); one observation besides is a closed form, too. Several are
integrated over u by the trapezoidal rule, whose error for a smooth integrand that dies away on both
sides falls exponentially with the step (L. N. Trefethen and J. A. C. Weideman, The exponentially
convergent trapezoidal rule, SIAM Review 56 (2014)). All in logarithms, so that evidence against all
expectation counts as what it is. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine.learning.cars import Cars, said

#: How far either side of its peak, in w, a normal density is followed: beyond lies 1e-10 of it.
WIDE = 6.5
#: Error of the trapezoidal rule, as the exponent of e.
EXACT = 12.0
#: An observation sharper than this share of w is taken as sharp as that: of √(t² + w²), all that
#: matters of t, it changes one part in a thousand.
SHARPEST = 0.05
#: So many w apart, values of s share their places of u; farther apart each half has its own.
FEW = 16.0
#: A peak is followed so many w away from where the gaps have it: what lies farther is against all
#: reason, and hardly hangs on s.
FARTHEST = 200.0
#: Figures worked on at a time, which bounds the memory.
AT_ONCE = 1_000_000


@dataclass(frozen=True)
class Left:
    """What gaps leave of u in k cars: N(``mean_mm`` (k, n), ``sigma_mm``² (k,)) for n values of s,
    and the logarithm ``log_gaps`` (k, n) of how likely the gaps were."""

    mean_mm: Array
    sigma_mm: Array
    log_gaps: Array


def left_by_gaps(cars: Cars, shift_mm: Array, between_mm: float) -> Left:
    """u given s = ``shift_mm`` (n,), τ = ``between_mm`` and each car's gaps."""
    square = between_mm**2
    share = 1.0 + cars.precision * square
    variance = square / share
    mean = (shift_mm + (square * cars.precision * cars.read_mm)[:, None]) / share[:, None]
    off = cars.read_mm[:, None] - shift_mm
    weight = (cars.precision / share)[:, None]
    log_gaps = -0.5 * (weight * off**2 + np.log(share)[:, None])
    return Left(mean, np.sqrt(variance), log_gaps)


def log_evidence(cars: Cars, shift_mm: Array, between_mm: float) -> Array:
    """Logarithm (n,) of the likelihood of all cars at s (n,) and τ, but for a constant."""
    left = left_by_gaps(cars, shift_mm, between_mm)
    total: Array = left.log_gaps.sum(axis=0)
    counts = cars.counts
    for kind, averaged in ((counts == 1, _of_one), (counts > 1, _of_several)):
        which = np.flatnonzero(kind)
        if len(which):
            rest = Left(left.mean_mm[which], left.sigma_mm[which], left.log_gaps[which])
            total = total + averaged(cars.at(which), rest).sum(axis=0)
    return total


def _of_one(cars: Cars, left: Left) -> Array:
    """Logarithm (k, n) of what one observation a car says, averaged over u."""
    whole = np.hypot(cars.sigma_mm, left.sigma_mm[:, None])
    return said(cars.sign * (left.mean_mm - cars.edge_mm) / whole, cars.log_share)


def _of_several(cars: Cars, left: Left) -> Array:
    """Logarithm (k, n) of what several observations a car say together, averaged over u."""
    mean, count = left.mean_mm, left.mean_mm.shape[1]
    if count > 1 and np.any(np.ptp(mean, axis=1) > FEW * left.sigma_mm):
        halves = (slice(None, count // 2), slice(count // 2, None))
        parts = (replace(left, mean_mm=mean[:, half]) for half in halves)
        return np.hstack([_of_several(cars, part) for part in parts])
    found = np.empty(mean.shape)
    for which, nodes in _batches(cars, left):
        some, sigma = cars.at(which), left.sigma_mm[which]
        _, weights = _integrand(some, mean[which], sigma, nodes)
        top = weights.max(axis=2)
        whole = np.exp(weights - top[:, :, None]).sum(axis=2)
        found[which] = top + np.log(whole * nodes.step)
    return found


@dataclass(frozen=True)
class Nodes:
    """Places of u for k cars: ``count`` each, from ``first_mm`` (k, 1) on, ``step_mm`` (k, 1)
    apart; ``step`` is the same in sigmas of u, over √2π."""

    first_mm: Array
    step_mm: Array
    step: Array
    count: int

    @property
    def u(self) -> Array:
        """The places (k, count)."""
        return self.first_mm + self.step_mm * np.arange(self.count)


def _batches(cars: Cars, left: Left) -> Iterator[tuple[Index, Nodes]]:
    """Cars that need about as many places, with their places."""
    low, high, step = _spans(cars, left)
    counts = np.ceil((high - low) / step).astype(int) + 1
    kinds = np.ceil(np.log2(counts) * 2)
    for kind in np.unique(kinds):
        rows = np.flatnonzero(kinds == kind)
        count = int(counts[rows].max())
        at_once = max(1, AT_ONCE // (count * left.mean_mm.shape[1]))
        for first in range(0, len(rows), at_once):
            some = rows[first : first + at_once]
            apart = step[some, None]
            share = apart / left.sigma_mm[some, None] / np.sqrt(2 * np.pi)
            yield some, Nodes(low[some, None], apart, share, count)


def _spans(cars: Cars, left: Left) -> tuple[Array, Array, Array]:
    """First and last place (k,) and the step between (k,) for each car.

    The integrand is as smooth as the inverse squares of w and of every t together are small. Its
    peak lies off μ by no more than the farthest edge on whose wrong side it is, and by no more
    than the slopes of all of those there would move it.
    """
    sigma = left.sigma_mm
    low, high = left.mean_mm.min(axis=1), left.mean_mm.max(axis=1)
    told = cars.log_share < 0
    sharp = np.where(told, (sigma[:, None] / _as_sharp(cars, sigma)) ** 2, 0.0)
    down = np.where(told & (cars.sign < 0), np.maximum(low[:, None] - cars.edge_mm, 0.0), 0.0)
    up = np.where(told & (cars.sign > 0), np.maximum(cars.edge_mm - high[:, None], 0.0), 0.0)
    below, above = (
        np.minimum(np.minimum(off.max(axis=1), np.sum(off * sharp, axis=1)), FARTHEST * sigma)
        for off in (down, up)
    )
    margin = WIDE * sigma
    first, last = low - below - margin, high + above + margin
    step = sigma * np.pi * np.sqrt(2.0 / (EXACT * (1.0 + sharp.sum(axis=1))))
    return first, last, step


def _as_sharp(cars: Cars, sigma_mm: Array) -> Array:
    """Uncertainties (k, observations), none too small for the steps."""
    return np.maximum(cars.sigma_mm, SHARPEST * sigma_mm[:, None])


def _integrand(cars: Cars, mean_mm: Array, sigma_mm: Array, nodes: Nodes) -> tuple[Array, Array]:
    """The places u (k, m), and the logarithm (k, n, m) of the normal density of u, but for its
    factor, times what the observations say."""
    u = nodes.u
    told = cars.log_said(u, _as_sharp(cars, sigma_mm))
    off = (u[:, None, :] - mean_mm[:, :, None]) / sigma_mm[:, None, None]
    off *= off
    off *= -0.5
    off += told[:, None, :]
    return u, off


def error_given(car: Cars, shift_mm: Array, between_mm: float) -> tuple[Array, Array]:
    """Mean and mean square (n,) of u on a single car, given its evidence, s (n,) and τ; mm, mm²."""
    left = left_by_gaps(car, shift_mm, between_mm)
    if not car.counts[0]:
        mean = left.mean_mm[0]
        return mean, mean**2 + left.sigma_mm[0] ** 2
    ((_, nodes),) = _batches(car, left)
    u, weights = _integrand(car, left.mean_mm, left.sigma_mm, nodes)
    share = np.exp(weights[0] - weights[0].max(axis=1)[:, None])
    share /= share.sum(axis=1)[:, None]
    return share @ u[0], share @ u[0] ** 2

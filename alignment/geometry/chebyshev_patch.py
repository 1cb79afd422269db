"""Chebyshev sums over rectangles of travel and steer: f(z, s) ≈ Σ_jk w_jk T_j(z) T_k(s).

Interpolation at Chebyshev points, one rectangle after another. Travel z in millimetres, steer s in
radians; |T| ≤ 1, so a sum is no larger than its weights together (Mason & Handscomb, *Chebyshev
Polynomials*, 2003, ch. 2 and 6).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import chebyshev

from alignment.geometry.frames import Array, Flags

#: A pose so little outside a rectangle (of its sides, at least of 1) lies in it.
INSIDE = 1e-9
#: A span shorter than this is a point.
POINT = 1e-12

Span = tuple[float, float]


@dataclass(frozen=True)
class Stretch:
    """A rectangle of travel (mm) and steer (rad)."""

    travel: Span
    steer: Span

    def quarters(self) -> list[Stretch]:
        """Its quarters; halves where one side has no length."""
        spans = itertools.product(_halves(self.travel), _halves(self.steer))
        return [Stretch(travel, steer) for travel, steer in spans]

    def cut(self, travels: Array) -> list[Stretch]:
        """Its parts between these travels."""
        low, high = self.travel
        inner = np.unique(travels[(travels > low + INSIDE) & (travels < high - INSIDE)])
        stops = [low, *(float(at) for at in inner), high]
        return [Stretch(span, self.steer) for span in itertools.pairwise(stops)]

    def at(self, share: Array) -> tuple[Array, Array]:
        """Travel and steer (n,) of places (n, 2) of the square from -1 to 1."""
        (low, high), (left, right) = self.travel, self.steer
        travel = low + (share[:, 0] + 1) / 2 * (high - low)
        steer = left + (share[:, 1] + 1) / 2 * (right - left)
        return np.clip(travel, low, high), np.clip(steer, left, right)

    def holds(self, travel: Array, steer: Array) -> Flags:
        """Which poses (n,) lie in it."""
        inside = np.ones(len(travel), bool)
        for at, (low, high) in ((travel, self.travel), (steer, self.steer)):
            slack = INSIDE * max(1.0, high - low)
            inside &= (at >= low - slack) & (at <= high + slack)
        return inside


@dataclass(frozen=True)
class Patch:
    """A sum over one rectangle; ``weights`` (travel, steer, columns); ``error_mm`` as measured."""

    stretch: Stretch
    weights: Array
    error_mm: float

    def __call__(self, travel: Array, steer: Array) -> Array:
        """The sums (n, columns)."""
        by_travel = basis(travel, self.stretch.travel, self.weights.shape[0])
        by_steer = basis(steer, self.stretch.steer, self.weights.shape[1])
        rows = by_travel @ self.weights.reshape(len(self.weights), -1)
        rows = rows.reshape(len(travel), *self.weights.shape[1:])
        return np.asarray(np.einsum("nj,njk->nk", by_steer, rows), float)


def nodes(span: Span, count: int) -> tuple[Array, Array]:
    """Chebyshev points of a span and the matrix from values there to weights."""
    low, high = span
    if high - low < POINT:
        return np.array([low]), np.eye(1)
    x, weights = unit_nodes(count)
    return low + (x + 1) / 2 * (high - low), weights


@cache
def unit_nodes(count: int) -> tuple[Array, Array]:
    """The same of -1 to 1; not to be written to."""
    x = chebyshev.chebpts1(count)
    return x, np.asarray(np.linalg.inv(chebyshev.chebvander(x, count - 1)), float)


def basis(at: Array, span: Span, count: int) -> Array:
    """T_0 to T_(count - 1) of a span (n, count)."""
    if count == 1:
        return np.ones((len(at), 1))
    x = (2 * at - span[0] - span[1]) / (span[1] - span[0])
    # T_k(cos t) = cos(k t)
    return np.cos(np.arccos(np.clip(x, -1.0, 1.0))[:, None] * np.arange(count))


@cache
def derivative(count: int) -> Array:
    """Matrix (count, count) from weights to those of the derivative, over -1 to 1."""
    matrix = np.zeros((count, count))
    if count > 1:
        matrix[:-1] = chebyshev.chebder(np.eye(count), axis=0)
    return matrix


@cache
def off_nodes(travel_nodes: int, steer_nodes: int) -> Array:
    """Places (n, 2) of the square -1 to 1 off all nodes: its corners, and some between nodes."""
    ends = [(i, j) for i in (-1.0, 1.0) for j in (-1.0, 1.0)]
    row = np.arange(1, steer_nodes)
    between = np.cos(np.pi * np.stack([5 * row % travel_nodes / travel_nodes, row / steer_nodes]))
    return np.concatenate([ends, between.T])


def _halves(span: Span) -> list[Span]:
    low, high = span
    middle = (low + high) / 2
    return [(low, middle), (middle, high)] if high - low > POINT else [span]

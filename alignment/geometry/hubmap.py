"""Hub poses of one setting as a smooth function of travel and steer.

Solving the linkage for every pose that a search looks at would be slow and needless: hub
centre and spin axis are smooth in travel and steer, so a tensor of Chebyshev polynomials
through a hundred solved poses gives any other to better than a micrometre. Where some
corner of the rectangle cannot be reached, poses are solved one by one instead, so only a
pose that is really visited can fail. Measured curves are not smooth between their rows but
cheap, so of them only the turn about the steering axis is fitted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Protocol

import numpy as np
from numpy.polynomial import chebyshev

from alignment.geometry.bump_steer_sheet import MeasuredMotion, Overlay
from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable
from alignment.geometry.motion import CurvesMotion, HubPoses, Motion, Settled, Steered

#: Nodes over travel and over steer: 1e-5 mm on road-car linkages, checked by a test.
TRAVEL_NODES, STEER_NODES = 9, 13


class HubMap(Protocol):
    """Hub poses at absolute travel (mm) and steer (rad), both (n,)."""

    def __call__(self, travel: Array, steer: Array) -> HubPoses: ...


@dataclass(frozen=True)
class FittedHub:
    """Chebyshev fit over a rectangle of travel and steer.

    ``weights`` (travel, steer, 6 + 6k): hub, spin, and the ends of k rods.
    """

    travel_span: tuple[float, float]
    steer_span: tuple[float, float]
    weights: Array

    breaks = np.zeros(0)

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        by_travel = _basis(travel, self.travel_span, self.weights.shape[0])
        by_steer = _basis(steer, self.steer_span, self.weights.shape[1])
        rows = by_travel @ self.weights.reshape(len(self.weights), -1)
        rows = rows.reshape(len(travel), *self.weights.shape[1:])
        both = np.einsum("nj,njk->nk", by_steer, rows)
        spin = both[:, 3:6] / np.linalg.norm(both[:, 3:6], axis=1, keepdims=True)
        tubes = both[:, 6:].reshape(len(both), -1, 2, 3) if both.shape[1] > 6 else None
        return HubPoses(both[:, :3], spin, tubes=tubes)


@dataclass(frozen=True)
class SolvedHub:
    """Every pose solved as asked for; raises Unreachable for one that cannot be reached."""

    motion: Motion
    settled: Settled
    rods: tuple[int, ...] = ()

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        angles, pick = np.unique(steer, return_inverse=True)
        steered = self.motion.steered(self.settled, np.zeros(len(angles), np.intp), angles)
        return with_rods(
            self.motion.travelled(self.settled, steered, pick.ravel(), travel), self.rods
        )


@dataclass(frozen=True)
class MeasuredHub:
    """A map of the bare model with a measured sheet laid over it."""

    bare: HubMap
    overlay: Overlay
    static_travel: float

    @property
    def breaks(self):
        return np.concatenate([self.bare.breaks, *(p.knots for p in self.overlay.added if p)])

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        static = np.full(len(travel), self.static_travel)
        return self.overlay.laid_on(self.bare(travel, steer), travel, static)


@dataclass(frozen=True)
class CurvesHub:
    """Measured curves as they are; ``weights`` (steer,) of the turn that gives a steer."""

    motion: CurvesMotion
    settled: Settled
    steer_span: tuple[float, float]
    weights: Array

    @property
    def breaks(self):
        return self.motion.curves.knots

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        held = _basis(steer, self.steer_span, len(self.weights)) @ self.weights
        first = np.zeros(len(steer), np.intp)
        steered = Steered(first, steer, self.settled.hub[first], self.settled.turn[first], held)
        return self.motion.travelled(self.settled, steered, np.arange(len(steer)), travel)


def hub_map(
    motion: Motion,
    settled: Settled,
    travel_span: tuple[float, float],
    steer_span: tuple[float, float],
    rods: tuple[int, ...] = (),
) -> HubMap:
    """Hub poses of a single setting over a span of travel (mm) and of steer (rad).

    ``rods`` picks the rods of a linkage whose ends the poses shall carry, in that order.
    """
    if isinstance(motion, MeasuredMotion):
        bare = hub_map(motion.bare, settled, travel_span, steer_span, rods)
        return MeasuredHub(bare, motion.overlay, float(settled.static_travel[0]))
    travel, to_travel = _nodes(travel_span, TRAVEL_NODES)
    steer, to_steer = _nodes(steer_span, STEER_NODES)
    first = np.zeros(len(steer), np.intp)
    if isinstance(motion, CurvesMotion):
        held = motion.steered(settled, first, steer).held
        return CurvesHub(motion, settled, steer_span, to_steer @ held)
    try:
        steered = motion.steered(settled, first, steer)
        pick = np.tile(np.arange(len(steer)), len(travel))
        poses = motion.travelled(settled, steered, pick, np.repeat(travel, len(steer)))
    except Unreachable:
        return SolvedHub(motion, settled, rods)
    values = [poses.hub, poses.spin]
    if rods and poses.tubes is not None:
        values.append(poses.tubes[:, list(rods)].reshape(len(poses.hub), -1))
    table = np.concatenate(values, axis=1).reshape(len(travel), len(steer), -1)
    weights = np.einsum("sj,tjk->tsk", to_steer, np.tensordot(to_travel, table, 1))
    return FittedHub(travel_span, steer_span, weights)


def with_rods(poses: HubPoses, rods: tuple[int, ...]) -> HubPoses:
    """Poses that carry the ends of the picked rods alone."""
    tubes = poses.tubes[:, list(rods)] if rods and poses.tubes is not None else None
    return HubPoses(poses.hub, poses.spin, poses.axis, tubes)


def _nodes(span: tuple[float, float], count: int) -> tuple[Array, Array]:
    """Chebyshev points of a span and the matrix from values there to weights."""
    low, high = span
    if high - low < 1e-12:
        return np.array([low]), np.eye(1)
    x, weights = _unit_nodes(count)
    return low + (x + 1) / 2 * (high - low), weights


@cache
def _unit_nodes(count: int) -> tuple[Array, Array]:
    """The same of -1 to 1; not to be written to."""
    x = chebyshev.chebpts1(count)
    return x, np.asarray(np.linalg.inv(chebyshev.chebvander(x, count - 1)), float)


def _basis(at: Array, span: tuple[float, float], count: int) -> Array:
    if count == 1:
        return np.ones((len(at), 1))
    x = (2 * at - span[0] - span[1]) / (span[1] - span[0])
    if x.size and max(x.max(), -x.min()) > 1.0 + 1e-9:
        raise ValueError(f"a pose beyond the fitted span {span[0]:g} to {span[1]:g} was asked for")
    # T_k(cos t) = cos(k t)
    return np.cos(np.arccos(np.clip(x, -1.0, 1.0))[:, None] * np.arange(count))

"""Bounds of how fast, and how crookedly, features move past a wheel: constants of a Taylor bound.

A feature's point P(w) is seen from the hub at steer s and share of height h as

    F(s, h, w) = (a, r),   a = q·σ,   r = |q - aσ|,   q = P(w) - c(s, h),   |σ| = 1.

For each coordinate u of (s, h, w) this module bounds |F_u| and |F_uu|. With v̂ the unit vector
of q - aσ and τ = σ × v̂, differentiating twice gives

    a_uu = q_uu·σ + 2 q_u·σ_u + q·σ_uu
    r_uu = v̂·q_uu - 2 (q_u·σ)(v̂·σ_u) - r (v̂·σ_u)² - a v̂·σ_uu + (q_u·τ - a σ_u·τ)²/r

and every factor is bounded over the whole envelope: hub c, camber γ and toe τ are smooth in
travel and steer (between the rows of a measured table), so each is a sum of Chebyshev
polynomials T_j(travel) T_k(steer), |T| ≤ 1, and a derivative is no larger than the sum of its
coefficients' sizes (Mason & Handscomb, *Chebyshev Polynomials*, 2003, ch. 2). The textbook bounds
a remainder by interval arithmetic in every box; here one set of constants serves a whole corner.
Millimetres; steer in radians, share of height without unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import chebyshev

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.envelope import Envelope
from fitment.engine.minimum.feature_curves import Course

#: Chebyshev points over a stretch of travel and over steer.
TRAVEL_NODES, STEER_NODES = 9, 13
#: Poses between those at which the sums are held against the map, per stretch.
HELD = 16
#: The error found there is taken this often.
SAFETY = 2.0


@dataclass(frozen=True)
class Speeds:
    """Bounds of first and second derivatives over steer and share, (..., 2) each.

    ``point`` and ``point2`` of q (mm), ``spin`` and ``spin2`` of the spin axis.
    """

    point: Array
    point2: Array
    spin: Array
    spin2: Array

    def at(self, *pick: Index) -> Speeds:
        """The rows that ``pick`` names."""
        return Speeds(self.point[pick], self.point2[pick], self.spin[pick], self.spin2[pick])


@dataclass(frozen=True)
class _Sups:
    """Bounds of a quantity's derivatives by travel and by steer, and of the second ones."""

    z: float
    s: float
    zz: float
    zs: float
    ss: float

    def along(self, by_travel: Array, with_steer: Array) -> tuple[Array, Array]:
        """First and second bounds (..., 2) over (steer, share) where share moves the travel by
        ``by_travel`` and steer by ``with_steer`` per unit."""
        first = np.stack([self.s + with_steer * self.z, by_travel * self.z], axis=-1)
        second = np.stack(
            [
                self.ss + 2 * with_steer * self.zs + with_steer**2 * self.zz,
                by_travel**2 * self.zz,
            ],
            axis=-1,
        )
        return first, second


@dataclass(frozen=True)
class Bends:
    """What bounds the motion of a room's features.

    ``speeds`` (carriers, kinds, intervals, 2): carriers are what the body carries, then every
    tube, last what does not move; intervals lie between the envelope's knots. ``hub_error_mm``
    and ``spin_error`` say how far these polynomials are from the map.
    """

    speeds: Speeds
    hub_error_mm: float
    spin_error: float

    def error_mm(self, far_mm: Array) -> Array:
        """How far off places are that lie so far (n,) from the hub."""
        return np.asarray(self.hub_error_mm + self.spin_error * far_mm, float)


def bends_of(
    envelope: Envelope, poses_at, breaks: Array, tubes: int
) -> Bends:
    """Bounds for an envelope whose bare poses ``poses_at(travel, steer)`` gives.

    ``breaks`` (k,) are travels between which the map is smooth.
    """
    low, high = envelope.travel_span
    inner = breaks[(breaks > low + 1e-9) & (breaks < high - 1e-9)]
    stops = np.unique(np.concatenate([[low], inner, [high]]))
    steer_span = envelope.steer_span
    stretches = list(zip(stops[:-1], stops[1:], strict=True)) or [(low, low)]
    travel_count = TRAVEL_NODES if len(stretches) == 1 else 7
    xz = _nodes(travel_count) if high > low else np.zeros(1)
    xs = _nodes(STEER_NODES) if steer_span[1] > steer_span[0] else np.zeros(1)
    rng = np.random.default_rng(0)
    held = rng.uniform(-1.0, 1.0, (HELD, 2))
    held[:4] = [[-1, -1], [-1, 1], [1, -1], [1, 1]]
    grid = np.stack(np.meshgrid(xz, xs, indexing="ij"), axis=-1).reshape(-1, 2)
    unit = np.concatenate([grid, held])
    travel = np.concatenate([_scaled(unit[:, 0], stretch) for stretch in stretches])
    steer = np.tile(_scaled(unit[:, 1], steer_span), len(stretches))
    bare = poses_at(travel, steer)
    kinds = [bare] if envelope.elastic is None else [bare, envelope.elastic.applied(bare)]
    columns = [bare.hub, frames.camber_of(bare.spin)[:, None], frames.toe_of(bare.spin)[:, None]]
    for poses in kinds:
        if tubes and poses.tubes is not None:
            arms = poses.tubes - poses.hub[:, None, None]
            columns += [arms[:, tube, end] for tube in range(tubes) for end in (0, 1)]
    sizes = np.cumsum([0, *(part.shape[1] for part in columns)])
    table = np.concatenate(columns, axis=1).reshape(len(stretches), len(unit), -1)
    nodes = table[:, : len(grid)].reshape(len(stretches), len(xz), len(xs), -1)
    weights = np.einsum(
        "az,pzsk->pask", _to_weights(len(xz)), np.einsum("bs,pzsk->pzbk", _to_weights(len(xs)), nodes)
    )
    vz = chebyshev.chebvander(held[:, 0], len(xz) - 1)
    vs = chebyshev.chebvander(held[:, 1], len(xs) - 1)
    if len(xz) == 1:
        vz = np.ones((HELD, 1))
    if len(xs) == 1:
        vs = np.ones((HELD, 1))
    off = np.abs(np.einsum("na,nb,pabk->pnk", vz, vs, weights) - table[:, len(grid) :])
    width = np.array([(b - a) / 2 for a, b in stretches])
    half_steer = (steer_span[1] - steer_span[0]) / 2
    sups = [
        _sups(weights[..., first:last], width, half_steer)
        for first, last in zip(sizes[:-1], sizes[1:], strict=True)
    ]
    errors = [float(off[..., a:b].max()) for a, b in zip(sizes[:-1], sizes[1:], strict=True)]
    # Steps of travel per share, and with steer, for each kind and interval between knots.
    knots = envelope.knots
    rise = np.abs(np.diff(knots[:, 1]) / np.maximum(np.diff(knots[:, 0]), 1e-12)) if len(
        knots
    ) > 1 else np.zeros(1)
    top = np.maximum(knots[:-1, 1], knots[1:, 1]) if len(knots) > 1 else knots[:, 1]
    floor = np.array([envelope.lower_travel, envelope.static_travel])[: len(kinds)]
    by_travel = top[None] - floor[:, None]
    with_steer = np.broadcast_to(rise, by_travel.shape)
    hub1, hub2 = sups[0].along(by_travel, with_steer)
    camber1, camber2 = sups[1].along(by_travel, with_steer)
    toe1, toe2 = sups[2].along(by_travel, with_steer)
    spin1, spin2 = np.hypot(camber1, toe1), camber2 + toe2 + (camber1 + toe1) ** 2
    point1, point2 = [hub1], [hub2]
    for tube in range(tubes):
        first, second = np.zeros_like(hub1), np.zeros_like(hub2)
        for kind in range(len(kinds)):
            for end in (0, 1):
                one, two = sups[3 + 2 * tubes * kind + 2 * tube + end].along(
                    by_travel[kind], with_steer[kind]
                )
                first[kind] = np.maximum(first[kind], one)
                second[kind] = np.maximum(second[kind], two)
        point1.append(first)
        point2.append(second)
    still = np.zeros_like(hub1)
    count = len(point1)
    speeds = Speeds(
        np.stack([*point1, still]),
        np.stack([*point2, still]),
        np.stack([*[spin1] * count, still]),
        np.stack([*[spin2] * count, still]),
    )
    hub_error = SAFETY * max(np.sqrt(3.0) * errors[0], *(np.sqrt(3) * e for e in errors[3:]), 0.0)
    return Bends(speeds, hub_error, SAFETY * (errors[1] + errors[2]))


def _sups(weights: Array, width: Array, half_steer: float) -> _Sups:
    """Bounds from Chebyshev weights (stretches, travel, steer, columns)."""
    dz, ds = _derivative(weights.shape[1]), _derivative(weights.shape[2])
    per_z = (1.0 / np.maximum(width, 1e-12))[:, None, None, None]
    per_s = 1.0 / max(half_steer, 1e-12)
    by_z = np.einsum("za,pask->pzsk", dz, weights) * per_z
    by_s = np.einsum("sb,pzbk->pzsk", ds, weights) * per_s
    by_zz = np.einsum("za,pask->pzsk", dz, by_z) * per_z
    by_zs = np.einsum("sb,pzbk->pzsk", ds, by_z) * per_s
    by_ss = np.einsum("sb,pzbk->pzsk", ds, by_s) * per_s
    return _Sups(*(_size(part) for part in (by_z, by_s, by_zz, by_zs, by_ss)))


def _size(weights: Array) -> float:
    return float(np.sqrt(np.sum(weights**2, axis=-1)).sum(axis=(1, 2)).max())


def _scaled(x: Array, span: tuple[float, float]) -> Array:
    return np.clip(span[0] + (x + 1) / 2 * (span[1] - span[0]), *span)


@cache
def _nodes(count: int) -> Array:
    return chebyshev.chebpts1(count)


@cache
def _to_weights(count: int) -> Array:
    if count == 1:
        return np.eye(1)
    return np.linalg.inv(chebyshev.chebvander(_nodes(count), count - 1))


@cache
def _derivative(count: int) -> Array:
    """Matrix (count, count) from weights to those of the derivative."""
    matrix = np.zeros((count, count))
    if count > 1:
        matrix[:-1] = chebyshev.chebder(np.eye(count), axis=0)
    return matrix

"""Bounds of how fast, and how crookedly, features move past a wheel.

A feature's point P(w) is seen from the hub at steer s and share of height h as

    F(s, h, w) = (a, r),   a = q·σ,   r = |q - aσ|,   q = P(w) - c(s, h),   |σ| = 1.

For each coordinate u of (s, h, w) bounds of |F_u| and |F_uu| are wanted. With v̂ the unit vector of
q - aσ and τ = σ × v̂, differentiating twice gives

    a_uu = q_uu·σ + 2 q_u·σ_u + q·σ_uu
    r_uu = v̂·q_uu - 2 (q_u·σ)(v̂·σ_u) - r (v̂·σ_u)² - a v̂·σ_uu + (q_u·τ - a σ_u·τ)²/r,

so bounds of q_u, q_uu, σ_u and σ_uu suffice; here they are worked out, in ``cells`` put together.
Hub c, camber and toe are Chebyshev sums over the stretches on which a map is smooth, and a
derivative of a sum is no larger than its weights together. A textbook would bound a remainder by
interval arithmetic in every box (Moore, Kearfott & Cloud, *Introduction to Interval Analysis*,
2009, ch. 6); one set of constants for each zone of steer is enough here. How far the sums are
from the map is measured off their nodes and enters every bound. Millimetres; steer in radians.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.chebyshev_patch import POINT, basis, derivative, off_nodes, unit_nodes
from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.hubmap import LEVER_MM, HubMap
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.envelope import Envelope

#: Chebyshev points over travel and steer, and over travel where stretches are many and short.
TRAVEL_NODES, SHORT_NODES, STEER_NODES = 9, 7, 13
#: The error found off the nodes is taken so often.
SAFETY = 2.0
#: What a kink of the spin axis does to a tube's end under load besides, as a factor: the turn that
#: load adds is less than 0.05 rad.
UNDER_LOAD = 1.1


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
class Kinks:
    """Travels (k,) at which the way of the spin axis has a kink, where a second derivative is no
    bound; ``turn`` (kinds, zones, 2) is the most that its first derivatives jump there."""

    travel: Array
    turn: Array

    def crossed(self, envelope: Envelope, low: Array, high: Array, loaded: Flags) -> Flags:
        """Which boxes (n,) of steer and share, from ``low`` to ``high`` (n, 2), hold a kink."""
        corners = [
            envelope.travel(steer, share, loaded)
            for steer in (low[:, 0], high[:, 0])
            for share in (low[:, 1], high[:, 1])
        ]
        least, greatest = np.min(corners, axis=0), np.max(corners, axis=0)
        held = (self.travel >= least[:, None]) & (self.travel <= greatest[:, None])
        return np.asarray(held.any(axis=1))


@dataclass(frozen=True)
class Bends:
    """What bounds the motion of a room's features.

    ``speeds`` (carriers, kinds, zones, 2): carriers are the body, then every tube, last what does
    not move; kinds poses without and with load; zones of steer lie between ``zone_ends``.
    ``hub_error_mm`` and ``spin_error`` say how far the sums are from the map, ``map_error_mm`` how
    far the map is from the motion.
    """

    speeds: Speeds
    zone_ends: Array
    hub_error_mm: float
    spin_error: float
    map_error_mm: float
    kinks: Kinks

    def zone(self, steer: Array) -> Index:
        """The zones in which steer angles (n,) lie."""
        return np.clip(np.searchsorted(self.zone_ends, steer) - 1, 0, len(self.zone_ends) - 2)

    def error_mm(self, far_mm: Array) -> Array:
        """How far off places are that lie so far (n,) from the hub."""
        lever = np.maximum(far_mm / LEVER_MM, 1.0)
        error: Array = self.hub_error_mm + self.spin_error * far_mm + self.map_error_mm * lever
        return error


def zone_ends(envelope: Envelope, hubs: HubMap) -> Array:
    """Steer angles (k,) between which bounds hold: bends of the envelope, seams of the map."""
    low, high = envelope.steer_span
    seams = np.array([end for stretch in hubs.stretches for end in stretch.steer])
    ends = np.concatenate([envelope.knots[:, 0], seams[(seams > low) & (seams < high)]])
    ends = np.unique(ends)
    return ends if len(ends) > 1 else np.repeat(ends, 2)


def bends_of(envelope: Envelope, hubs: HubMap, tubes: int) -> Bends:
    """Bounds for the poses of an envelope, with so many tubes among what they carry."""
    sums = _Sums(envelope, hubs, tubes)
    ends = zone_ends(envelope, hubs)
    return _bends(envelope, sums, ends, tubes, hubs)


class _Sums:
    """Chebyshev sums of hub, camber, toe and the tubes' arms over every stretch of a map."""

    def __init__(self, envelope: Envelope, hubs: HubMap, tubes: int) -> None:
        self.stretches = hubs.stretches
        first = self.stretches[0]
        self.half = np.array(
            [[(b - a) / 2 for a, b in (one.travel, one.steer)] for one in self.stretches]
        )
        several = SHORT_NODES if len(self.stretches) > 1 else TRAVEL_NODES
        counts = [
            count if span[1] - span[0] > POINT else 1
            for count, span in ((several, first.travel), (STEER_NODES, first.steer))
        ]
        ticks = [unit_nodes(count)[0] if count > 1 else np.zeros(1) for count in counts]
        grid = np.stack(np.meshgrid(*ticks, indexing="ij"), axis=-1).reshape(-1, 2)
        off = off_nodes(TRAVEL_NODES, STEER_NODES)
        unit = np.concatenate([grid, off])
        travel, steer = (
            np.concatenate(part)
            for part in zip(*(one.at(unit) for one in self.stretches), strict=True)
        )
        columns = _quantities(envelope, hubs(travel, steer), tubes)
        self.ends = np.cumsum([0, *(part.shape[1] for part in columns)])
        table = np.concatenate(columns, axis=1).reshape(len(self.stretches), len(unit), -1)
        values = table[:, : len(grid)].reshape(len(self.stretches), *counts, -1)
        to_travel, to_steer = (unit_nodes(count)[1] if count > 1 else np.eye(1) for count in counts)
        by_steer = np.einsum("bs,pzsk->pzbk", to_steer, values)
        self.weights = np.einsum("az,pzbk->pabk", to_travel, by_steer)
        rows = (basis(x, (-1.0, 1.0), count) for x, count in zip(off.T, counts, strict=True))
        got = np.einsum("na,nb,pabk->pnk", *rows, self.weights)
        self._off = np.abs(got - table[:, len(grid) :]).max(axis=(0, 1))

    def off(self, quantity: int) -> float:
        """How far off its nodes a quantity's sums are from the map."""
        part = self._off[self.ends[quantity] : self.ends[quantity + 1]]
        return SAFETY * float(np.linalg.norm(part))

    def sups(self, quantity: int, zones: Flags) -> Array:
        """Bounds (5, zones) of a quantity's derivatives by travel z and steer s: z, s, zz, zs, ss.

        ``zones`` (stretches, zones) tells which stretches lie in each.
        """
        weights = self.weights[..., self.ends[quantity] : self.ends[quantity + 1]]
        by_travel, by_steer = (derivative(count) for count in weights.shape[1:3])
        per = 1.0 / np.maximum(self.half, 1e-12)
        z = np.einsum("ca,pabk->pcbk", by_travel, weights) * per[:, 0, None, None, None]
        s = np.einsum("cb,pabk->pack", by_steer, weights) * per[:, 1, None, None, None]
        zz = np.einsum("ca,pabk->pcbk", by_travel, z) * per[:, 0, None, None, None]
        zs = np.einsum("cb,pabk->pack", by_steer, z) * per[:, 1, None, None, None]
        ss = np.einsum("cb,pabk->pack", by_steer, s) * per[:, 1, None, None, None]
        size = np.stack(
            [np.sqrt(np.sum(one * one, axis=-1)).sum(axis=(1, 2)) for one in (z, s, zz, zs, ss)]
        )
        greatest: Array = np.where(zones, size[:, :, None], 0.0).max(axis=1)
        return greatest


def _quantities(envelope: Envelope, bare: HubPoses, tubes: int) -> list[Array]:
    """Hub, camber, toe, and from the hub both ends of every tube, without and with load."""
    columns = [bare.hub, frames.camber_of(bare.spin)[:, None], frames.toe_of(bare.spin)[:, None]]
    kinds = [bare] if envelope.elastic is None else [bare, envelope.elastic.applied(bare)]
    for poses in kinds:
        if tubes and poses.tubes is not None:
            arms = poses.tubes - poses.hub[:, None, None]
            columns += [arms[:, tube, end] for tube in range(tubes) for end in (0, 1)]
    return columns


def _bends(envelope: Envelope, sums: _Sums, ends: Array, tubes: int, hubs: HubMap) -> Bends:
    left, right = ends[:-1], ends[1:]
    spans = np.array([stretch.steer for stretch in sums.stretches])
    zones = (spans[:, :1] <= right + 1e-12) & (spans[:, 1:] >= left - 1e-12)
    knots, top = envelope.knots.T
    upper = np.maximum(np.interp(left, knots, top), np.interp(right, knots, top))
    rise = np.abs(np.interp(right, knots, top) - np.interp(left, knots, top))
    rise = rise / np.maximum(right - left, 1e-12)
    kinds = 1 if envelope.elastic is None else 2
    lower = np.array([envelope.lower_travel, envelope.static_travel])[:kinds]
    tall = upper - lower[:, None]

    def along(quantity: int) -> tuple[Array, Array]:
        return _along(sums.sups(quantity, zones), tall, rise)

    (hub, hub2), (camber, camber2), (toe, toe2) = (along(quantity) for quantity in range(3))
    spin, spin2 = np.hypot(camber, toe), camber2 + toe2 + (camber + toe) ** 2
    point, point2 = [hub], [hub2]
    for tube in range(tubes):
        first, second = np.zeros_like(hub), np.zeros_like(hub)
        for kind in range(kinds):
            for end in (0, 1):
                one, two = along(3 + 2 * tubes * kind + 2 * tube + end)
                first[kind] = np.maximum(first[kind], one[kind])
                second[kind] = np.maximum(second[kind], two[kind])
        point.append(first)
        point2.append(second)
    still, moving = np.zeros_like(hub), 1 + tubes
    speeds = Speeds(
        np.stack([*point, still]),
        np.stack([*point2, still]),
        np.stack([*[spin] * moving, still]),
        np.stack([*[spin2] * moving, still]),
    )
    arms = (sums.off(quantity) for quantity in range(3, len(sums.ends) - 1))
    hub_error = sums.off(0) + max(arms, default=0.0)
    size = UNDER_LOAD * hubs.kinks[:, 1].max(initial=0.0)
    turn = size * np.stack([np.broadcast_to(rise, tall.shape), tall], axis=-1)
    kinks = Kinks(hubs.kinks[:, 0], turn)
    spin_error = sums.off(1) + sums.off(2)
    return Bends(speeds, ends, hub_error, spin_error, hubs.error_mm, kinks)


def _along(sups: Array, tall: Array, rise: Array) -> tuple[Array, Array]:
    """First and second bounds (kinds, zones, 2) over steer and share.

    A share of height is ``tall`` (kinds, zones) of travel, and with steer the travel of a share
    changes by ``rise`` (zones,) at most.
    """
    z, s, zz, zs, ss = sups
    over_steer = np.broadcast_to(s + rise * z, tall.shape)
    over_steer2 = np.broadcast_to(ss + 2 * rise * zs + rise**2 * zz, tall.shape)
    first = np.stack([over_steer, tall * z], axis=-1)
    return first, np.stack([over_steer2, tall**2 * zz], axis=-1)

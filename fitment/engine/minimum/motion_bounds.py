"""Bounds of the first and second derivatives of where features lie relative to the wheel.

A feature's point P(w) is seen from the hub at steer s and share of height h as

    F(s, h, w) = (a, r),   a = q·σ,   r = |q - aσ|,   q = P(w) - c(s, h),   |σ| = 1.

For each coordinate u of (s, h, w) bounds of |F_u| and |F_uu| are wanted. With v̂ the unit vector of
q - aσ and τ = σ × v̂, differentiating twice gives

    a_uu = q_uu·σ + 2 q_u·σ_u + q·σ_uu
    r_uu = v̂·q_uu - 2 (q_u·σ)(v̂·σ_u) - r (v̂·σ_u)² - a v̂·σ_uu + (q_u·τ - a σ_u·τ)²/r,

so bounds of q_u, q_uu, σ_u and σ_uu suffice; here they are worked out (``pose_sums``), in ``cells``
put together. A tube turns with the knuckle at one end, so for it a and r² are bounded directly.
A textbook would bound a remainder by
interval arithmetic in every box (Moore, Kearfott & Cloud, *Introduction to Interval Analysis*,
2009, ch. 6); one set of constants for each zone of steer is enough here. How far the sums are
from the map is measured off their nodes and enters every bound. Millimetres; steer in radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.chebyshev_patch import POINT
from alignment.geometry.frames import Array, Index
from alignment.geometry.hubmap import LEVER_MM, HubMap
from fitment.engine.minimum.envelope import Envelope
from fitment.engine.minimum.pose_sums import (
    CAMBER,
    HUB,
    INNER,
    INNER_AXIAL,
    INNER_SQUARE,
    OUTER,
    OUTER_AXIAL,
    OUTER_SQUARE,
    PRODUCT,
    TOE,
    PoseSums,
    Quantity,
)

#: Bounds of a tube's own motion are used from this radius on, mm.
LEAST_TUBE_MM = 50.0
TUBE_NAMES = (INNER, OUTER, INNER_AXIAL, OUTER_AXIAL, INNER_SQUARE, PRODUCT, OUTER_SQUARE)
#: What a kink of the spin axis does to a tube's end under load besides, as a factor: the turn that
#: load adds is less than 0.05 rad.
UNDER_LOAD = 1.1


@dataclass(frozen=True)
class DerivativeBounds:
    """Bounds of first and second derivatives over steer and share, (..., 2) each.

    ``point`` and ``point2`` of q (mm), ``spin`` and ``spin2`` of the spin axis.
    """

    point: Array
    point2: Array
    spin: Array
    spin2: Array

    def at(self, *pick: Index) -> DerivativeBounds:
        """The rows that ``pick`` names."""
        return DerivativeBounds(
            self.point[pick], self.point2[pick], self.spin[pick], self.spin2[pick]
        )


@dataclass(frozen=True)
class TubeBounds:
    """Bounds of first and second derivatives, (2, kinds, zones, 2) each, of what a tube is to the
    wheel: axial places of its ends, and products of their places square to the spin axis."""

    inner_axial: Array
    outer_axial: Array
    inner_square: Array
    product: Array
    outer_square: Array

    def seen(
        self, kind: Index, zone: Index, low: Array, high: Array
    ) -> tuple[Array, Array, Array, Array]:
        """Bounds (n, 2) of a_u, a_uu, (r²)_u, (r²)_uu between ``low`` and ``high`` (n,) along it.

        a = (1 - w) a₁ + w a₂ and r² = (1 - w)² v₁·v₁ + 2 w (1 - w) v₁·v₂ + w² v₂·v₂.
        """
        inner, outer = (1.0 - low)[:, None], high[:, None]
        half = np.clip(0.5, low, high)
        mixed = (2.0 * half * (1.0 - half))[:, None]
        axial = [
            inner * self.inner_axial[order][kind, zone]
            + outer * self.outer_axial[order][kind, zone]
            for order in (0, 1)
        ]
        square = [
            inner**2 * self.inner_square[order][kind, zone]
            + mixed * self.product[order][kind, zone]
            + outer**2 * self.outer_square[order][kind, zone]
            for order in (0, 1)
        ]
        return axial[0], axial[1], square[0], square[1]


@dataclass(frozen=True)
class Kinks:
    """Travels (k,) at which the way of the spin axis has a kink, where a second derivative is no
    bound.

    ``by_travel`` (k,) is the most that its first derivative by travel jumps there, rad/mm, and
    ``steps`` (kinds, zones, 2) the travel for each rad of steer and each share of height.
    """

    travel: Array
    by_travel: Array
    steps: Array

    @property
    def turn(self) -> Array:
        """The most (kinds, zones, 2) that first derivatives jump at all kinks together."""
        return np.asarray(self.steps * self.by_travel.sum(), float)

    def crossed(self, envelope: Envelope, low: Array, high: Array, loaded: Index) -> Array:
        """How much (n,) the derivative by travel jumps inside boxes of steer and share, from
        ``low`` to ``high`` (n, 2), rad/mm."""
        corners = [
            envelope.travel(steer, share, loaded)
            for steer in (low[:, 0], high[:, 0])
            for share in (low[:, 1], high[:, 1])
        ]
        least, greatest = np.min(corners, axis=0), np.max(corners, axis=0)
        held = (self.travel >= least[:, None]) & (self.travel <= greatest[:, None])
        return np.asarray(held @ self.by_travel, float)


@dataclass(frozen=True)
class MotionBounds:
    """What bounds the motion of a room's features.

    ``speeds`` (carriers, kinds, zones, 2): carriers are the body, then every tube, last what does
    not move; kinds those of the envelope's poses; zones of steer lie between ``zone_ends``.
    ``hub_error_mm`` and ``spin_error`` say how far the sums are from the map, ``map_error_mm`` how
    far the map is from the motion.
    """

    speeds: DerivativeBounds
    tubes: Sequence[TubeBounds]
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


def motion_bounds_of(envelope: Envelope, hubs: HubMap, tubes: int) -> MotionBounds:
    """Bounds for the poses of an envelope, with so many tubes among what they carry."""
    sums, ends = PoseSums(envelope, hubs, tubes), zone_ends(envelope, hubs)
    ways = _ShareBounds(envelope, sums, ends)
    (hub, hub2), (camber, camber2), (toe, toe2) = (ways.of(one) for one in (HUB, CAMBER, TOE))
    spin, spin2 = np.hypot(camber, toe), camber2 + toe2 + (camber + toe) ** 2
    arms = [
        np.maximum(ways.of_tube(INNER, tube), ways.of_tube(OUTER, tube)) for tube in range(tubes)
    ]
    still, moving = np.zeros_like(hub), 1 + tubes
    speeds = DerivativeBounds(
        np.stack([hub, *(first for first, _ in arms), still]),
        np.stack([hub2, *(second for _, second in arms), still]),
        np.stack([*[spin] * moving, still]),
        np.stack([*[spin2] * moving, still]),
    )
    steps = np.stack([ways.rise, ways.tall], axis=-1)
    return MotionBounds(
        speeds,
        [_tube_speeds(ways, tube) for tube in range(tubes)],
        ends,
        hub_error_mm=sums.off(HUB) + _tubes_off(sums, tubes, len(ways.tall)),
        spin_error=sums.off(CAMBER) + sums.off(TOE),
        map_error_mm=hubs.error_mm,
        kinks=Kinks(hubs.kinks[:, 0], UNDER_LOAD * hubs.kinks[:, 1], steps),
    )


def _tube_speeds(ways: _ShareBounds, tube: int) -> TubeBounds:
    names = (INNER_AXIAL, OUTER_AXIAL, INNER_SQUARE, PRODUCT, OUTER_SQUARE)
    return TubeBounds(*(ways.of_tube(name, tube) for name in names))


def _tubes_off(sums: PoseSums, tubes: int, kinds: int) -> float:
    """How far off tubes seen in the section are at most, for a radius of LEAST_TUBE_MM or more."""
    worst = 0.0
    for tube in range(tubes):
        for kind in range(kinds):
            off = {name: sums.off((name, tube, kind)) for name in TUBE_NAMES}
            squares = off[INNER_SQUARE] + 2 * off[PRODUCT] + off[OUTER_SQUARE]
            seen = off[INNER_AXIAL] + off[OUTER_AXIAL] + squares / (2 * LEAST_TUBE_MM)
            worst = max(worst, off[INNER] + off[OUTER], seen)
    return worst


class _ShareBounds:
    """Turns bounds by travel and steer into bounds by share of height and steer."""

    def __init__(self, envelope: Envelope, sums: PoseSums, ends: Array) -> None:
        left, right = ends[:-1], ends[1:]
        spans = np.array([stretch.steer for stretch in sums.stretches])
        self.sums = sums
        self.zones = (spans[:, :1] <= right + POINT) & (spans[:, 1:] >= left - POINT)
        at_left, at_right = envelope.upper_travel(left), envelope.upper_travel(right)
        falls, lower = envelope.falls[:, None], envelope.lowest[:, None]
        #: Travel per share, and what a share's travel changes by per steer, (kinds, zones) each.
        self.tall = np.where(falls, envelope.static_travel, np.maximum(at_left, at_right)) - lower
        rise = np.abs(at_right - at_left) / np.maximum(right - left, POINT)
        self.rise = np.where(falls, 0.0, rise)

    def of(self, quantity: Quantity) -> tuple[Array, Array]:
        """First and second bounds (kinds, zones, 2) of a quantity over steer and share."""
        return _along(self.sums.sups(quantity, self.zones), self.tall, self.rise)

    def of_tube(self, name: str, tube: int) -> Array:
        """The same of what a tube has in every kind of poses, (2, kinds, zones, 2)."""
        each = [self.of((name, tube, kind)) for kind in range(len(self.tall))]
        return np.stack([[one[order][kind] for kind, one in enumerate(each)] for order in (0, 1)])


def _along(sups: Array, tall: Array, rise: Array) -> tuple[Array, Array]:
    """First and second bounds (kinds, zones, 2) over steer and share.

    A share of height is ``tall`` (kinds, zones) of travel, and with steer the travel of a share
    changes by ``rise`` (kinds, zones) at most.
    """
    z, s, zz, zs, ss = sups
    over_steer = s + rise * z
    over_steer2 = ss + 2 * rise * zs + rise**2 * zz
    first = np.stack([over_steer, tall * z], axis=-1)
    return first, np.stack([over_steer2, tall**2 * zz], axis=-1)

"""Chebyshev sums of what a room's poses carry, and bounds of their derivatives.

    f(z, s) = Σ_jk w_jk T_j(z) T_k(s),   |T| ≤ 1,   so   |∂f| ≤ Σ_jk |(∂w)_jk|

over every stretch of travel z and steer s on which a hub map is smooth (Mason & Handscomb,
*Chebyshev Polynomials*, 2003, ch. 2). Sums are of hub, camber and toe; and for every tube of the
arms q₁, q₂ from the hub to its inner and outer end, of their axial places q·σ, and of the products
v₁·v₁, v₁·v₂ and v₂·v₂ of what is left of them square to the spin axis σ. What a tube's outer joint
is for the wheel does not change, which these products show and the arms do not.
Millimetres; radians.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from alignment.geometry import frames
from alignment.geometry.chebyshev_patch import POINT, basis, derivative, off_nodes, unit_nodes
from alignment.geometry.frames import Array, Flags
from alignment.geometry.hubmap import HubMap
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.envelope import Envelope

#: Chebyshev points over travel and steer, and over travel where stretches are many and short.
TRAVEL_NODES, SHORT_NODES, STEER_NODES = 9, 7, 13
#: The error found off the nodes is taken so often.
SAFETY = 2.0

#: What a sum is of: its name, and for what a tube has, which tube in which kind of poses.
Quantity = tuple[str, int, int]
HUB, CAMBER, TOE = (("hub", 0, 0), ("camber", 0, 0), ("toe", 0, 0))
INNER, OUTER = "inner arm", "outer arm"
INNER_AXIAL, OUTER_AXIAL = "inner axial", "outer axial"
INNER_SQUARE, PRODUCT, OUTER_SQUARE = "inner square", "product", "outer square"


class PoseSums:
    """Sums over every stretch of a map; a stretch is a rectangle of travel and steer."""

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
        quantities = _quantities(envelope, hubs(travel, steer), tubes)
        ends = np.cumsum([0, *(part.shape[1] for part in quantities.values())])
        spans = (slice(*span) for span in pairwise(ends))
        self._columns = dict(zip(quantities, spans, strict=True))
        table = np.concatenate(list(quantities.values()), axis=1)
        table = table.reshape(len(self.stretches), len(unit), -1)
        values = table[:, : len(grid)].reshape(len(self.stretches), *counts, -1)
        to_travel, to_steer = (unit_nodes(count)[1] if count > 1 else np.eye(1) for count in counts)
        by_steer = np.einsum("bs,pzsk->pzbk", to_steer, values)
        self.weights = np.einsum("az,pzbk->pabk", to_travel, by_steer)
        rows = (basis(x, (-1.0, 1.0), count) for x, count in zip(off.T, counts, strict=True))
        got = np.einsum("na,nb,pabk->pnk", *rows, self.weights)
        self._off = np.abs(got - table[:, len(grid) :]).max(axis=(0, 1))

    def off(self, quantity: Quantity) -> float:
        """How far off its nodes a quantity's sums are from the map."""
        return SAFETY * float(np.linalg.norm(self._off[self._columns[quantity]]))

    def sups(self, quantity: Quantity, zones: Flags) -> Array:
        """Bounds (5, zones) of a quantity's derivatives by travel z and steer s: z, s, zz, zs, ss.

        ``zones`` (stretches, zones) tells which stretches lie in each.
        """
        weights = self.weights[..., self._columns[quantity]]
        by_travel, by_steer = (derivative(count) for count in weights.shape[1:3])
        per = 1.0 / np.maximum(self.half, POINT)
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


def _quantities(envelope: Envelope, bare: HubPoses, tubes: int) -> dict[Quantity, Array]:
    """What sums are made of at poses (n,): columns (n, 1 or 3)."""
    found = {
        HUB: bare.hub,
        CAMBER: frames.camber_of(bare.spin)[:, None],
        TOE: frames.toe_of(bare.spin)[:, None],
    }
    kinds = [bare, *(load.applied(bare) for load in envelope.loads)]
    for kind, poses in enumerate(kinds):
        if not tubes or poses.rod_ends is None:
            continue
        arms = poses.rod_ends - poses.hub[:, None, None]
        axial = arms @ poses.spin[:, None, :, None]
        square = arms - axial * poses.spin[:, None, None]
        for tube in range(tubes):
            v1, v2 = square[:, tube, 0], square[:, tube, 1]
            for name, values in (
                (INNER, arms[:, tube, 0]),
                (OUTER, arms[:, tube, 1]),
                (INNER_AXIAL, axial[:, tube, 0]),
                (OUTER_AXIAL, axial[:, tube, 1]),
                (INNER_SQUARE, np.sum(v1 * v1, axis=1, keepdims=True)),
                (PRODUCT, np.sum(v1 * v2, axis=1, keepdims=True)),
                (OUTER_SQUARE, np.sum(v2 * v2, axis=1, keepdims=True)),
            ):
                found[name, tube, kind] = values
    return found

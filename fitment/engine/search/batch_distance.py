"""Many wheels and tyres at once, as tangent lines, rectangles and a line along the spokes.

A quick stand-in for ``Section`` where thousands of combinations are compared: the tyre is the
convex hull that its tangents bound (distance by its support function, standard method), the rim a
handful of rectangles. Outside the solid the tangents never say too much, and with ``FINE`` tangents
they say too little by a few hundredths of a millimetre. Hub-face coordinates (a, r) as in
``section``; millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from alignment.geometry.frames import Array, Index
from fitment.engine import defaults
from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.mounted import Mounted
from fitment.engine.solid.traced_profile import profile_as_is

#: Single precision: a ten-thousandth of a millimetre at the size of a wheel.
Floats = NDArray[np.float32]

#: Tangents along a quarter of crown and of side wall, for a first look and for a close one.
COARSE, FINE = (13, 7), (40, 20)
#: Places along a piece of a traced section at which its depth inside its hull is looked at.
ALONG_TRACE = 9
#: Side walls that bulge less get tangents as if they bulged so much.
LEAST_BULGE_MM = 3.0
#: What coarse and fine tangents may say too little, up to FAR_MM from the tyre, and more for
#: every millimetre beyond.
COARSE_MM, FINE_MM = 0.6, 0.08
FAR_MM, COARSE_MORE, FINE_MORE = 40.0, 0.2, 0.002


@dataclass(frozen=True)
class Tangents:
    """Tyres (n,) by m tangents each: ``across``, ``up`` and ``reach`` (n, m) of the outer side.

    ``reach_inboard`` differs from ``reach`` for traced profiles alone. ``slack_mm`` (n,) is by
    how much a tyre that is no hull may lie inside its tangents.
    """

    across: Array
    up: Array
    reach: Array
    reach_inboard: Array
    slack_mm: Array

    def distance(
        self, rows: Index, centre_mm: Array, axial: Array, radius: Array, *, traced: bool
    ) -> Floats:
        """Signed distance of points (k, p) or (p,) to tyres ``rows`` (k,) centred at (k,)."""
        b = (axial - centre_mm[:, None]).astype(np.float32)
        radius = radius.astype(np.float32)
        outboard = b >= 0
        np.abs(b, out=b)
        nx, ny, h = (part[rows].astype(np.float32) for part in (self.across, self.up, self.reach))
        inboard = self.reach_inboard[rows].astype(np.float32) if traced else h
        result = np.full(b.shape, -np.inf, np.float32)
        trial = np.empty_like(b)
        for k in range(nx.shape[1]):
            np.multiply(b, nx[:, k, None], out=trial)
            trial += ny[:, k, None] * radius
            if traced:
                trial -= np.where(outboard, h[:, k, None], inboard[:, k, None])
            else:
                trial -= h[:, k, None]
            np.maximum(result, trial, out=result)
        return result


def tangents(
    sizes: Sequence[Mounted], rims_mm: Sequence[float], tyres: Sequence[Tyre], fine: bool
) -> Tangents:
    """Tangents of mounted tyres on rims of these bead-to-bead widths."""
    crown, wall = FINE if fine else COARSE
    column = np.array(
        [
            (s.section_width_mm / 2, s.tyre_radius_mm, s.widest_radius_mm, s.rim_radius_mm)
            for s in sizes
        ]
    ).T[..., None]
    half, radius, widest, seat = column
    rim = np.array(rims_mm)[:, None] / 2
    height = radius - widest
    power, bent = _powers(sizes)
    t = np.linspace(0.0, np.pi / 2, crown)
    cos, sin = np.cos(t), np.sin(t)
    cos[-1] = sin[0] = 0.0
    x, y = half * cos ** (2 / power), height * sin ** (2 / power)
    nx, ny = cos ** (2 - 2 / power) / half, sin ** (2 - 2 / power) / height
    length = np.hypot(nx, ny)
    nx, ny = nx / length, ny / length
    crown_reach = nx * x + ny * (widest + y)
    t = np.linspace(0.0, -np.pi / 2, wall + 1)[1:]
    bulge = np.maximum(half - rim, 0.0)
    wx, wy = np.cos(t) / np.maximum(bulge, LEAST_BULGE_MM), np.sin(t) / (widest - seat)
    length = np.hypot(wx, wy)
    wx, wy = wx / length, wy / length
    wall_reach = np.where(
        half >= rim,
        wx * rim + wy * widest + np.hypot(bulge * wx, (widest - seat) * wy),
        wx * half + wy * widest,
    )
    across, up = np.concatenate([nx, wx], axis=1), np.concatenate([ny, wy], axis=1)
    reach = np.concatenate([crown_reach, wall_reach], axis=1)
    reach = np.maximum(reach, across * rim + up * seat)
    slack = np.maximum(rim - half, 0.0)[:, 0] + bent
    result = Tangents(across, up, reach, reach.copy(), slack)
    for index, (size, tyre) in enumerate(zip(sizes, tyres, strict=True)):
        if tyre.profile:
            _trace(result, index, np.array(profile_as_is(size, tyre), float))
    return result


def _powers(sizes: Sequence[Mounted]) -> tuple[Array, Array]:
    """Exponents (n, 1) of the crowns, none under 1, and what a hull adds where they would be."""
    across = np.array([s.tread_width_mm / s.section_width_mm for s in sizes])
    up = np.array([1 - 2 * s.shoulder_drop_mm / s.section_height_mm for s in sizes])
    low, high = np.full(len(across), -7.0), np.full(len(across), 9.0)
    for _ in range(60):
        middle = (low + high) / 2
        more = across ** np.exp(middle) + up ** np.exp(middle) > 1.0
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    power = np.exp((low + high) / 2)
    width = np.array([s.section_width_mm for s in sizes])
    return np.maximum(power, 1.0)[:, None], np.where(power < 1.0, width / 4, 0.0)


def _trace(into: Tangents, index: int, profile: Array) -> None:
    """Put the hull of a traced profile in place of the shape that the figures give."""
    nx, ny = _normals(profile, into.across.shape[1])
    b, r = profile[:, 0:1], profile[:, 1:2]
    into.across[index], into.up[index] = nx, ny
    into.reach[index] = np.max(nx * b + ny * r, axis=0)
    into.reach_inboard[index] = np.max(ny * r - nx * b, axis=0)
    share = np.linspace(0.0, 1.0, ALONG_TRACE)[:, None, None]
    along = (profile[:-1] + share * np.diff(profile, axis=0)).reshape(-1, 2)
    sides = np.where(along[:, 0:1] >= 0, into.reach[index], into.reach_inboard[index])
    inside = np.max(nx * np.abs(along[:, 0:1]) + ny * along[:, 1:2] - sides, axis=1)
    # Inside a hull the depth along a piece bends one way: between its samples it cannot be
    # deeper than so much of the deepest of them.
    deepest = max(0.0, -float(inside.min()))
    into.slack_mm[index] = deepest * (ALONG_TRACE - 1) / (ALONG_TRACE - 2)


def _normals(profile: Array, count: int) -> tuple[Array, Array]:
    """Normals of a profile's own longest pieces, the rest all round; ``count`` in all.

    Most go all round: seen from a corner between two of them, a point seems nearer than it is.
    """
    run = np.diff(profile, axis=0)
    own = np.arctan2(np.abs(run[:, 0]), np.abs(run[:, 1])) * np.where(
        profile[1:, 1] + profile[:-1, 1] > profile[:, 1].min() + profile[:, 1].max(), 1.0, -1.0
    )
    longest = np.argsort(-np.hypot(*run.T), kind="stable")[: count // 3]
    own = np.unique(np.round(own[longest], 9))
    all_round = np.linspace(np.pi / 2, -np.pi / 2, count - len(own))
    angle = np.concatenate([own, all_round])
    return np.cos(angle), np.sin(angle)


@dataclass(frozen=True)
class Rims:
    """Wheels (n,) with their spacers: centre plane, rectangles and back of the spokes (n, k)."""

    centre: Array
    half_rim: Array
    outer: Array
    seat: Array
    inner: Array
    top: Array
    back_axial: Array
    back_radius: Array

    @staticmethod
    def of(wheels: Sequence[Wheel], spacers_mm: Sequence[float]) -> Rims:
        """Rims of wheels, each on the spacer of its place."""
        half = np.array([w.rim_mm / 2 for w in wheels])
        flange = np.array([w.flange_mm for w in wheels])
        seat = np.array([w.seat_radius_mm for w in wheels])
        depth = [defaults.BARREL_MM if w.barrel_mm is None else w.barrel_mm for w in wheels]
        inner = seat - np.array(depth)
        offset = np.array([w.offset_mm for w in wheels])
        spacer = np.array(spacers_mm, float)
        traces = [w.spoke_back or ((defaults.SPOKE_BACK_MM, 0.0),) for w in wheels]
        count = 2 + max(len(trace) for trace in traces)
        back = np.stack([_back(trace, r, count) for trace, r in zip(traces, inner, strict=True)])
        b = np.clip(back[..., 0] + offset[:, None], -(half + flange)[:, None], None)
        axial = np.minimum(b, (half + flange)[:, None]) + (spacer - offset)[:, None]
        return Rims(
            spacer - offset,
            half,
            half + flange,
            seat,
            inner,
            seat + defaults.FLANGE_HEIGHT_MM,
            axial,
            back[..., 1],
        )

    def distance(self, rows: Index, axial: Array, radius: Array) -> Array:
        """Signed distance of points (k, p) or (p,) to the wheels ``rows`` (k,)."""

        def column(values: Array) -> Array:
            picked: Array = values[rows, None]
            return picked

        half, outer, inner = column(self.half_rim), column(self.outer), column(self.inner)
        b = axial - column(self.centre)
        side = np.abs(b)
        barrel = _box(side, radius, outer, (inner, column(self.seat)))
        flange = _box(
            side - (half + outer) / 2, radius, (outer - half) / 2, (inner, column(self.top))
        )
        return np.minimum(np.minimum(barrel, flange), self._disc(rows, axial, radius, b - outer))

    def _disc(self, rows: Index, axial: Array, radius: Array, beyond: Array) -> Array:
        """The same to the disc: the line along the back of the spokes, and the outer face."""
        square = np.full(np.broadcast_shapes(axial.shape, beyond.shape), np.inf)
        back = np.full(square.shape, -np.inf)
        a, r = self.back_axial[rows], self.back_radius[rows]
        for k in range(a.shape[1] - 1):
            da, dr = (a[:, k + 1] - a[:, k])[:, None], (r[:, k + 1] - r[:, k])[:, None]
            length = da * da + dr * dr
            va, vr = axial - a[:, k, None], radius - r[:, k, None]
            share = np.clip((va * da + vr * dr) / np.where(length > 0, length, 1.0), 0.0, 1.0)
            square = np.minimum(square, (va - share * da) ** 2 + (vr - share * dr) ** 2)
            along = np.clip(vr / np.where(dr > 0, dr, 1.0), 0.0, 1.0)
            here = (vr >= 0) & (vr <= dr) & (dr > 0)
            back = np.where(here, a[:, k, None] + along * da, back)
        gap = np.sqrt(square)
        inside = (radius < self.inner[rows, None]) & (axial > back) & (beyond < 0)
        outboard = np.hypot(np.maximum(beyond, 0.0), np.maximum(radius - self.top[rows, None], 0.0))
        result: Array = np.where(
            inside, np.maximum(-gap, beyond), np.where(beyond >= 0, outboard, gap)
        )
        return result


def _back(trace: Sequence[tuple[float, float]], barrel: float, count: int) -> Array:
    """Back of the spokes (count, 2), (axial from the mounting face, radius), axis to barrel."""
    axial, radius = np.array(trace, float).T
    between = radius[(radius > 0) & (radius < barrel)]
    at = np.concatenate([[0.0], between, np.full(count - 1 - len(between), barrel)])
    return np.stack([np.interp(at, radius, axial), at], axis=-1)


def _box(across: Array, radius: Array, half: Array, span: tuple[Array, Array]) -> Array:
    """Signed distance to rectangles |across| <= half, radius within span."""
    dx = np.abs(across) - half
    dy = np.abs(radius - (span[0] + span[1]) / 2) - (span[1] - span[0]) / 2
    outside = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0))
    box: Array = outside + np.minimum(np.maximum(dx, dy), 0.0)
    return box

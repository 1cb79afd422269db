"""The section of wheel and tyre once more, written plainly and slowly.

Shares nothing with ``fitment.engine.solid.section``: dimensions are worked out here again, a point
is inside when it satisfies the inequalities of the shapes, and the boundary is a very fine
run of short pieces of which those inside the other shape are dropped. Plane coordinates: b axial
from the wheel's centre plane or a axial from the hub face, r radius; mm.
"""

from __future__ import annotations

import math
import re

import numpy as np
import scipy
from numpy.typing import NDArray

from fitment.engine.model import Tyre, Wheel

Array = NDArray[np.float64]

PIECE_MM = 0.1


class NaiveSection:
    """Wheel and tyre as inequalities and as a cloud of short boundary pieces."""

    def __init__(self, wheel: Wheel, tyre: Tyre, piece_mm: float = PIECE_MM) -> None:
        self.wheel, self.tyre = wheel, tyre
        match = re.fullmatch(r"(\d{3})/(\d{2})R(\d{2})", tyre.size)
        assert match is not None
        w, aspect, code = (float(part) for part in match.groups())
        self.rim = 25.4 * wheel.width_in
        self.r_r = 25.4 * wheel.diameter_in / 2
        if tyre.section_width_mm is None:
            x = 0.70 if aspect >= 50 else 0.85
            self.s = w + 0.4 * (self.rim - x * w)
        elif tyre.measuring_rim_in is None:
            self.s = tyre.section_width_mm
        else:
            self.s = tyre.section_width_mm + 0.4 * 25.4 * (wheel.width_in - tyre.measuring_rim_in)
        high = math.floor(w * aspect / 100 + 0.5)
        nominal = math.floor(25.4 * code + 0.5) + 2 * high
        self.d = float(nominal if tyre.overall_diameter_mm is None else tyre.overall_diameter_mm)
        self.r = self.d / 2
        h_s = self.r - self.r_r
        self.r_w = self.r_r + h_s / 2
        self.t = 0.88 * self.s if tyre.tread_width_mm is None else tyre.tread_width_mm
        self.q = 0.10 * h_s if tyre.shoulder_drop_mm is None else tyre.shoulder_drop_mm
        across, up = self.t / self.s, (self.r - self.q - self.r_w) / (self.r - self.r_w)
        self.p = scipy.optimize.brentq(lambda p: across**p + up**p - 1.0, 1e-3, 1e3, xtol=1e-13)
        self.shift = wheel.spacer_mm - wheel.offset_mm
        self.depth = 14.0 if wheel.barrel_mm is None else wheel.barrel_mm
        self.edge = self.rim / 2 + wheel.flange_mm
        self.start, self.end = self._boundary(piece_mm)
        middles = (self.start + self.end) / 2
        tree = scipy.spatial.cKDTree
        self._tree, self._thin_tree = tree(middles), tree(middles[::10])

    # -- who is inside -----------------------------------------------------------------

    def in_tyre(self, b: Array, r: Array) -> NDArray[np.bool_]:
        """Inside the tyre, its beads carried two millimetres into the barrel."""
        if self.tyre.profile:
            return _in_polygon(np.array(self._profile()), b, r)
        up = np.clip((r - self.r_w) / (self.r - self.r_w), 0.0, None)
        above = (np.abs(2 * b / self.s) ** self.p + up**self.p < 1.0) & (r >= self.r_w)
        down = np.clip((self.r_w - r) / (self.r_w - self.r_r), 0.0, 1.0)
        wall = self.rim / 2 + (self.s / 2 - self.rim / 2) * np.sqrt(1.0 - down**2)
        below = (r < self.r_w) & (r > self.r_r - 2.0) & (np.abs(b) < wall)
        inside: NDArray[np.bool_] = above | below
        return inside

    def in_rim(self, b: Array, r: Array) -> NDArray[np.bool_]:
        """Inside a flange, the barrel or the disc."""
        inner, top = self.r_r - self.depth, self.r_r + 17.5
        within = np.abs(b) < self.edge
        flange = within & (np.abs(b) > self.rim / 2) & (r > inner) & (r < top)
        barrel = within & (r > inner) & (r < self.r_r)
        disc = (b > self.back(np.minimum(r, inner))) & (b < self.edge) & (r < self.r_r)
        return flange | barrel | disc

    def back(self, r: Array) -> Array:
        """Back face of the disc, b at radius r, never past the flanges."""
        trace = self.wheel.spoke_back or ((0.0, 0.0),)
        at = np.interp(r, [point[1] for point in trace], [point[0] for point in trace])
        return np.clip(at + self.wheel.offset_mm, -self.edge, self.edge)

    # -- how far -----------------------------------------------------------------------

    def distance(self, axial: Array, radius: Array) -> Array:
        """Signed distance (mm) of points given from the hub face; negative inside."""
        shape = np.shape(axial)
        points = np.stack([np.ravel(axial) - self.shift, np.ravel(radius)], axis=-1)
        _, near = self._tree.query(points, k=4)
        here, run = self.start[near], self.end[near] - self.start[near]
        reach = points[:, None] - here
        share = np.clip(
            np.sum(reach * run, axis=-1) / np.maximum(np.sum(run * run, axis=-1), 1e-30), 0, 1
        )
        gap = np.linalg.norm(reach - share[..., None] * run, axis=-1).min(axis=1)
        b, r = points.T
        inside = self.in_tyre(b, r) | self.in_rim(b, r)
        result: Array = np.where(inside, -gap, gap).reshape(shape)
        return result

    def rough_distance(self, axial: Array, radius: Array) -> Array:
        """The same to about half a millimetre, for a first look."""
        points = np.stack([np.ravel(axial) - self.shift, np.ravel(radius)], axis=-1)
        gap, _ = self._thin_tree.query(points)
        inside = self.in_tyre(*points.T) | self.in_rim(*points.T)
        result: Array = np.where(inside, -gap, gap).reshape(np.shape(axial))
        return result

    def _boundary(self, piece: float) -> tuple[Array, Array]:
        tyre, rim = _pieces(self.tyre_path(), piece), _pieces(self.rim_path(), piece)
        keep = []
        for (start, end), other in ((tyre, self.in_rim), (rim, self.in_tyre)):
            b, r = (start + end).T / 2
            open_air = ~other(b, r) & (r > 1e-9)
            keep.append((start[open_air], end[open_air]))
        return np.concatenate([keep[0][0], keep[1][0]]), np.concatenate([keep[0][1], keep[1][1]])

    def tyre_path(self) -> Array:
        """Closed outline (n, 2) of the tyre in (b, r)."""
        if self.tyre.profile:
            return np.array(self._profile())
        phi = np.linspace(0, np.pi / 2, 4001)
        cos, sin = np.clip(np.cos(phi), 0, None), np.clip(np.sin(phi), 0, None)
        b = self.s / 2 * cos ** (2 / self.p)
        r = self.r_w + (self.r - self.r_w) * sin ** (2 / self.p)
        t = np.linspace(-np.pi / 2, 0, 1001)[:-1]
        wall_b = self.rim / 2 + (self.s / 2 - self.rim / 2) * np.cos(t)
        wall_r = self.r_w + (self.r_w - self.r_r) * np.sin(t)
        half = np.concatenate(
            [
                [[self.rim / 2, self.r_r - 2.0]],
                np.stack([wall_b, wall_r], axis=-1),
                np.stack([b, r], axis=-1),
            ]
        )
        return np.concatenate([half, half[-2::-1] * [-1.0, 1.0]])

    def rim_path(self) -> Array:
        """Closed outline (n, 2) of disc, barrel and flanges in (b, r)."""
        inner, top, half = self.r_r - self.depth, self.r_r + 17.5, self.rim / 2
        at = np.unique(np.concatenate([[0.0, inner], [p[1] for p in self.wheel.spoke_back]]))
        at = at[(at >= 0) & (at <= inner)]
        back = np.stack([self.back(at), at], axis=-1)
        rest = [
            (-self.edge, inner),
            (-self.edge, top),
            (-half, top),
            (-half, self.r_r),
            (half, self.r_r),
            (half, top),
            (self.edge, top),
            (self.edge, 0.0),
        ]
        return np.concatenate([back, rest])

    def _profile(self) -> list[tuple[float, float]]:
        path = list(self.tyre.profile)
        depth = self.r_r - 2.0
        return [
            (path[0][0], min(path[0][1], depth)),
            *path,
            (path[-1][0], min(path[-1][1], depth)),
        ]


def _pieces(path: Array, piece: float) -> tuple[Array, Array]:
    start, end = [], []
    for here, there in zip(path, np.roll(path, -1, axis=0), strict=True):
        length = float(np.hypot(*(there - here)))
        if length < 1e-12:
            continue
        share = np.linspace(0.0, 1.0, max(1, math.ceil(length / piece)) + 1)[:, None]
        points = here + share * (there - here)
        start.append(points[:-1])
        end.append(points[1:])
    return np.concatenate(start), np.concatenate(end)


def _in_polygon(path: Array, b: Array, r: Array) -> NDArray[np.bool_]:
    """Even-odd, one edge at a time."""
    inside = np.zeros(np.shape(b), bool)
    for (b0, r0), (b1, r1) in zip(path, np.roll(path, -1, axis=0), strict=True):
        if r0 == r1:
            continue
        spans = (r0 <= r) != (r1 <= r)
        inside ^= spans & (b < b0 + (r - r0) / (r1 - r0) * (b1 - b0))
    return inside

"""Exact distance of points to the boundary of a plane solid.

A boundary is a set of segments with the solid on the left of each. Segments that follow each
other are kept in groups with a box round them, so that for a point only the one or two groups
are measured that can hold its nearest segment. (a, r) in millimetres.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array, Index

#: Segments in a group.
GROUP = 8
#: Point-by-group products worked on at once; about what stays in a processor's cache.
CHUNK = 10_000
#: The same where bounds over zonogons are asked for.
FLOOR_CHUNK = 200_000
#: Corners of a zonogon of three ways.
SIGNS = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])
#: Segments that are as near as this to the nearest count as nearest too, mm.
AS_NEAR_MM = 1e-9


class Boundary:
    """Segments ``start`` to ``end`` (k, 2), the solid on the left of each."""

    def __init__(self, start: Array, end: Array) -> None:
        self.start, self.end = start, end
        run = end - start
        length = np.sqrt(np.sum(run * run, axis=1))
        unit = run / length[:, None]
        middle = (start + end) / 2
        along = -np.sum(unit * middle, axis=1)
        across = unit[:, 1] * middle[:, 0] - unit[:, 0] * middle[:, 1]
        more = -len(start) % GROUP
        order = np.concatenate([np.arange(len(start)), np.full(more, len(start) - 1)])
        #: Segments (GROUP, groups), and their linear forms and half lengths (5, GROUP, groups).
        self.segment = order.reshape(-1, GROUP).T
        self.forms = np.stack([unit[:, 0], unit[:, 1], along, across, length / 2])[:, self.segment]
        #: A point of each group on the boundary, and the box (2, 2, groups) round the group.
        self.middle = middle[self.segment[GROUP // 2]].T
        ends = np.stack([start[self.segment], end[self.segment]])
        self.box = np.stack([ends.min(axis=(0, 1)), ends.max(axis=(0, 1))]).transpose(0, 2, 1)

    def distance(self, a: Array, r: Array) -> Array:
        """Signed distance (n,) of points (n,); negative inside."""
        size = max(1, CHUNK // self.middle.shape[1])
        if len(a) <= size:
            return self._look(a, r)[0]
        parts = [slice(first, first + size) for first in range(0, len(a), size)]
        return np.concatenate([self._look(a[part], r[part])[0] for part in parts])

    def nearest(self, a: Array, r: Array) -> tuple[Array, Index]:
        """Nearest boundary points (n, 2) to points (n,), and their segments (n,)."""
        _, index, along = self._look(a, r)
        run = self.end[index] - self.start[index]
        half = np.sqrt(np.sum(run * run, axis=1)) / 2
        share = (np.clip(along, -half, half) + half) / (2 * half)
        return self.start[index] + share[:, None] * run, index

    def floor(self, centre: Array, ways: Array) -> tuple[Array, Array]:
        """Lower bounds (n,) of the signed distance over zonogons, and that of their centres (n,).

        A zonogon is every ``centre`` (n, 2) + Σ t_i ``ways`` (n, k, 2), -1 ≤ t_i ≤ 1.
        """
        size = max(1, FLOOR_CHUNK // self.middle.shape[1])
        if len(centre) <= size:
            return self._floor(centre, ways)
        parts = [slice(first, first + size) for first in range(0, len(centre), size)]
        floors = [self._floor(centre[part], ways[part]) for part in parts]
        return np.concatenate([one[0] for one in floors]), np.concatenate([one[1] for one in floors])

    def _floor(self, centre: Array, ways: Array) -> tuple[Array, Array]:
        a, r = centre.T
        reach = np.sqrt(np.sum(ways * ways, axis=2)).sum(axis=1)
        middle, (low, high) = self.middle[..., None], self.box[..., None]
        most = np.sqrt(_square(middle[0] - a, middle[1] - r).min(axis=0)) + reach
        out_a = np.maximum(np.maximum(low[0] - a, a - high[0]), 0.0)
        out_r = np.maximum(np.maximum(low[1] - r, r - high[1]), 0.0)
        row, group = np.nonzero((_square(out_a, out_r) <= most * most).T)
        first = np.searchsorted(row, np.arange(len(a)))
        unit_a, unit_r, from_middle, from_line, half = self.forms[:, :, group]
        a, r = a[row], r[row]
        along = unit_a * a + unit_r * r + from_middle
        across = unit_a * r - unit_r * a + from_line
        beyond = along - np.clip(along, -half, half)
        distance = np.sqrt(beyond * beyond + across * across)
        spread = np.zeros_like(distance)
        for way in ways.transpose(1, 2, 0):
            way_a, way_r = way[:, row]
            spread += np.abs(
                beyond * (unit_a * way_a + unit_r * way_r)
                + across * (unit_a * way_r - unit_r * way_a)
            )
        spread /= np.maximum(distance, 1e-12)
        outside = np.minimum.reduceat((distance - spread).min(axis=0), first)
        # Where two segments meet, the one that faces the centre more squarely tells its side.
        least = np.minimum.reduceat(distance.min(axis=0), first)
        facing = np.where(distance <= (least + AS_NEAR_MM)[row], np.abs(across), -1.0)
        best = np.argmax(facing, axis=0)
        squarely = facing[best, np.arange(len(row))]
        taken = np.flatnonzero(squarely == np.maximum.reduceat(squarely, first)[row])[::-1]
        pick = np.empty(len(first), np.intp)
        pick[row[taken]] = taken
        best = best[pick]
        inside = across[best, pick] > 0
        crosses = np.flatnonzero(inside | (outside <= 0))
        if len(crosses):
            segment = self.segment[best, group[pick]][crosses]
            outside[crosses] = self._within(centre[crosses], ways[crosses], segment)
        return outside, np.where(inside, -least, least)

    def _within(self, centre: Array, ways: Array, segment: Index) -> Array:
        """Lower bounds (n,), none above 0, of zonogons that reach into the solid."""
        start, end = self.start[segment], self.end[segment]
        run = end - start
        half = np.sqrt(np.sum(run * run, axis=1)) / 2
        unit = run / (2 * half)[:, None]
        out = np.stack([unit[:, 1], -unit[:, 0]], axis=1)
        from_middle = centre - (start + end) / 2
        along, height = np.sum(from_middle * unit, axis=1), np.sum(from_middle * out, axis=1)
        signs = SIGNS[:, : ways.shape[1]]
        along = along[:, None] + (ways @ unit[..., None])[..., 0] @ signs.T
        height = height[:, None] + (ways @ out[..., None])[..., 0] @ signs.T
        past = np.maximum(np.abs(along) - half[:, None], 0.0)
        farthest = np.sqrt(past * past + height * height).max(axis=1)
        deepest = np.maximum(-height.min(axis=1), 0.0)
        # Where nothing of the boundary near it lies above the segment's line, what is inside is
        # no deeper than it lies below that line.
        reach = np.sqrt(np.sum(ways * ways, axis=2)).sum(axis=1) + deepest + 1e-6
        rise = self._rise(centre, reach, (start + end) / 2, out)
        depth = np.where(rise <= AS_NEAR_MM, deepest, np.inf)
        return -np.minimum(depth, farthest)

    def _rise(self, centre: Array, reach: Array, foot: Array, out: Array) -> Array:
        """How far (n,) the boundary within ``reach`` of centres rises over lines through ``foot``."""
        low, high = self.box[..., None]
        a, r = centre.T
        out_a = np.maximum(np.maximum(low[0] - a, a - high[0]), 0.0)
        out_r = np.maximum(np.maximum(low[1] - r, r - high[1]), 0.0)
        row, group = np.nonzero((_square(out_a, out_r) <= reach * reach).T)
        segment = self.segment[:, group]
        start, end = self.start[segment] - centre[row], self.end[segment] - centre[row]
        run = end - start
        # The part of each segment within the circle: |start + t run| ≤ reach.
        qa, qb = np.sum(run * run, axis=-1), np.sum(run * start, axis=-1)
        qc = np.sum(start * start, axis=-1) - reach[row] ** 2
        root = qb * qb - qa * qc
        near = root >= 0
        root = np.sqrt(np.maximum(root, 0.0))
        t0, t1 = np.clip((-qb - root) / qa, 0, 1), np.clip((-qb + root) / qa, 0, 1)
        near &= t1 > t0
        normal = out[row]
        base = np.sum((centre - foot)[row] * normal, axis=-1) + np.sum(start * normal, axis=-1)
        slope = np.sum(run * normal, axis=-1)
        top = np.where(near, base + np.maximum(t0 * slope, t1 * slope), -np.inf).max(axis=0)
        rise = np.full(len(centre), -np.inf)
        np.maximum.at(rise, row, top)
        return rise

    def _look(self, a: Array, r: Array) -> tuple[Array, Index, Array]:
        """Signed distance, nearest segment and place along it from its middle, each (n,)."""
        middle, (low, high) = self.middle[..., None], self.box[..., None]
        most = _square(middle[0] - a, middle[1] - r).min(axis=0)
        out_a = np.maximum(np.maximum(low[0] - a, a - high[0]), 0.0)
        out_r = np.maximum(np.maximum(low[1] - r, r - high[1]), 0.0)
        row, group = np.nonzero((_square(out_a, out_r) <= most).T)
        first = np.searchsorted(row, np.arange(len(a)))
        a, r = a[row], r[row]
        unit_a, unit_r, from_middle, from_line, half = self.forms[:, :, group]
        along = unit_a * a + unit_r * r + from_middle
        across = unit_a * r - unit_r * a + from_line
        beyond = np.abs(along)
        beyond -= half
        np.maximum(beyond, 0.0, out=beyond)
        square = _square(beyond, across.copy())
        least = np.sqrt(np.minimum.reduceat(square.min(axis=0), first))
        # Where two segments meet, the one that faces the point more squarely tells its side.
        near = square <= ((least + AS_NEAR_MM) ** 2)[row]
        facing = np.where(near, np.abs(across), -1.0)
        best = np.argmax(facing, axis=0)
        squarely = facing[best, np.arange(len(row))]
        taken = np.flatnonzero(squarely == np.maximum.reduceat(squarely, first)[row])[::-1]
        pick = np.empty(len(first), np.intp)
        pick[row[taken]] = taken
        best = best[pick]
        signed = np.where(across[best, pick] > 0, -least, least)
        return signed, self.segment[best, group[pick]], along[best, pick]


def _square(x: Array, y: Array) -> Array:
    """x² + y², in the place of x and y."""
    x *= x
    y *= y
    x += y
    return x

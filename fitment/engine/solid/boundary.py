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

    def _look(self, a: Array, r: Array) -> tuple[Array, Index, Array]:
        """Signed distance, nearest segment and place along it from its middle, each (n,)."""
        middle, (low, high) = self.middle[..., None], self.box[..., None]
        most = sum_of_squares(middle[0] - a, middle[1] - r).min(axis=0)
        out_a = np.maximum(np.maximum(low[0] - a, a - high[0]), 0.0)
        out_r = np.maximum(np.maximum(low[1] - r, r - high[1]), 0.0)
        row, group = np.nonzero((sum_of_squares(out_a, out_r) <= most).T)
        first = np.searchsorted(row, np.arange(len(a)))
        a, r = a[row], r[row]
        unit_a, unit_r, from_middle, from_line, half = self.forms[:, :, group]
        along = unit_a * a + unit_r * r + from_middle
        across = unit_a * r - unit_r * a + from_line
        beyond = np.abs(along)
        beyond -= half
        np.maximum(beyond, 0.0, out=beyond)
        square = sum_of_squares(beyond, across.copy())
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


def sum_of_squares(x: Array, y: Array) -> Array:
    """x² + y², in the place of x and y."""
    x *= x
    y *= y
    x += y
    return x

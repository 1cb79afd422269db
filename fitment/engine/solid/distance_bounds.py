"""Lower bounds of a signed distance over zonogons: bounding functions for branch and bound.

For a solid with boundary B of segments S and the zonogon Z = { m + Σ t_i g_i : |t_i| ≤ 1 } a lower
bound of min { d(x) : x in Z } is wanted, d being the distance to B, negative inside the solid.

Outside. S is convex, so beyond its point n nearest to m it lies on one side of a line, and

    dist(x, S) ≥ |m - n| - Σ_i |û·g_i|   on Z,   û = (m - n)/|m - n|.

Where the least of these over all S is positive, Z keeps clear of B and it is the bound. It is
exact but for the turn of û over Z: second order in the g_i.

Inside. Otherwise d(x) ≥ -dist(x, S) for any S, and two bounds of how deep Z can lie are taken, the
better counts:

- dist(·, S) is convex, and so is λ dist(·, S) + (1 - λ) dist(·, S'): greatest at a corner of Z.
  With S nearest to m and S' nearest to an end of Z, λ such that it does not change from end to
  end, it is exact to second order also on the ridge where S and S' are equally near.
- where a disc round m holds a point of S, but no point of B above the line of S, all of the disc
  above that line is outside, and x is no deeper than it lies below the line: exact to second order
  for a Z that reaches across S.

Textbooks bound distances of convex bodies by support functions (Gilbert, Johnson & Keerthi 1988);
the solid here is not convex, and depth is bounded as well as distance. (a, r) in millimetres.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine.solid.boundary import AS_NEAR_MM, Boundary, sum_of_squares

#: Zonogon-by-group products worked on at once.
CHUNK = 200_000
#: Corners of a zonogon of three ways.
SIGNS = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])
#: So much farther than it has to the boundary is looked for above a segment's line, mm.
MARGIN_MM = 1e-6


def floor(boundary: Boundary, centre: Array, ways: Array) -> tuple[Array, Array]:
    """Lower bounds (n,) of the signed distance over zonogons, and that of their centres (n,).

    A zonogon is every ``centre`` (n, 2) + Σ t_i ``ways`` (n, k, 2), -1 ≤ t_i ≤ 1.
    """
    size = max(1, CHUNK // boundary.middle.shape[1])
    if len(centre) <= size:
        return _floor(boundary, centre, ways)
    parts = [slice(first, first + size) for first in range(0, len(centre), size)]
    floors = [_floor(boundary, centre[part], ways[part]) for part in parts]
    return np.concatenate([one[0] for one in floors]), np.concatenate([one[1] for one in floors])


def _floor(boundary: Boundary, centre: Array, ways: Array) -> tuple[Array, Array]:
    a, r = centre.T
    reach = np.sqrt(np.sum(ways * ways, axis=2)).sum(axis=1)
    middle, (low, high) = boundary.middle[..., None], boundary.box[..., None]
    most = np.sqrt(sum_of_squares(middle[0] - a, middle[1] - r).min(axis=0)) + reach
    out_a = np.maximum(np.maximum(low[0] - a, a - high[0]), 0.0)
    out_r = np.maximum(np.maximum(low[1] - r, r - high[1]), 0.0)
    row, group = np.nonzero((sum_of_squares(out_a, out_r) <= most * most).T)
    first = np.searchsorted(row, np.arange(len(a)))
    unit_a, unit_r, from_middle, from_line, half = boundary.forms[:, :, group]
    a, r = a[row], r[row]
    along = unit_a * a + unit_r * r + from_middle
    across = unit_a * r - unit_r * a + from_line
    beyond = along - np.clip(along, -half, half)
    distance = np.sqrt(beyond * beyond + across * across)
    spread = np.zeros_like(distance)
    for way in ways.transpose(1, 2, 0):
        way_a, way_r = way[:, row]
        spread += np.abs(
            beyond * (unit_a * way_a + unit_r * way_r) + across * (unit_a * way_r - unit_r * way_a)
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
        segment = boundary.segment[best, group[pick]][crosses]
        outside[crosses] = _within(boundary, centre[crosses], ways[crosses], segment)
    return outside, np.where(inside, -least, least)


def _within(boundary: Boundary, centre: Array, ways: Array, segment: Index) -> Array:
    """Lower bounds (n,), none above 0, of zonogons that reach into the solid.

    A place inside is no deeper than it is far from any one segment, so no deeper than a mean
    of its distances to two. A mean is convex, so greatest at a corner; its weights are chosen
    so that it does not change along the longest way, as on the ridge between the two.
    """
    longest = np.argmax(np.sum(ways * ways, axis=2), axis=1)
    way = ways[np.arange(len(ways)), longest]
    ahead, behind = (boundary.nearest(*(centre + sign * way).T)[1] for sign in (1.0, -1.0))
    corners = centre[:, None] + SIGNS[:, : ways.shape[1]] @ ways
    far = [_far(boundary, corners, one) for one in (segment, ahead, behind)]
    depth = np.minimum.reduce([one.max(axis=1) for one in far])
    front = SIGNS[:, longest].T
    slopes = [np.sum(front * one, axis=1) for one in far]
    for i, j in ((0, 1), (0, 2), (1, 2)):
        apart = slopes[j] - slopes[i]
        weight = np.divide(slopes[j], apart, out=np.zeros_like(apart), where=apart != 0)
        weight = np.clip(weight, 0.0, 1.0)[:, None]
        depth = np.minimum(depth, np.max(weight * far[i] + (1 - weight) * far[j], axis=1))
    return -np.minimum(depth, _below(boundary, centre, ways, segment))


def _far(boundary: Boundary, points: Array, segment: Index) -> Array:
    """Distances (n, k) of points (n, k, 2) from a segment (n,) each."""
    start = boundary.start[segment][:, None]
    run = boundary.end[segment][:, None] - start
    out = points - start
    share = np.clip(np.sum(out * run, axis=2) / np.sum(run * run, axis=2), 0.0, 1.0)
    rest = out - share[..., None] * run
    distance: Array = np.sqrt(rest[..., 0] ** 2 + rest[..., 1] ** 2)
    return distance


def _below(boundary: Boundary, centre: Array, ways: Array, segment: Index) -> Array:
    """How deep (n,) zonogons lie at most inside by the line of a segment each.

    Infinity where that cannot be told: where the boundary rises over the line near by, where the
    segment is too far off to tell which side is outside, or where the disc reaches the axis.
    """
    start, run = boundary.start[segment], boundary.end[segment] - boundary.start[segment]
    out = np.stack([run[:, 1], -run[:, 0]], axis=1)
    out /= np.sqrt(np.sum(run * run, axis=1))[:, None]
    height = np.sum((centre - start) * out, axis=1)
    deepest = np.maximum(np.abs(np.sum(ways * out[:, None], axis=2)).sum(axis=1) - height, 0.0)
    reach = np.sqrt(np.sum(ways * ways, axis=2)).sum(axis=1) + deepest + MARGIN_MM
    tells = _far(boundary, centre[:, None], segment)[:, 0] < reach
    tells &= centre[:, 1] > reach
    tells &= _rise(boundary, centre, reach, start, out) <= AS_NEAR_MM
    return np.where(tells, deepest, np.inf)


def _rise(boundary: Boundary, centre: Array, reach: Array, foot: Array, out: Array) -> Array:
    """How far (n,) the boundary within ``reach`` (n,) of centres rises over lines.

    Lines through ``foot`` (n, 2), square to ``out`` (n, 2).
    """
    low, high = boundary.box[..., None]
    a, r = centre.T
    out_a = np.maximum(np.maximum(low[0] - a, a - high[0]), 0.0)
    out_r = np.maximum(np.maximum(low[1] - r, r - high[1]), 0.0)
    row, group = np.nonzero((sum_of_squares(out_a, out_r) <= reach * reach).T)
    segment = boundary.segment[:, group]
    start, end = boundary.start[segment] - centre[row], boundary.end[segment] - centre[row]
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

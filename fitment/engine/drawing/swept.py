"""The region that a measured place sweeps past the wheel over all poses, for drawing.

The clearances never come from here: they are computed on the continuous envelope. A sweep is
a map from (steer, travel, sample) to the section. Its box is cut into cells so small that
their images are as good as parallelepipeds seen from the side, and the rows of a raster that
such an image covers are found for all cells at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fitment.engine.drawing.contour import Cover, Floats, Mask, Raster, as_ring, closed, widened
from fitment.engine.drawing.scene import Ring
from fitment.engine.minimum.feature_curves import SAMPLE_STEP_MM
from fitment.engine.minimum.room import FeatureSweep, Room
from fitment.engine.model import EDGE

#: In single precision for speed: a ten-thousandth of a millimetre at the size of a wheel.
Singles = NDArray[np.float32]
Index = NDArray[np.intp]

#: Largest cells of the sweeps that are drawn. What their images cover is within half a
#: millimetre of the truth; straight edges bend more when they are turned about the hub.
STEER_STEP_DEG = 4.0
HEIGHTS = 5
STRAIGHT_MM = 20.0
CLOSING_PX = 1
#: Thinner than this a curve or point is drawn as such, not as an area.
THIN_MM = 1.5
#: Samples farther than this outside the raster are left out before anything is computed.
MARGIN_MM = 30.0
#: Edges of cells that rise less than this, in pixels, lie along a row.
LEVEL_PX = 1e-3
#: Points of a line that deviate less than this from the chord make no piece of their own.
CHORD_MM = 0.05


@dataclass(frozen=True)
class Swept:
    """One place's region: how far it covers every pixel, or lines or points if it has no area."""

    place: str
    carried_by: str
    cover: Cover | None
    lines: tuple[Ring, ...] = ()


def fine_sweeps(room: Room) -> tuple[FeatureSweep, ...]:
    """The room's sweeps on a grid fine enough to be drawn from."""
    steer = _divided(room.envelope.knots[:, 0], math.radians(STEER_STEP_DEG))
    along = []
    for index, course in enumerate(room.courses):
        samples = course.samples()
        if course.is_edge and room.moving[index] and not course.polar:
            step = STRAIGHT_MM / SAMPLE_STEP_MM * float(np.diff(samples).max())
            samples = _divided(samples, step)
        along.append(samples)
    return room.swept(steer, HEIGHTS, along)


def _divided(values: Floats, step: float) -> Floats:
    """Rising values with further ones between, no gap wider than ``step``."""
    parts = [
        np.linspace(low, high, max(1, math.ceil((high - low) / step - 1e-9)), endpoint=False)
        for low, high in pairwise(values)
    ]
    return np.concatenate([*parts, values[-1:]])


def swept(raster: Raster, sweep: FeatureSweep) -> Swept:
    """The region of one feature, its half thickness included."""
    grids = list(_grids(sweep, raster.box))
    widest = max((_freedom(sweep, axial) for axial, _ in grids), default=0)
    half = sweep.half_thickness_mm
    if widest < 2 and half < THIN_MM:
        lines = [line for axial, radius in grids for line in _lines(sweep, axial, radius)]
        return Swept(sweep.place, sweep.carried_by, None, tuple(lines))
    if widest < 2:
        cover = np.zeros((raster.rows, raster.columns), dtype=np.float32)
        for axial, radius in grids:
            for line in _lines(sweep, axial, radius):
                _thicken(raster, line, half, cover)
        return Swept(sweep.place, sweep.carried_by, cover)
    mask = closed(_filled(raster, [_cells(raster, sweep, *grid) for grid in grids]), CLOSING_PX)
    # Filling whole pixels has widened the mask by about half of one.
    if half > 0.5 * raster.step:
        mask = widened(mask, half / raster.step - 0.5)
    return Swept(sweep.place, sweep.carried_by, mask.astype(np.float32))


def _thicken(raster: Raster, line: Ring, half: float, cover: Cover) -> None:
    """Add the cover of a line of thickness, or of a round point."""
    reach = half + 2 * raster.step
    for (x0, y0), (x1, y1) in pairwise(_chords(line if len(line) > 1 else line * 2)):
        c0, c1 = (
            int(np.clip((x - raster.left) / raster.step, 0, raster.columns))
            for x in (min(x0, x1) - reach, max(x0, x1) + reach)
        )
        r0, r1 = (
            int(np.clip((y - raster.bottom) / raster.step, 0, raster.rows))
            for y in (min(y0, y1) - reach, max(y0, y1) + reach)
        )
        x = raster.left + np.arange(c0, c1) * raster.step
        y = (raster.bottom + np.arange(r0, r1) * raster.step)[:, None]
        dx, dy = x1 - x0, y1 - y0
        square = dx * dx + dy * dy
        t = np.clip(((x - x0) * dx + (y - y0) * dy) / square, 0.0, 1.0) if square else 0.0
        away = np.hypot(x - x0 - t * dx, y - y0 - t * dy)
        part = cover[r0:r1, c0:c1]
        np.maximum(part, np.clip(0.5 + (half - away) / raster.step, 0.0, 1.0), out=part)


def _chords(line: Ring) -> Ring:
    """A line without the points that chords of those beside them make unnecessary."""
    points = np.asarray(line, dtype=float)
    kept, spans = {0, len(line) - 1}, [(0, len(line) - 1)]
    while spans:
        first, last = spans.pop()
        between = points[first + 1 : last] - points[first]
        if not len(between):
            continue
        run = points[last] - points[first]
        share = np.clip(between @ run / max(float(run @ run), 1e-12), 0.0, 1.0)
        away = np.hypot(*(between - share[:, None] * run).T)
        worst = int(np.argmax(away))
        if away[worst] > CHORD_MM:
            middle = first + 1 + worst
            kept.add(middle)
            spans += [(first, middle), (middle, last)]
    return tuple(line[i] for i in sorted(kept))


def _grids(
    sweep: FeatureSweep, box: tuple[float, float, float, float]
) -> Iterator[tuple[Floats, Floats]]:
    """Grids of every kind of poses without the samples that never come near the drawing."""
    left, bottom, right, top = box
    for axial, radius in zip(sweep.axial_mm, sweep.radius_mm, strict=True):
        if not axial.size:
            continue
        with np.errstate(invalid="ignore"):
            near = (axial > left - MARGIN_MM) & (axial < right + MARGIN_MM)
            near &= (radius > bottom - MARGIN_MM) & (radius < top + MARGIN_MM)
        keep = np.nonzero(near.any(axis=(0, 1)))[0]
        if not len(keep):
            continue
        if sweep.shape == EDGE:
            part = slice(max(keep[0] - 1, 0), keep[-1] + 2)
            yield axial[:, :, part], radius[:, :, part]
        else:
            yield axial[:, :, keep], radius[:, :, keep]


def _joined(sweep: FeatureSweep) -> tuple[int, ...]:
    """The axes along which neighbours belong together."""
    return (0, 1, 2) if sweep.shape == EDGE else (0, 1)


def _freedom(sweep: FeatureSweep, axial: Floats) -> int:
    return sum(axial.shape[axis] > 1 for axis in _joined(sweep))


def _lines(sweep: FeatureSweep, axial: Floats, radius: Floats) -> Iterator[Ring]:
    """Curves of a sweep with one freedom; single points come as rings of one point."""
    if sweep.shape == EDGE and axial.shape[2] > 1:
        columns = [(axial.reshape(-1), radius.reshape(-1))]
    else:
        count = axial.shape[2]
        flat_a, flat_r = axial.reshape(-1, count), radius.reshape(-1, count)
        columns = [(flat_a[:, i], flat_r[:, i]) for i in range(count)]
    for a, r in columns:
        good = np.isfinite(a) & np.isfinite(r)
        if good.any():
            yield as_ring(np.column_stack([a[good], r[good]]))


@dataclass(frozen=True)
class _Cells:
    """Images of cells, in pixels: the lowest corner ``base`` (2, n), and ``edges`` (2, k, n).

    The edges rise, and of every cell the one that leads farthest to the right comes first.
    """

    base: Singles
    edges: Singles


def _cells(raster: Raster, sweep: FeatureSweep, axial: Floats, radius: Floats) -> _Cells:
    """The cells of a grid that may be seen."""
    grid = np.stack([axial - raster.left, radius - raster.bottom]).astype(np.float32)
    grid *= np.float32(1.0 / raster.step)
    joined = [axis for axis in _joined(sweep) if axial.shape[axis] > 1]
    centre = grid
    for axis in joined:
        centre = _means(centre, axis)
    edges = np.stack([_edge(grid, axis, joined).reshape(2, -1) for axis in joined], axis=1)
    # With edges that all rise, the corner that they start from is the lowest.
    edges *= np.where(edges[1] < 0, np.float32(-1), np.float32(1))
    base = centre.reshape(2, -1) - edges.sum(axis=1) / 2
    with np.errstate(invalid="ignore"):
        seen = base[0] + np.maximum(edges[0], 0).sum(axis=0) > -1
        seen &= base[0] + np.minimum(edges[0], 0).sum(axis=0) < raster.columns
        seen &= (base[1] < raster.rows) & (base[1] + edges[1].sum(axis=0) > -1)
    base, edges = base[:, seen], edges[:, :, seen]
    np.maximum(edges[1], LEVEL_PX, out=edges[1])
    order = np.argsort(-edges[0] / edges[1], axis=0)
    return _Cells(base, np.take_along_axis(edges, order[None], axis=1))


def _edge(grid: Singles, axis: int, joined: list[int]) -> Singles:
    """Mean edge of every cell along an axis of the grid."""
    edge: Singles = np.diff(grid, axis=axis + 1)
    for other in joined:
        if other != axis:
            edge = _means(edge, other)
    return edge


def _means(grid: Singles, axis: int) -> Singles:
    """Means of neighbours along an axis."""
    low, high = [slice(None)] * grid.ndim, [slice(None)] * grid.ndim
    low[axis + 1], high[axis + 1] = slice(None, -1), slice(1, None)
    means: Singles = np.float32(0.5) * (grid[tuple(low)] + grid[tuple(high)])
    return means


def _filled(raster: Raster, parts: list[_Cells]) -> Mask:
    """The pixels that cells cover, their borders put onto the nearest pixels."""
    base = np.concatenate([part.base for part in parts], axis=1)
    edges = np.concatenate([part.edges for part in parts], axis=2)
    mask = raster.empty()
    if not base.size:
        return mask
    height = edges[1].sum(axis=0)
    first = np.maximum(np.rint(base[1]), 0).astype(np.intp)
    last = np.minimum(np.rint(base[1] + height), raster.rows - 1).astype(np.intp)
    count = np.maximum(last - first + 1, 0)
    row = np.arange(count.sum()) + np.repeat(first - np.cumsum(count) + count, count)
    begin, end = _spans(base, edges, height, row, count)
    lowest, width = int(first.min()), raster.columns + 1
    row = (row - lowest) * width
    seen = mask[lowest : int(last.max()) + 1]
    starts = np.bincount(row + np.clip(begin, 0, raster.columns), minlength=len(seen) * width)
    starts -= np.bincount(row + np.clip(end + 1, 0, raster.columns), minlength=len(starts))
    np.greater(np.cumsum(starts.reshape(-1, width), axis=1)[:, :-1], 0, out=seen)
    return mask


def _spans(
    base: Singles, edges: Singles, height: Singles, row: Index, count: Index
) -> tuple[Index, Index]:
    """First and last pixel of every cell in its rows, of which it has so many.

    A parallelepiped's outline runs along its edges in the order of their slopes: on the right
    from the lowest corner upwards, and on the left from the highest corner downwards.
    """
    up = row.astype(np.float32)
    up -= np.repeat(base[1], count)
    tall = np.repeat(height, count)
    np.clip(up, 0, tall, out=up)
    down = tall - up
    right = np.repeat(base[0], count)
    left = np.repeat(base[0] + edges[0].sum(axis=0), count)
    part = np.empty_like(up)
    for run, rise in zip(*edges, strict=True):
        slope, tall = np.repeat(run / rise, count), np.repeat(rise, count)
        for way, side in ((up, right), (down, left)):
            np.clip(way, 0, tall, out=part)
            part *= slope
            np.add(side, part, out=side) if side is right else np.subtract(side, part, out=side)
            way -= tall
    return np.rint(left).astype(np.intp), np.rint(right).astype(np.intp)

"""Areas as masks, and their outlines and hatching as lines: what the drawings are made with.

Masks are boolean arrays (rows, columns) over a ``Raster`` whose row index rises with y. All
coordinates are millimetres in drawing space.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitment.engine.drawing.scene import Point, Ring

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
#: Like a mask with soft edges: 0 outside to 1 inside.
Cover = NDArray[np.float32]

#: Points of an outline that deviate less than this from their neighbours' chord are dropped.
SIMPLIFY_MM = 0.2
#: Widest gap between samples, in pixels, that counts as covered.
CLOSING_PX = 2
#: The level at which a mask, widened by one pixel and blurred, is traced. The widening keeps
#: slivers from vanishing and this level takes most of it back.
TRACE_LEVEL = 0.7
BLURS = 4
#: Outlines are averaged along themselves over this many crossings, which takes out the steps
#: of the pixels; no point may move farther than this.
SMOOTH_PX = 5.0
MOST_SMOOTHING_MM = 0.6

#: Segments per case of marching squares as (from edge, to edge), the inside on the left.
#: Corners count 1 lower left, 2 lower right, 4 upper right, 8 upper left; edges are
#: 0 lower, 1 right, 2 upper, 3 left.
_CASES: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((0, 3),),
    2: ((1, 0),),
    3: ((1, 3),),
    4: ((2, 1),),
    5: ((0, 3), (2, 1)),
    6: ((2, 0),),
    7: ((2, 3),),
    8: ((3, 2),),
    9: ((0, 2),),
    10: ((1, 0), (3, 2)),
    11: ((1, 2),),
    12: ((3, 1),),
    13: ((0, 1),),
    14: ((3, 0),),
}


@dataclass(frozen=True)
class Raster:
    """A grid of square pixels of ``step`` mm; pixel (0, 0) is centred on (left, bottom)."""

    left: float
    bottom: float
    columns: int
    rows: int
    step: float = 1.0

    @classmethod
    def over(cls, box: tuple[float, float, float, float], step: float = 1.0) -> Raster:
        """The raster that covers (left, bottom, right, top)."""
        left, bottom, right, top = box
        columns, rows = round((right - left) / step) + 1, round((top - bottom) / step) + 1
        return cls(left, bottom, columns, rows, step)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """(left, bottom, right, top) through the outermost pixel centres."""
        right = self.left + (self.columns - 1) * self.step
        return (self.left, self.bottom, right, self.bottom + (self.rows - 1) * self.step)

    def empty(self) -> Mask:
        """A mask with nothing in it."""
        return np.zeros((self.rows, self.columns), dtype=bool)

    def plotted(self, x: Floats | Cover, y: Floats | Cover) -> Mask:
        """The pixels nearest to the points; NaN and points outside are left out."""
        # One pixel more on every side takes what lies outside: cheaper than sorting it out.
        around = np.zeros((self.rows + 2, self.columns + 2), dtype=bool)
        scale = np.float32(1.0 / self.step)
        with np.errstate(invalid="ignore"):
            column = ((x - np.float32(self.left)) * scale + np.float32(1.5)).astype(np.int32)
            row = ((y - np.float32(self.bottom)) * scale + np.float32(1.5)).astype(np.int32)
        np.clip(column, 0, self.columns + 1, out=column)
        np.clip(row, 0, self.rows + 1, out=row)
        row *= self.columns + 2
        row += column
        around.reshape(-1)[row.reshape(-1)] = True
        return around[1:-1, 1:-1]

    def inside(self, rings: tuple[Ring, ...]) -> Mask:
        """Pixels whose centre lies inside the rings, even-odd."""
        lines = [np.asarray(ring, dtype=float) for ring in rings]
        reach = np.concatenate(lines)[:, 0] if lines else np.zeros(1)
        # Nothing lies inside left of all rings, and right of them all crossings are even.
        ends_at = np.floor((np.array([reach.min(), reach.max()]) - self.left) / self.step)
        first, last = np.clip(ends_at, 0, self.columns).astype(int).tolist()
        width = last - first + 2
        toggles = np.zeros(self.rows * width, dtype=np.intp)
        for a in lines:
            b = np.roll(a, -1, axis=0)
            # Rows whose centre lies above one end of an edge and not above the other.
            ends = np.ceil((np.stack([a[:, 1], b[:, 1]]) - self.bottom - 1e-7) / self.step)
            low, high = np.clip(np.sort(ends, axis=0), 0, self.rows).astype(np.intp)
            edge = np.repeat(np.arange(len(a)), high - low)
            row = np.arange(len(edge)) + np.repeat(high - np.cumsum(high - low), high - low)
            t = (self.bottom + row * self.step + 1e-7 - a[edge, 1]) / (b[edge, 1] - a[edge, 1])
            x = a[edge, 0] + t * (b[edge, 0] - a[edge, 0])
            column = np.ceil((x - self.left) / self.step) - first
            column = np.clip(column, 0, width - 1).astype(np.intp)
            toggles += np.bincount(row * width + column, minlength=len(toggles))
        crossed = np.cumsum(toggles.reshape(self.rows, width)[:, :-1], axis=1)
        mask = self.empty()
        mask[:, first : first + width - 1] = (crossed & 1)[:, : self.columns - first]
        return mask


def widened(mask: Mask, radius_px: float) -> Mask:
    """The mask grown by a disc."""
    return _sweep(mask, radius_px)


def narrowed(mask: Mask, radius_px: float) -> Mask:
    """The mask shrunk by a disc; the border of the raster counts as inside."""
    return ~_sweep(~mask, radius_px)


def closed(mask: Mask, radius_px: float = CLOSING_PX) -> Mask:
    """The mask with holes and gaps narrower than two radii filled."""
    return narrowed(widened(mask, radius_px), radius_px)


def _sweep(mask: Mask, radius_px: float) -> Mask:
    reach = int(radius_px + 0.3)
    rows = len(mask)
    out = np.zeros_like(mask)
    span, done = mask, 0
    for dy in range(reach, -1, -1):
        half = int(math.sqrt(max((radius_px + 0.3) ** 2 - dy * dy, 0.0)))
        span, done = _spread(span, half - done, done), half
        out[dy:] |= span[: rows - dy]
        out[: rows - dy] |= span[dy:]
    return out


def _spread(mask: Mask, by: int, already: int) -> Mask:
    """The mask widened along its rows by ``by`` pixels, ``already`` so many wider than points."""
    while by > 0:
        step = min(by, already + 1)
        wider = mask.copy()
        wider[:, step:] |= mask[:, :-step]
        wider[:, :-step] |= mask[:, step:]
        mask, by, already = wider, by - step, already + step
    return mask


def traced(raster: Raster, area: Mask | Cover) -> tuple[Ring, ...]:
    """Smooth closed outlines of a mask or cover, within about half a pixel of its edge.

    Outer rings run anticlockwise, holes clockwise.
    """
    rows, columns = np.nonzero(area)
    if not len(rows):
        return ()
    # Work on the part that has something in it, with a border so that every outline closes.
    edge = BLURS + 2
    r0, r1, c0, c1 = rows.min(), rows.max() + 1, columns.min(), columns.max() + 1
    field = np.zeros((r1 - r0 + 2 * edge, c1 - c0 + 2 * edge), dtype=np.float32)
    field[edge:-edge, edge:-edge] = area[r0:r1, c0:c1]
    wide = field.copy()
    for part, other in ((np.s_[1:], np.s_[:-1]), (np.s_[:-1], np.s_[1:])):
        np.maximum(wide[part], field[other], out=wide[part])
        np.maximum(wide[:, part], field[:, other], out=wide[:, part])
    field = wide
    for _ in range(BLURS):
        field[1:-1] = 0.25 * (field[:-2] + field[2:]) + 0.5 * field[1:-1]
        field[:, 1:-1] = 0.25 * (field[:, :-2] + field[:, 2:]) + 0.5 * field[:, 1:-1]
    left, bottom, right, top = raster.box
    rings = []
    for ring in rings_at_level(field, TRACE_LEVEL):
        ring = _smoothed(ring, SMOOTH_PX, MOST_SMOOTHING_MM / raster.step)
        x = raster.left + (ring[:, 0] + c0 - edge) * raster.step
        y = raster.bottom + (ring[:, 1] + r0 - edge) * raster.step
        x = _to_border(x, left, right, raster.step)
        y = _to_border(y, bottom, top, raster.step)
        kept = simplified(np.column_stack([x, y]), SIMPLIFY_MM)
        if len(kept) >= 3:
            rings.append(as_ring(kept))
    return tuple(rings)


def _smoothed(ring: Floats, width: float, most: float) -> Floats:
    """A closed line averaged along itself, no point moved by more than ``most``."""
    reach = min(int(2.5 * width), (len(ring) - 1) // 2)
    if reach < 1:
        return ring
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / width) ** 2)
    weights /= weights.sum()
    longer = np.concatenate([ring[-reach:], ring, ring[:reach]])
    mean = np.stack([np.convolve(longer[:, i], weights, mode="valid") for i in (0, 1)], axis=1)
    move = mean - ring
    size = np.hypot(move[:, 0], move[:, 1])
    moved: Floats = ring + move * np.minimum(1.0, most / np.maximum(size, 1e-9))[:, None]
    return moved


def _to_border(values: Floats, low: float, high: float, step: float) -> Floats:
    """Values with those within a pixel of a border put onto it, so that it cuts straight."""
    values = np.where(values < low + step, low, values)
    return np.where(values > high - step, high, values)


def rings_at_level(field: NDArray[np.float32], level: float) -> list[Floats]:
    """Closed level lines as arrays (n, 2) of (column, row), by marching squares."""
    above = field > level
    case = above[:-1, :-1] + 2 * above[:-1, 1:] + 4 * above[1:, 1:] + 8 * above[1:, :-1]
    row, column = np.nonzero((case > 0) & (case < 15))
    kind = case[row, column]
    width, half = field.shape[1], field.size
    here = row * width + column
    # Every crossing lies on one grid edge: lower and upper edges count from 0, left and right
    # ones from the number of pixels.
    edge_id = (here, half + here + 1, here + width, half + here)
    follows: dict[int, int] = {}
    for value, segments in _CASES.items():
        chosen = kind == value
        if chosen.any():
            for begin, end in segments:
                follows.update(
                    zip(edge_id[begin][chosen].tolist(), edge_id[end][chosen].tolist(), strict=True)
                )
    rings = []
    flat = field.reshape(-1)
    while follows:
        first, at = follows.popitem()
        chain = [first]
        while at != first:
            chain.append(at)
            at = follows.pop(at)
        ids = np.array(chain)
        upright = ids >= half
        pixel = np.where(upright, ids - half, ids)
        beyond = pixel + np.where(upright, width, 1)
        low, high = flat[pixel].astype(float), flat[beyond].astype(float)
        t = (level - low) / (high - low)
        x, y = pixel % width + np.where(upright, 0.0, t), pixel // width + np.where(upright, t, 0.0)
        rings.append(np.column_stack([x, y]))
    return rings


def simplified(ring: Floats, tolerance_mm: float) -> Floats:
    """A closed outline without the points that its neighbours make unnecessary."""
    for _ in range(6):
        if len(ring) < 8:
            break
        before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
        chord = after - before
        length = np.hypot(chord[:, 0], chord[:, 1])
        offset = ring - before
        away = np.abs(chord[:, 0] * offset[:, 1] - chord[:, 1] * offset[:, 0])
        needless = (away <= tolerance_mm * length) & (length < 30.0)
        # Never two neighbours in one pass, or the error would add up unseen.
        needless[1::2] &= ~needless[:-1:2][: len(needless[1::2])]
        needless[0] = False
        needless[2::2] &= ~needless[1:-1:2][: len(needless[2::2])]
        if not needless.any():
            break
        ring = ring[~needless]
    return ring


def as_ring(points: Floats) -> Ring:
    """An array (n, 2) as plain tuples."""
    return tuple((x, y) for x, y in points.tolist())


def hatched(
    rings: tuple[Ring, ...], angle_deg: float, spacing_mm: float
) -> tuple[tuple[Point, Point], ...]:
    """Parallel segments inside the rings, even-odd, on lines fixed in drawing space."""
    if not rings:
        return ()
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    begin = np.concatenate([np.asarray(ring, dtype=float) for ring in rings])
    end = np.concatenate([np.roll(np.asarray(ring, dtype=float), -1, axis=0) for ring in rings])
    # Along the hatching u, across it v.
    u0, v0 = begin @ (cos, sin), begin @ (-sin, cos)
    u1, v1 = end @ (cos, sin), end @ (-sin, cos)
    first = math.ceil(min(v0.min(), v1.min()) / spacing_mm)
    lines = (np.arange(first, math.floor(v0.max() / spacing_mm) + 1) + 1e-6) * spacing_mm
    line, edge = np.nonzero((v0 > lines[:, None]) != (v1 > lines[:, None]))
    t = (lines[line] - v0[edge]) / (v1[edge] - v0[edge])
    along = u0[edge] + t * (u1[edge] - u0[edge])
    order = np.lexsort((along, line))
    u, v = along[order], lines[line[order]]
    x, y = (u * cos - v * sin).tolist(), (u * sin + v * cos).tolist()
    return tuple(
        ((x[i], y[i]), (x[i + 1], y[i + 1]))
        for i in range(0, len(x) - 1, 2)
        if u[i + 1] - u[i] > 0.8
    )


def off_border(
    ring: Ring, box: tuple[float, float, float, float], near_mm: float = 0.6
) -> tuple[Ring, ...]:
    """The parts of a closed outline that do not run along the border of ``box``."""
    points = np.asarray(ring, dtype=float)
    left, bottom, right, top = box
    after = np.roll(points, -1, axis=0)
    along = np.zeros(len(points), dtype=bool)
    for axis, at in ((0, left), (0, right), (1, bottom), (1, top)):
        along |= (np.abs(points[:, axis] - at) < near_mm) & (np.abs(after[:, axis] - at) < near_mm)
    if not along.any():
        return (ring + ring[:1],)
    start = int(np.nonzero(along)[0][0]) + 1
    pieces: list[Ring] = []
    piece: list[Point] = []
    for i in range(start, start + len(points)):
        piece.append(ring[i % len(points)])
        if along[i % len(points)]:
            if len(piece) > 1:
                pieces.append(tuple(piece))
            piece = []
    return tuple(pieces)

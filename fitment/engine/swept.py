"""The region that a measured place sweeps past the wheel over all poses, for drawing.

The clearances never come from here: they are computed on the continuous envelope. A sweep is
a map from (steer, travel, sample) to the section, and its image is found on a raster: the
faces of the box finely, since that is where most of the outline comes from, and the inside
coarsely, since near a fold the samples lie close together anyway.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fitment.engine.contour import Cover, Floats, Mask, Raster, as_ring, closed, widened
from fitment.engine.model import EDGE
from fitment.engine.points import SAMPLE_STEP_MM
from fitment.engine.room import FeatureSweep, Room
from fitment.engine.scene import Ring

#: Axial and radius (2, steer, travel, sample) in one array, in single precision for speed.
Grid = NDArray[np.float32]

#: Grid of the sweeps that are drawn; straight lines between stay within 0.1 mm.
STEER_STEP_DEG = 2.0
HEIGHTS = 11
ALONG_MM = 13.0
FACE_STEP_PX = 1.5
INSIDE_STEP_PX = 4.5
CLOSING_PX = 3
#: Thinner than this a curve or point is drawn as such, not as an area.
THIN_MM = 1.5
#: Samples farther than this outside the raster are left out before anything is computed.
MARGIN_MM = 30.0
#: Upper bound of interpolated points per sweep, so that a fine grid cannot make a slow page.
MOST_POINTS = 120_000


@dataclass(frozen=True)
class Swept:
    """One place's region: how far it covers every pixel, or lines or points if it has no area."""

    place: str
    carried_by: str
    cover: Cover | None
    lines: tuple[Ring, ...] = ()


def fine_sweeps(room: Room) -> tuple[FeatureSweep, ...]:
    """The room's sweeps on a grid fine enough to be drawn with straight lines between."""
    steer = _divided(room.envelope.steer_grid(), math.radians(STEER_STEP_DEG))
    along = []
    for index, course in enumerate(room.courses):
        samples = course.samples()
        if course.is_edge and room.moving[index]:
            step = ALONG_MM / SAMPLE_STEP_MM * float(np.diff(samples).max())
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
                np.maximum(cover, _thick(raster, line, half), out=cover)
        return Swept(sweep.place, sweep.carried_by, cover)
    mask = raster.empty()
    for axial, radius in grids:
        _plot(raster, mask, sweep, axial, radius)
    mask = closed(mask, CLOSING_PX)
    # Plotting to whole pixels has widened the mask by about half of one.
    if half > 0.5 * raster.step:
        mask = widened(mask, half / raster.step - 0.5)
    return Swept(sweep.place, sweep.carried_by, mask.astype(np.float32))


def _thick(raster: Raster, line: Ring, half: float) -> Cover:
    """The cover of a line of thickness, or of a round point."""
    cover: Cover = np.zeros((raster.rows, raster.columns), dtype=np.float32)
    reach = half + 2 * raster.step
    for (x0, y0), (x1, y1) in pairwise(line if len(line) > 1 else line * 2):
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
    return cover


def _grids(
    sweep: FeatureSweep, box: tuple[float, float, float, float]
) -> Iterator[tuple[Floats, Floats]]:
    """Unloaded and loaded grids without the samples that never come near the drawing."""
    left, bottom, right, top = box
    pairs = [(sweep.axial_mm, sweep.radius_mm)]
    if sweep.loaded_axial_mm is not None and sweep.loaded_radius_mm is not None:
        pairs.append((sweep.loaded_axial_mm, sweep.loaded_radius_mm))
    for axial, radius in pairs:
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


def _plot(raster: Raster, mask: Mask, sweep: FeatureSweep, axial: Floats, radius: Floats) -> None:
    joined = [axis for axis in _joined(sweep) if axial.shape[axis] > 1]
    both = np.stack([axial, radius]).astype(np.float32)
    if len(joined) < 3:
        _plot_grid(raster, mask, both, joined, FACE_STEP_PX)
        return
    for axis in joined:
        for end in (0, -1):
            _plot_grid(raster, mask, np.take(both, [end], axis=axis + 1), joined, FACE_STEP_PX)
    _plot_grid(raster, mask, both, joined, INSIDE_STEP_PX)


def _plot_grid(raster: Raster, mask: Mask, grid: Grid, joined: list[int], step_px: float) -> None:
    """Plot a grid (2, steer, travel, sample), interpolated along the joined axes."""
    factors = {axis: _factor(raster, grid, axis + 1, step_px * raster.step) for axis in joined}
    total = grid[0].size * float(np.prod(list(factors.values()) or [1]))
    while total > MOST_POINTS and max(factors.values()) > 1:
        axis = max(factors, key=lambda a: factors[a])
        total *= (factors[axis] - 1) / factors[axis]
        factors[axis] -= 1
    for axis, factor in sorted(factors.items(), key=lambda item: item[1]):
        grid = _refined(grid, axis + 1, factor)
    mask |= raster.plotted(grid[0], grid[1])


def _factor(raster: Raster, grid: Grid, axis: int, step: float) -> int:
    """Into how many parts the gaps along an axis have to be divided to suit the drawing."""
    if grid.shape[axis] < 2:
        return 1
    left, bottom, right, top = raster.box
    with np.errstate(invalid="ignore"):
        gaps = np.hypot(*np.diff(grid, axis=axis))
        seen = (grid[0] > left) & (grid[0] < right) & (grid[1] > bottom) & (grid[1] < top)
    seen = np.moveaxis(seen, axis - 1, 0)
    gaps = np.moveaxis(gaps, axis - 1, 0)
    gaps = gaps[(seen[1:] | seen[:-1]) & np.isfinite(gaps)]
    return max(1, int(np.ceil(gaps.max() / step))) if len(gaps) else 1


def _refined(grid: Grid, axis: int, factor: int) -> Grid:
    """The grid with every gap along an axis divided into ``factor`` parts, linearly."""
    if factor < 2 or grid.shape[axis] < 2:
        return grid
    shape = list(grid.shape)
    shape[axis] = (shape[axis] - 1) * factor + 1
    out = np.empty(shape, dtype=np.float32)
    before: list[slice] = [slice(None)] * grid.ndim
    after, into = list(before), list(before)
    before[axis], after[axis] = slice(None, -1), slice(1, None)
    low = grid[tuple(before)]
    run = grid[tuple(after)] - low
    for part in range(factor):
        into[axis] = slice(part, -1, factor)
        out[tuple(into)] = low + run * np.float32(part / factor)
    into[axis] = before[axis] = slice(-1, None)
    out[tuple(into)] = grid[tuple(before)]
    return out

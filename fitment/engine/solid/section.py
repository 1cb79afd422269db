"""The solid that wheel and tyre turn about the spin axis, as a plane section.

Section plane: ``b`` axial from the wheel's centre plane and ``a`` axial from the hub face
(a = b + spacer - offset), outboard positive; ``r`` radius from the spin axis; millimetres.
A body point's distance to the solid is its plane distance to the section, so one polygon
answers every pose.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from alignment.geometry.frames import Array, Flags
from fitment.engine import defaults
from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.boundary import Boundary
from fitment.engine.solid.mounted import Mounted, mounted
from fitment.engine.solid.traced_profile import profile_as_is

#: Points along a quarter of crown and of side wall: chords stay within this of the curves.
FINE, FINE_ERROR_MM = (64, 28), 0.02
#: The same for a first look: within ``COARSE_ERROR_MM`` of the curves.
COARSE = (9, 5)
COARSE_ERROR_MM = 0.6
#: Section height or half width up to which those counts serve; larger tyres take more.
USUAL_SIZE_MM = 110.0
#: How far the bead is carried into the barrel, so that tyre and rim overlap rather than touch.
BEAD_DEPTH_MM = 2.0


@dataclass(frozen=True)
class Section:
    """Boundary of wheel and tyre together, in hub-face coordinates (a, r).

    ``start`` and ``end`` (k, 2) are the boundary's segments without the axis; ``on_tyre`` (k,)
    tells which belong to the tyre. ``tyre_outline_mm`` and ``rim_outline_mm`` are closed
    polygons (n, 2) for drawing.
    """

    mounted: Mounted
    start: Array
    end: Array
    on_tyre: Flags
    tyre_outline_mm: Array
    rim_outline_mm: Array
    centre_axial_mm: float
    rim_edge_axial_mm: float  # inboard edge of the inboard flange
    barrel_radius_mm: float
    part: str = ""  # which part of the tyre it is by itself; wheel and tyre together if empty

    def is_inside_wheel(self, axial: Array, radius: Array) -> Flags:
        """Which places (n,) lie inside the wheel, with the rim between them and the tyre."""
        return np.asarray((radius < self.barrel_radius_mm) & (axial > self.rim_edge_axial_mm))

    @property
    def rim_radius_mm(self) -> float:
        """Radius of the bead seat."""
        return self.mounted.rim_radius_mm

    @property
    def tyre_radius_mm(self) -> float:
        """Radius over the crown."""
        return self.mounted.tyre_radius_mm

    @property
    def section_width_mm(self) -> float:
        """Width of the mounted section."""
        return self.mounted.section_width_mm

    @cached_property
    def box(self) -> tuple[float, float, float]:
        """Least and greatest axial and greatest radius of the solid, mm."""
        a, r = np.concatenate([self.start, self.end]).T
        return float(a.min()), float(a.max()), float(r.max())

    def past_corners(self, axial: Array, radius: Array) -> Array:
        """Distance (n,) of points past the slanting lines that cut the corners of the box."""
        a, r = np.concatenate([self.start, self.end]).T
        outboard, inboard = (r + a).max(), (r - a).max()
        past = np.maximum(radius + axial - outboard, radius - axial - inboard)
        return np.asarray(past * np.sqrt(0.5), float)

    @cached_property
    def boundary(self) -> Boundary:
        """The boundary, ready for distances."""
        return Boundary(self.start, self.end)

    def distance(self, axial: Array, radius: Array) -> Array:
        """Signed distance (mm) of points to the solid, any shape; negative inside."""
        axial, radius = np.asarray(axial, float), np.asarray(radius, float)
        return self.boundary.distance(axial.ravel(), radius.ravel()).reshape(axial.shape)

    def nearest(self, axial: Array, radius: Array) -> tuple[Array, Flags]:
        """Nearest boundary points (n, 2) to points (n,), and whether each is on the tyre."""
        points, index = self.boundary.nearest(axial, radius)
        return points, self.on_tyre[index]


@lru_cache(maxsize=4096)
def section_of(wheel: Wheel, tyre: Tyre, coarse: bool = False) -> Section:
    """Section of ``tyre`` on ``wheel``; ``coarse`` for a first look, within COARSE_ERROR_MM.

    Raises BadSize or BadSection where the dimensions describe no section.
    """
    size = mounted(wheel, tyre)
    shift = wheel.spacer_mm - wheel.offset_mm
    half_rim = wheel.rim_mm / 2
    profile = profile_as_is(size, tyre)
    tyre_path = _tyre(size, half_rim, profile, _counts(size, COARSE if coarse else FINE))
    rim_path = _rim(size, wheel, half_rim)
    tyre_keep, rim_keep = _joined(tyre_path, rim_path)
    segments = np.concatenate([tyre_keep, rim_keep]) + np.array([shift, 0.0])
    barrel = defaults.BARREL_MM if wheel.barrel_mm is None else wheel.barrel_mm
    return Section(
        mounted=size,
        start=segments[:, 0],
        end=segments[:, 1],
        on_tyre=np.arange(len(segments)) < len(tyre_keep),
        tyre_outline_mm=tyre_path + np.array([shift, 0.0]),
        rim_outline_mm=rim_path + np.array([shift, 0.0]),
        centre_axial_mm=shift,
        rim_edge_axial_mm=shift - half_rim - wheel.flange_mm,
        barrel_radius_mm=size.rim_radius_mm - barrel,
    )


def _counts(size: Mounted, usual: tuple[int, int]) -> tuple[int, int]:
    """Points for this size: a chord's error grows with the section, and falls with their square."""
    more = max(1.0, np.sqrt(max(size.section_height_mm, size.section_width_mm / 2) / USUAL_SIZE_MM))
    return int(np.ceil(more * usual[0])), int(np.ceil(more * usual[1]))


def _tyre(
    size: Mounted, half_rim: float, profile: tuple[tuple[float, float], ...], count: tuple[int, int]
) -> Array:
    """Closed tyre polygon (n, 2) in (b, r) from the outboard bead over the crown and back."""
    if profile:
        path = np.array(profile, float)
    else:
        half = np.concatenate([_wall(size, half_rim, count[1])[:-1], _crown(size, count[0])])
        path = np.concatenate([half, half[-2::-1] * [-1.0, 1.0]])
    depth = size.rim_radius_mm - BEAD_DEPTH_MM
    first, last = path[0], path[-1]
    return np.concatenate(
        [[[first[0], min(first[1], depth)]], path, [[last[0], min(last[1], depth)]]]
    )


def _wall(size: Mounted, half_rim: float, count: int) -> Array:
    """Quarter ellipse from the outboard bead seat up to the widest point, (n, 2)."""
    bulge = size.section_width_mm / 2 - half_rim
    rise = size.widest_radius_mm - size.rim_radius_mm

    def at(t: Array) -> Array:
        return np.stack(
            [half_rim + bulge * np.cos(t), size.widest_radius_mm + rise * np.sin(t)], axis=-1
        )

    return at(_spread(at(np.linspace(-np.pi / 2, 0.0, 121)), -np.pi / 2, 0.0, count))


def _crown(size: Mounted, count: int) -> Array:
    """Quarter superellipse from the outboard widest point to the middle of the tread, (n, 2)."""
    half, height = size.section_width_mm / 2, size.tyre_radius_mm - size.widest_radius_mm
    power = _power(
        size.tread_width_mm / size.section_width_mm, 1.0 - size.shoulder_drop_mm / height
    )

    def at(angle: Array) -> Array:
        cos, sin = np.cos(angle), np.sin(angle)
        cos[-1] = sin[0] = 0.0
        reach = (cos**power + sin**power) ** (-1.0 / power)
        return np.stack([half * reach * cos, size.widest_radius_mm + height * reach * sin], axis=-1)

    return at(_spread(at(np.linspace(0.0, np.pi / 2, 361)), 0.0, np.pi / 2, count))


def _power(across: float, up: float) -> float:
    """Exponent p with across^p + up^p = 1, both in (0, 1).

    The sum falls from 2 and is convex, so Newton's steps from p = 0 come up to the root.
    """
    p, log_across, log_up = 0.0, math.log(across), math.log(up)
    for _ in range(100):
        first, second = across**p, up**p
        step = (first + second - 1.0) / -(first * log_across + second * log_up)
        p += step
        if step < 1e-14 * p:
            break
    return p


def _spread(path: Array, low: float, high: float, count: int) -> Array:
    """Where (count + 1,) on a curve to put points so that they are closest where it bends most.

    ``path`` (n, 2) samples the curve at even steps of its parameter from ``low`` to ``high``.
    """
    step = np.diff(path, axis=0)
    length = np.hypot(step[:, 0], step[:, 1])
    turn = step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0]
    bend = np.abs(turn) / (length[:-1] * length[1:])
    # A chord of length L misses a curve of curvature k by k L² / 8: equal steps of sqrt(k) ds.
    weight = np.sqrt(bend * (length[1:] + length[:-1]) / 2) + 1e-9
    measure = np.concatenate([[0.0], np.cumsum(weight)])
    middles = (np.arange(len(length)) + 0.5) / len(length)
    share = np.interp(np.linspace(0.0, measure[-1], count + 1), measure, middles)
    share[0], share[-1] = 0.0, 1.0
    return low + (high - low) * share


def _rim(size: Mounted, wheel: Wheel, half_rim: float) -> Array:
    """Closed polygon (n, 2) in (b, r): disc from its back face outboard, barrel and flanges.

    Like the tyre it runs anticlockwise, so that the inside is on the left of every segment.
    """
    barrel = defaults.BARREL_MM if wheel.barrel_mm is None else wheel.barrel_mm
    seat, outer = size.rim_radius_mm, half_rim + wheel.flange_mm
    inner, top = seat - barrel, seat + defaults.FLANGE_HEIGHT_MM
    back = _spoke_back(wheel, inner)
    back[:, 0] = np.clip(back[:, 0], -outer, outer)
    rest = [
        [-outer, inner],
        [-outer, top],
        [-half_rim, top],
        [-half_rim, seat],
        [half_rim, seat],
        [half_rim, top],
        [outer, top],
        [outer, 0.0],
    ]
    return np.concatenate([back, rest])[::-1]


def _spoke_back(wheel: Wheel, barrel_radius: float) -> Array:
    """Back face of the disc (n, 2) in (b, r) from the axis to the barrel."""
    trace = wheel.spoke_back or ((defaults.SPOKE_BACK_MM, 0.0),)
    axial = np.array([point[0] for point in trace]) + wheel.offset_mm
    radius = np.array([point[1] for point in trace])
    between = radius[(radius > 0) & (radius < barrel_radius)]
    at = np.concatenate([[0.0], between, [barrel_radius]])
    return np.stack([np.interp(at, radius, axial), at], axis=-1)


def _joined(tyre: Array, rim: Array) -> tuple[Array, Array]:
    """Segments (n, 2, 2) of two closed paths that bound both together: the tyre's, the rim's.

    Without the rim's segment on the axis.
    """
    tyre_lines, rim_lines = _lines(tyre), _lines(rim)
    above = tyre_lines[:, :, 1].min(axis=1) > rim[:, 1].max()  # most are out of the rim's reach
    low = tyre_lines[~above]
    along_low, along_rim = _crossings(low, rim_lines)
    low = _cut(low, along_low)
    low = low[~_inside(rim, low.mean(axis=1))]
    rim_lines = _cut(rim_lines, along_rim.T)
    rim_lines = rim_lines[~_inside(tyre, rim_lines.mean(axis=1))]
    rim_lines = rim_lines[np.any(rim_lines[:, :, 1] > 0.0, axis=1)]
    return np.concatenate([tyre_lines[above], low]), rim_lines


def _lines(path: Array) -> Array:
    """Segments (n, 2, 2) of a closed path (n, 2)."""
    return np.stack([path, np.concatenate([path[1:], path[:1]])], axis=1)


def _crossings(lines: Array, others: Array) -> tuple[Array, Array]:
    """Shares of each line and of the other (n, m) at which they cross; NaN where they do not."""
    run, along = lines[:, 1] - lines[:, 0], others[:, 1] - others[:, 0]
    gap = others[None, :, 0] - lines[:, None, 0]
    cross = run[:, None, 0] * along[None, :, 1] - run[:, None, 1] * along[None, :, 0]
    parallel = np.abs(cross) < 1e-12
    safe = np.where(parallel, 1.0, cross)
    t = (gap[..., 0] * along[None, :, 1] - gap[..., 1] * along[None, :, 0]) / safe
    u = (gap[..., 0] * run[:, None, 1] - gap[..., 1] * run[:, None, 0]) / safe
    meet = ~parallel & (t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)
    return np.where(meet, t, np.nan), np.where(meet, u, np.nan)


def _cut(lines: Array, at: Array) -> Array:
    """Lines (n, 2, 2) cut at the shares in their rows of ``at`` (n, m), NaN for none."""
    row, other = np.nonzero((at > 1e-12) & (at < 1 - 1e-12))
    every = np.arange(len(lines))
    owner = np.concatenate([every, row, every])
    share = np.concatenate([np.zeros(len(every)), at[row, other], np.ones(len(every))])
    order = np.lexsort((share, owner))
    owner, share = owner[order], share[order, None]
    points = (1 - share) * lines[owner, 0] + share * lines[owner, 1]
    piece = (owner[1:] == owner[:-1]) & (np.sum((points[1:] - points[:-1]) ** 2, axis=1) > 1e-18)
    cut: Array = np.stack([points[:-1], points[1:]], axis=1)[piece]
    return cut


def _inside(path: Array, points: Array) -> Flags:
    """Whether points (n, 2) lie inside a closed path (even-odd, ray towards growing radius)."""
    end = np.roll(path, -1, axis=0)
    b, r = points[:, 0:1], points[:, 1:2]
    spans = (path[:, 0] <= b) != (end[:, 0] <= b)
    run = np.where(end[:, 0] == path[:, 0], 1.0, end[:, 0] - path[:, 0])
    height = path[:, 1] + (b - path[:, 0]) / run * (end[:, 1] - path[:, 1])
    inside: Flags = np.logical_xor.reduce(spans & (height > r), axis=1)
    return inside

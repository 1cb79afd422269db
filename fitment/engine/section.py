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

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine import defaults
from fitment.engine.designation import INCH_MM
from fitment.engine.model import Tyre, Wheel
from fitment.engine.mounted import Mounted, mounted

#: Points along a quarter of crown and of side wall: chords stay within 0.02 mm of the curves.
FINE = (64, 28)
#: The same for a first look: within ``COARSE_ERROR_MM`` of the curves.
COARSE = (9, 5)
COARSE_ERROR_MM = 0.6
#: Section height or half width up to which those counts serve; larger tyres take more.
USUAL_SIZE_MM = 110.0
#: How far the bead is carried into the barrel, so that tyre and rim overlap rather than touch.
BEAD_DEPTH_MM = 2.0
#: Point-by-segment products worked on at once; about what stays in a processor's cache.
CHUNK = 60_000


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
        ends = np.concatenate([self.start, self.end])
        return float(ends[:, 0].min()), float(ends[:, 0].max()), float(ends[:, 1].max())

    @cached_property
    def _planes(self) -> tuple[Array, Array, Array]:
        """Segments as two linear forms of (a, r, 1).

        ``forms`` (3, 2k): distance along each segment from its middle, then to its left;
        ``half`` (k,) its half length; ``corners`` (2, k, 2) the outward directions at its ends.
        """
        run = self.end - self.start
        length = np.sqrt(np.sum(run * run, axis=1))
        unit = run / length[:, None]
        left = np.stack([-unit[:, 1], unit[:, 0]], axis=-1)
        middle = (self.start + self.end) / 2
        along = np.stack([*unit.T, -np.sum(unit * middle, axis=1)])
        across = np.stack([*left.T, -np.sum(left * middle, axis=1)])
        before, after = _neighbours(self.start, self.end)
        corners = -np.stack([left + left[before], left + left[after]])
        return np.concatenate([along, across], axis=1), length / 2, corners

    def distance(self, axial: Array, radius: Array) -> Array:
        """Signed distance (mm) of points to the solid, any shape; negative inside."""
        axial, radius = np.asarray(axial, float), np.asarray(radius, float)
        a, r = axial.ravel(), radius.ravel()
        result = np.empty(len(a))
        size = max(1, CHUNK // len(self.start))
        for first in range(0, len(a), size):
            part = slice(first, first + size)
            result[part] = self._look(a[part], r[part])[0]
        return result.reshape(axial.shape)

    def nearest(self, axial: Array, radius: Array) -> tuple[Array, Flags]:
        """Nearest boundary points (n, 2) to points (n,), and whether each is on the tyre."""
        _, index, along = self._look(axial, radius)
        half = self._planes[1][index]
        share = (np.clip(along, -half, half) + half) / (2 * half)
        points = self.start[index] + share[:, None] * (self.end[index] - self.start[index])
        return points, self.on_tyre[index]

    def _look(self, a: Array, r: Array) -> tuple[Array, Index, Array]:
        """Signed distance, nearest segment and place along it from its middle, each (n,)."""
        forms, half, corners = self._planes
        count, rows = len(half), np.arange(len(a))
        both = np.stack([a, r, np.ones(len(a))], axis=-1) @ forms
        along, across = both[:, :count], both[:, count:]
        beyond = np.abs(along)
        beyond -= half
        np.maximum(beyond, 0.0, out=beyond)
        beyond *= beyond
        square = across * across
        square += beyond
        index = np.argmin(square, axis=1)
        inside = across[rows, index] > 0
        place = along[rows, index]
        end = np.flatnonzero(np.abs(place) > half[index])
        if len(end):  # nearest to a corner: the side is told by the mean of its two normals
            last = (place[end] > 0).astype(int)
            corner = np.where(last[:, None], self.end[index[end]], self.start[index[end]])
            out = corners[last, index[end]]
            inside[end] = (a[end] - corner[:, 0]) * out[:, 0] + (r[end] - corner[:, 1]) * out[
                :, 1
            ] < 0
        root = np.sqrt(square[rows, index])
        return np.where(inside, -root, root), index, place


@lru_cache(maxsize=4096)
def section_of(wheel: Wheel, tyre: Tyre, coarse: bool = False) -> Section:
    """Section of ``tyre`` on ``wheel``; ``coarse`` for a first look, within COARSE_ERROR_MM.

    Raises BadSize or BadSection where the dimensions describe no section.
    """
    size = mounted(wheel, tyre)
    shift = wheel.spacer_mm - wheel.offset_mm
    half_rim = INCH_MM * wheel.width_in / 2
    profile = profile_as_is(size, tyre)
    tyre_path = _tyre(size, half_rim, profile, _counts(size, COARSE if coarse else FINE))
    rim_path = _rim(size, wheel, half_rim)
    tyre_cut, rim_cut = _cut(tyre_path, rim_path), _cut(rim_path, tyre_path)
    tyre_keep = tyre_cut[~_inside(rim_path, _middles(tyre_cut))]
    rim_keep = rim_cut[~_inside(tyre_path, _middles(rim_cut))]
    rim_keep = rim_keep[np.any(rim_keep[:, :, 1] > 0.0, axis=1)]
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


def profile_as_is(size: Mounted, tyre: Tyre) -> tuple[tuple[float, float], ...]:
    """A traced profile as worn and grown: heights over the bead seat scaled to the new crown."""
    change = tyre.growth_mm - tyre.worn_mm
    if not tyre.profile or change == 0.0:
        return tyre.profile
    seat = size.rim_radius_mm
    height = max(radius for _, radius in tyre.profile) - seat
    return tuple(
        (b, seat + (radius - seat) * (height + change) / height) for b, radius in tyre.profile
    )


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
    t = np.linspace(-np.pi / 2, 0.0, 361)
    bulge = size.section_width_mm / 2 - half_rim
    rise = size.widest_radius_mm - size.rim_radius_mm
    path = np.stack(
        [half_rim + bulge * np.cos(t), size.widest_radius_mm + rise * np.sin(t)], axis=-1
    )
    return _thinned(path, count)


def _crown(size: Mounted, count: int) -> Array:
    """Quarter superellipse from the outboard widest point to the middle of the tread, (n, 2)."""
    half, height = size.section_width_mm / 2, size.tyre_radius_mm - size.widest_radius_mm
    power = _power(
        size.tread_width_mm / size.section_width_mm, 1.0 - size.shoulder_drop_mm / height
    )
    angle = np.linspace(0.0, np.pi / 2, 721)
    cos, sin = np.cos(angle), np.sin(angle)
    cos[-1] = sin[0] = 0.0
    reach = (cos**power + sin**power) ** (-1.0 / power)
    path = np.stack([half * reach * cos, size.widest_radius_mm + height * reach * sin], axis=-1)
    return _thinned(path, count)


def _power(across: float, up: float) -> float:
    """Exponent p with across^p + up^p = 1, both in (0, 1), by bisection on log p."""
    low, high = -7.0, 9.0
    for _ in range(60):
        middle = (low + high) / 2
        p = math.exp(middle)
        low, high = (middle, high) if across**p + up**p > 1.0 else (low, middle)
    return math.exp((low + high) / 2)


def _thinned(path: Array, count: int) -> Array:
    """About ``count`` points of a dense path, closest where it bends most, ends kept."""
    step = np.diff(path, axis=0)
    length = np.linalg.norm(step, axis=1)
    heading = np.unwrap(np.arctan2(step[:, 1], step[:, 0]))
    bend = np.abs(np.diff(heading))
    # A chord of length L misses a curve of curvature k by k L² / 8: equal steps of sqrt(k) ds.
    weight = np.sqrt(bend * (length[1:] + length[:-1]) / 2)
    measure = np.concatenate([[0.0], np.cumsum(weight + 1e-9), [np.sum(weight + 1e-9)]])
    wanted = np.linspace(0.0, measure[-1], count + 1)
    index = np.unique(np.clip(np.searchsorted(measure, wanted), 0, len(path) - 1))
    index[0], index[-1] = 0, len(path) - 1
    return path[index]


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


def _cut(path: Array, other: Array) -> Array:
    """Segments (n, 2, 2) of a closed path, split where they cross another closed path."""
    start, run = path, np.roll(path, -1, axis=0) - path
    begin, along = other, np.roll(other, -1, axis=0) - other
    cross = run[:, None, 0] * along[None, :, 1] - run[:, None, 1] * along[None, :, 0]
    gap = begin[None] - start[:, None]
    parallel = np.abs(cross) < 1e-12
    safe = np.where(parallel, 1.0, cross)
    t = (gap[..., 0] * along[None, :, 1] - gap[..., 1] * along[None, :, 0]) / safe
    u = (gap[..., 0] * run[:, None, 1] - gap[..., 1] * run[:, None, 0]) / safe
    hit = ~parallel & (t > 1e-12) & (t < 1 - 1e-12) & (u >= 0) & (u <= 1)
    whole = ~hit.any(axis=1)
    pieces = [np.stack([start[whole], start[whole] + run[whole]], axis=1)]
    for index in np.flatnonzero(~whole):
        cuts = np.concatenate([[0.0], np.sort(t[index][hit[index]]), [1.0]])
        points = start[index] + cuts[:, None] * run[index]
        pieces.append(np.stack([points[:-1], points[1:]], axis=1))
    segments = np.concatenate(pieces)
    long_enough: Array = segments[np.sum((segments[:, 1] - segments[:, 0]) ** 2, axis=1) > 1e-18]
    return long_enough


def _neighbours(start: Array, end: Array) -> tuple[Index, Index]:
    """For every segment the one that ends where it starts and the one that starts at its end.

    A segment without a neighbour is its own. Most segments follow each other, so only the ends
    that do not are looked up.
    """
    before, after = np.arange(len(start)), np.arange(len(start))
    follows = np.all(np.abs(end[:-1] - start[1:]) < 1e-9, axis=1)
    row = np.flatnonzero(follows)
    after[row], before[row + 1] = row + 1, row
    tails = np.append(np.flatnonzero(~follows), len(start) - 1)
    heads = np.insert(np.flatnonzero(~follows) + 1, 0, 0)
    meet = np.all(np.abs(end[tails][:, None] - start[heads][None]) < 1e-9, axis=-1)
    tail, head = np.nonzero(meet)
    after[tails[tail]], before[heads[head]] = heads[head], tails[tail]
    return before, after


def _middles(segments: Array) -> Array:
    middles: Array = segments.mean(axis=1)
    return middles


def _inside(path: Array, points: Array) -> Flags:
    """Whether points (n, 2) lie inside a closed path (even-odd, ray towards growing radius)."""
    end = np.roll(path, -1, axis=0)
    b, r = points[:, 0:1], points[:, 1:2]
    spans = (path[:, 0] <= b) != (end[:, 0] <= b)
    run = np.where(end[:, 0] == path[:, 0], 1.0, end[:, 0] - path[:, 0])
    height = path[:, 1] + (b - path[:, 0]) / run * (end[:, 1] - path[:, 1])
    inside: Flags = np.logical_xor.reduce(spans & (height > r), axis=1)
    return inside

"""Where labels go: near what they belong to, off the ink, and never over each other."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fitment.engine.contour import Cover, Floats, Raster
from fitment.engine.scene import LINE_HEIGHT_EM, Point

#: Mean width of a character in em for the sans-serif faces in use, on the safe side.
CHARACTER_EM = 0.6
#: Free space around a label in mm.
PADDING_MM = 3.0
STEP_MM = 7.0
#: No leader runs farther than this, across or up.
FARTHEST_MM = 150.0
#: What covering a square millimetre of ink costs against a millimetre of leader.
INK_COST = 0.04
#: What running the leader over a millimetre of ink costs.
CROSSING_COST = 1.5
#: A leader shorter than this is hard to see between label and arrow.
LEAST_LEADER_MM = 10.0

#: What a leader that doubles back costs, against a millimetre of leader.
FOLDING_COST = 120.0

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Request:
    """A label to be placed: its lines and the ways in which a leader may start.

    A way is a point and the unit direction in which the dimension line arrives at it.
    """

    ways: tuple[tuple[Point, Point], ...]
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Placed:
    """Which way was taken, where its leader ends, and the text anchor there."""

    way: int
    at: Point
    anchor: str


@dataclass(frozen=True)
class _Spots:
    """Candidates: anchor (x, y), text to the right (side 1) or left (-1), box from x0."""

    side: Floats
    x: Floats
    y: Floats
    x0: Floats
    width: float
    height: float

    @property
    def y0(self) -> Floats:
        """Lower edge of the boxes."""
        return self.y - self.height / 2

    def only(self, chosen: NDArray[np.bool_]) -> _Spots:
        """The chosen candidates."""
        return _Spots(
            self.side[chosen],
            self.x[chosen],
            self.y[chosen],
            self.x0[chosen],
            self.width,
            self.height,
        )

    def cover(self, x: Floats, y: Floats, pad: float) -> NDArray[np.bool_]:
        """Whether the boxes contain points."""
        across = (x > self.x0 - pad) & (x < self.x0 + self.width + pad)
        up = (y > self.y0 - pad) & (y < self.y0 + self.height + pad)
        covered: NDArray[np.bool_] = across & up
        return covered


class Placer:
    """Places labels one after another over a raster of how dark the drawing is.

    ``ink`` is 0 for empty paper and grows with what a label should not cover.
    """

    def __init__(self, raster: Raster, ink: Cover, text_mm: float) -> None:
        self._raster = raster
        self._text_mm = text_mm
        self._ink = ink
        self._sums = np.zeros((raster.rows + 1, raster.columns + 1), dtype=np.float64)
        self._summed = False
        self.boxes: list[Box] = []
        self._leaders: list[tuple[Point, Point]] = []
        self._lines: list[tuple[Point, Point]] = []

    def _sum_up(self) -> None:
        if not self._summed:
            self._sums[1:, 1:] = self._ink.cumsum(axis=0, dtype=np.float64).cumsum(axis=1)
            self._summed = True

    def size(self, lines: tuple[str, ...]) -> tuple[float, float]:
        """Width and height in mm that lines of text take at the most."""
        longest = max(len(line) for line in lines)
        tall = (len(lines) - 1) * LINE_HEIGHT_EM + 1.0
        return longest * CHARACTER_EM * self._text_mm, tall * self._text_mm

    def reserve(self, box: Box) -> None:
        """Keep labels off a box."""
        self.boxes.append(box)

    def darken(self, points: tuple[Point, ...], weight: float) -> None:
        """Add the ink of a line through points."""
        raster = self._raster
        line = np.asarray(points, dtype=float)
        run = np.hypot(*np.diff(line, axis=0).T)
        at = np.concatenate([[0.0], np.cumsum(run)])
        if at[-1] <= 0.0:
            return
        where = np.arange(0.0, at[-1], raster.step)
        x, y = np.interp(where, at, line[:, 0]), np.interp(where, at, line[:, 1])
        column = np.rint((x - raster.left) / raster.step).astype(int)
        row = np.rint((y - raster.bottom) / raster.step).astype(int)
        good = (column >= 0) & (column < raster.columns) & (row >= 0) & (row < raster.rows)
        spot = (row[good], column[good])
        self._ink[spot] = np.maximum(self._ink[spot], weight)
        self._summed = False

    def keep_clear(self, points: tuple[Point, ...]) -> None:
        """A line that no leader shall cross, its own may begin at its ends."""
        self._lines += pairwise(points)
        self.darken(points, 3.0)

    def arrange(self, requests: list[Request]) -> list[Placed]:
        """Places for all the requested labels, in the order of the requests.

        What is placed first has the choice, so a few orders are tried and the one that suits
        all together best is taken.
        """
        self._sum_up()
        indices = range(len(requests))
        origins = [request.ways[0][0] for request in requests]
        orders = [
            list(indices),
            sorted(indices, key=lambda i: origins[i][0]),
            sorted(indices, key=lambda i: -origins[i][0]),
            sorted(indices, key=lambda i: -origins[i][1]),
        ]
        reserved, best, least = list(self.boxes), [], np.inf
        for order in orders if len(requests) > 1 else orders[:1]:
            self.boxes, self._leaders = list(reserved), []
            placed: dict[int, Placed] = {}
            total = 0.0
            for index in order:
                placed[index], cost = self._place(requests[index])
                total += cost
            if total < least:
                least, best = total, [placed[index] for index in indices]
                boxes = self.boxes
        if requests:
            self.boxes = boxes
        return best

    def _place(self, request: Request) -> tuple[Placed, float]:
        width, height = self.size(request.lines)
        left, bottom, right, top = self._raster.box
        origins = np.array([origin for origin, _ in request.ways])
        low, high = origins.min(axis=0) - FARTHEST_MM, origins.max(axis=0) + FARTHEST_MM
        x = np.arange(max(left + PADDING_MM, low[0]), min(right - PADDING_MM, high[0]), STEP_MM)
        y = np.arange(
            max(bottom + height / 2 + PADDING_MM, low[1]), min(top - height / 2, high[1]), STEP_MM
        )
        side, at_y, at_x = (
            a.reshape(-1) for a in np.meshgrid(np.array([1.0, -1.0]), y, x, indexing="ij")
        )
        x0 = np.where(side > 0, at_x, at_x - width)
        fits = (x0 >= left + PADDING_MM) & (x0 + width <= right - PADDING_MM)
        spots = _Spots(side[fits], at_x[fits], at_y[fits], x0[fits], width, height)
        spots = self._affordable(spots)
        if not len(spots.x):
            return Placed(0, request.ways[0][0], "start"), 1e6
        costs = [self._cost(origin, direction, spots) for origin, direction in request.ways]
        way = int(np.argmin([cost.min() for cost in costs]))
        best = int(np.argmin(costs[way]))
        x_left, middle = float(spots.x0[best]), float(spots.y[best])
        self.boxes.append((x_left, middle - height / 2, x_left + width, middle + height / 2))
        anchor = (float(spots.x[best] - spots.side[best] * 3.0), middle)
        self._leaders.append((request.ways[way][0], anchor))
        text_anchor = "start" if spots.side[best] > 0 else "end"
        return Placed(way, anchor, text_anchor), float(costs[way][best])

    def _affordable(self, spots: _Spots) -> _Spots:
        """The spots off other labels, or all of them where there is no such spot."""
        free: NDArray[np.bool_] = np.ones(len(spots.x), dtype=bool)
        for x0, y0, x1, y1 in self.boxes:
            pad = PADDING_MM
            over = (spots.x0 < x1 + pad) & (spots.x0 + spots.width > x0 - pad)
            over &= (spots.y0 < y1 + pad) & (spots.y0 + spots.height > y0 - pad)
            free = free & ~over
        return spots.only(free) if free.any() else spots

    def _cost(self, origin: Point, direction: Point, spots: _Spots) -> Floats:
        ox, oy = origin
        dx, dy = spots.x - ox, spots.y - oy
        length = np.hypot(dx, dy)
        cost: Floats = 1.4 * length + 40.0 * (length < LEAST_LEADER_MM)
        # A leader bends by up to a right angle without looking folded.
        onwards = (dx * direction[0] + dy * direction[1]) / np.maximum(length, 1e-9)
        cost += FOLDING_COST * np.clip(0.2 - onwards, 0.0, 1.2)
        # A leader that would run back under its own text.
        cost += 300.0 * (spots.side * dx < -2.0)
        cost += INK_COST * self._ink_in(
            spots.x0, spots.y0, spots.x0 + spots.width, spots.y0 + spots.height
        )
        cost += CROSSING_COST * length * self._ink_along(origin, spots.x, spots.y)
        for box in self.boxes:
            cost += 1e3 * self._through(origin, spots.x, spots.y, box)
        for start, end in self._lines + self._leaders:
            cost += 200.0 * _cross(origin, spots.x, spots.y, start, end)
        t = np.linspace(0.0, 1.0, 9)[:, None]
        for start, end in self._leaders:
            px, py = start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])
            cost += 300.0 * spots.cover(px, py, 0.0).any(axis=0)
        cost += 1e4 * spots.cover(np.array(ox), np.array(oy), 2.0)
        return cost

    def _ink_in(self, x0: Floats, y0: Floats, x1: Floats, y1: Floats) -> Floats:
        raster, sums = self._raster, self._sums

        def column(x: Floats) -> NDArray[np.intp]:
            at = np.clip((x - raster.left) / raster.step, 0, raster.columns)
            return np.rint(at).astype(np.intp)

        def row(y: Floats) -> NDArray[np.intp]:
            at = np.clip((y - raster.bottom) / raster.step, 0, raster.rows)
            return np.rint(at).astype(np.intp)

        c0, c1, r0, r1 = column(x0), column(x1), row(y0), row(y1)
        total: Floats = sums[r1, c1] - sums[r0, c1] - sums[r1, c0] + sums[r0, c0]
        return total * raster.step**2

    def _ink_along(self, origin: Point, at_x: Floats, at_y: Floats) -> Floats:
        """Mean ink under the straight leaders."""
        raster = self._raster
        t = np.linspace(0.1, 1.0, 10, dtype=np.float32)[:, None]
        column = (origin[0] + t * (at_x - origin[0]) - raster.left) / raster.step
        row = (origin[1] + t * (at_y - origin[1]) - raster.bottom) / raster.step
        column = np.clip(np.rint(column), 0, raster.columns - 1).astype(np.intp)
        row = np.clip(np.rint(row), 0, raster.rows - 1).astype(np.intp)
        mean: Floats = np.minimum(self._ink[row, column], 2.0).mean(axis=0)
        return mean

    @staticmethod
    def _through(origin: Point, at_x: Floats, at_y: Floats, box: Box) -> NDArray[np.bool_]:
        """Whether the leaders run through a box."""
        t = np.linspace(0.0, 1.0, 10)[:, None]
        x, y = origin[0] + t * (at_x - origin[0]), origin[1] + t * (at_y - origin[1])
        hit = (x > box[0] - 2) & (x < box[2] + 2) & (y > box[1] - 2) & (y < box[3] + 2)
        through: NDArray[np.bool_] = np.any(hit, axis=0)
        return through


def _cross(
    origin: Point, at_x: Floats, at_y: Floats, start: Point, end: Point
) -> NDArray[np.bool_]:
    """Whether the lines from origin to (at_x, at_y) cross the line from start to end."""
    (px, py), (qx, qy) = start, end
    dx, dy = at_x - origin[0], at_y - origin[1]
    side_p = dx * (py - origin[1]) - dy * (px - origin[0])
    side_q = dx * (qy - origin[1]) - dy * (qx - origin[0])
    ex, ey = qx - px, qy - py
    side_o = ex * (origin[1] - py) - ey * (origin[0] - px)
    side_at = ex * (at_y - py) - ey * (at_x - px)
    crossing: NDArray[np.bool_] = (side_p * side_q < 0) & (side_o * side_at < 0)
    return crossing

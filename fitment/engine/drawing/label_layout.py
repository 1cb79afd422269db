"""Where labels go: near what they belong to, off the ink, and never over each other."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fitment.engine.drawing.contour import Cover, Floats, Raster
from fitment.engine.drawing.scene import LINE_HEIGHT_EM, Point

#: Mean width of a character in em for the sans-serif faces in use, on the safe side.
CHARACTER_EM = 0.6
#: Free space around a label in mm.
PADDING_MM = 3.0
STEP_MM = 7.0
#: No leader runs farther than this across or up, unless there are many labels.
FARTHEST_MM = 130.0
MANY = 5
#: What covering a square millimetre of ink costs against a millimetre of leader.
INK_COST = 0.04
#: What running the leader over a millimetre of ink costs.
CROSSING_COST = 1.5
#: Candidates that are looked at together, and the cheapest of them that are looked at first.
AT_ONCE, A_FEW = 192, 32
#: A leader shorter than this is hard to see between label and arrow.
LEAST_LEADER_MM = 10.0

#: What crossing a dimension or another leader costs, against a millimetre of leader.
LINE_CROSSING_COST = 200.0
#: What covering a third of a piece of a dimension costs, likewise.
COVERING_COST = 25.0
#: What a leader that doubles back costs, against a millimetre of leader.
FOLDING_COST = 120.0

#: Shares along a leader at which it is looked whether boxes cover it, and what is under it.
NINE = np.linspace(0.0, 1.0, 9)[:, None, None]
TENTHS = np.linspace(0.1, 1.0, 10, dtype=np.float32)[:, None]

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

    def part(self, pick: slice | NDArray[np.intp]) -> _Spots:
        """Some of the candidates."""
        return _Spots(
            self.side[pick], self.x[pick], self.y[pick], self.x0[pick], self.width, self.height
        )

    def cover(self, x: Floats, y: Floats, pad: float) -> NDArray[np.bool_]:
        """Whether the boxes contain points."""
        across = (x > self.x0 - pad) & (x < self.x0 + self.width + pad)
        up = (y > self.y0 - pad) & (y < self.y0 + self.height + pad)
        covered: NDArray[np.bool_] = across & up
        return covered


@dataclass
class _Field:
    """The candidates of one request, those first that look best at first sight.

    ``near`` (way, candidate) is a part of what they cost, ``least`` rises: none costs less. Of
    those that were looked at, ``known``, the ``cost`` (way, known) is what they cost alone; the
    first ``sure`` of them come before any that was not looked at.
    """

    request: Request
    spots: _Spots
    near: Floats
    least: Floats
    looked: int
    known: NDArray[np.intp]
    cost: Floats
    sure: int = 0

    @property
    def alone(self) -> float:
        """What the label costs if it has the choice; 0 before it is looked up."""
        return float(self.cost[:, 0].min()) if self.sure else 0.0

    @property
    def is_known(self) -> bool:
        """Whether all candidates were looked at."""
        return self.looked >= len(self.least)

    def learn(self, cost: Floats) -> None:
        """Take in what the next candidates cost alone, (way, candidate)."""
        fresh = np.arange(self.looked, self.looked + cost.shape[1])
        self.looked += len(fresh)
        known = np.concatenate([self.known, fresh])
        cost = np.concatenate([self.cost, cost], axis=1)
        order = np.argsort(cost.min(axis=0), kind="stable")
        self.known, self.cost = known[order], cost[:, order]
        bound = np.inf if self.is_known else self.least[self.looked]
        self.sure = int(np.searchsorted(self.cost.min(axis=0), bound))


class Placer:
    """Places labels one after another over a raster of how dark the drawing is.

    ``ink`` is 0 for empty paper and grows with what a label should not cover.
    """

    def __init__(self, raster: Raster, ink: Cover, text_mm: float) -> None:
        self._raster = raster
        self._text_mm = text_mm
        self._ink = ink
        self._sums = np.zeros((raster.rows + 1, raster.columns + 1), dtype=np.float32)
        self._summed = False
        self._lines: list[tuple[Point, Point]] = []
        self._kept: Floats = np.empty((0, 2))

    def _sum_up(self) -> None:
        if not self._summed:
            self._sums[1:, 1:] = self._ink.cumsum(axis=1)
            for below, row in pairwise(self._sums):  # a cumsum across rows takes ten times as long
                row += below
            self._summed = True

    def size(self, lines: tuple[str, ...]) -> tuple[float, float]:
        """Width and height in mm that lines of text take at the most."""
        longest = max(len(line) for line in lines)
        tall = (len(lines) - 1) * LINE_HEIGHT_EM + 1.0
        return longest * CHARACTER_EM * self._text_mm, tall * self._text_mm

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
        """A line that no label shall cover and no leader cross; leaders may begin at its ends."""
        self._lines += pairwise(points)
        line = np.asarray(points, dtype=float)
        steps = np.linspace(0.0, 1.0, 4)[:, None, None]
        self._kept = np.concatenate(
            [self._kept, (line[:-1] + steps * (line[1:] - line[:-1])).reshape(-1, 2)]
        )
        self.darken(points, 3.0)

    def arrange(self, requests: list[Request]) -> list[Placed]:
        """Places for all the requested labels, in the order of the requests.

        What is placed first has the choice, so a few orders are tried, each label then chooses
        again among the others, and what suits all together best is taken.
        """
        self._sum_up()
        indices = range(len(requests))
        origins = [request.ways[0][0] for request in requests]
        orders = [
            list(indices),
            sorted(indices, key=lambda i: -origins[i][1]),
        ]
        reach = FARTHEST_MM if len(requests) <= MANY else 2 * FARTHEST_MM
        fields = [self._field(request, reach) for request in requests]
        least, best = np.inf, list[Placed]()
        answered: dict[object, tuple[Placed, float, Box]] = {}
        for order in orders if len(requests) > 1 else orders[:1]:
            done: dict[int, tuple[Placed, float, Box]] = {}
            for i in order * 2:
                done.pop(i, None)
                beside = i, frozenset((j, placed) for j, (placed, _, _) in done.items())
                if beside not in answered:
                    boxes = [box for _, _, box in done.values()]
                    leaders = [
                        (requests[j].ways[placed.way][0], placed.at)
                        for j, (placed, _, _) in done.items()
                    ]
                    answered[beside] = self._best(fields[i], boxes, leaders)
                done[i] = answered[beside]
            total = sum(cost for _, cost, _ in done.values())
            if total < least:
                least = total
                best = [done[i][0] for i in indices]
            if total <= sum(field.alone for field in fields) + 1e-9:
                break  # no label gave way: no other order is better
        return best

    def _field(self, request: Request, reach: float) -> _Field:
        """The candidates of a request in the order in which they are looked at."""
        spots = self._spots(request, reach)
        below = INK_COST * self._ink_in(
            spots.x0, spots.y0, spots.x0 + spots.width, spots.y0 + spots.height
        )
        near = np.stack([_leader_cost(*way, spots) + below for way in request.ways])
        least = near.min(axis=0)
        order = np.argsort(least, kind="stable")
        none = np.empty((len(near), 0))
        return _Field(
            request, spots.part(order), near[:, order], least[order], 0, np.empty(0, np.intp), none
        )

    def _best(
        self, field: _Field, boxes: list[Box], leaders: list[tuple[Point, Point]]
    ) -> tuple[Placed, float, Box]:
        """The cheapest spot beside what is placed already, its cost and its box."""
        if not len(field.spots.x):
            x, y = origin = field.request.ways[0][0]
            return Placed(0, origin, "start"), 1e6, (x, y, x, y)
        least, found, first, many = np.inf, (0, 0), 0, A_FEW
        # What other labels add is never negative: beyond the least nothing is better.
        while True:
            if first >= field.sure and not field.is_known:
                pick = slice(field.looked, field.looked + AT_ONCE)
                field.learn(field.near[:, pick] + self._own_cost(field, pick))
                continue
            part = slice(first, min(first + many, field.sure))
            if part.stop <= first or field.cost[:, first].min() >= least:
                break
            some = field.spots.part(field.known[part])
            costs = field.cost[:, part] + _beside(field.request, some, boxes, leaders)
            way, best = divmod(int(np.argmin(costs)), costs.shape[1])
            if costs[way, best] < least:
                least, found = float(costs[way, best]), (way, int(field.known[first + best]))
            first, many = part.stop, 2 * many
        way, best = found
        spots = field.spots
        x_left, middle = float(spots.x0[best]), float(spots.y[best])
        half = spots.height / 2
        box = (x_left, middle - half, x_left + spots.width, middle + half)
        at = (float(spots.x[best] - spots.side[best] * 3.0), middle)
        return Placed(way, at, "start" if spots.side[best] > 0 else "end"), least, box

    def _spots(self, request: Request, reach: float) -> _Spots:
        """Everywhere that the label could go if it were alone."""
        width, height = self.size(request.lines)
        left, bottom, right, top = self._raster.box
        origins = np.array([origin for origin, _ in request.ways])
        low, high = origins.min(axis=0) - reach, origins.max(axis=0) + reach
        x = np.arange(max(left + PADDING_MM, low[0]), min(right - PADDING_MM, high[0]), STEP_MM)
        y = np.arange(
            max(bottom + height / 2 + PADDING_MM, low[1]), min(top - height / 2, high[1]), STEP_MM
        )
        side, at_y, at_x = (
            a.reshape(-1) for a in np.meshgrid(np.array([1.0, -1.0]), y, x, indexing="ij")
        )
        x0 = np.where(side > 0, at_x, at_x - width)
        fits = (x0 >= left + PADDING_MM) & (x0 + width <= right - PADDING_MM)
        # No leader runs back under its own text.
        behind = [side * (at_x - origin[0]) >= -2.0 for origin, _ in request.ways]
        fits &= np.logical_or.reduce(behind)
        return _Spots(side[fits], at_x[fits], at_y[fits], x0[fits], width, height)

    def _own_cost(self, field: _Field, pick: slice) -> Floats:
        """What else labels cover and leaders cross, by way, other labels left aside."""
        spots = field.spots.part(pick)
        covered = spots.cover(self._kept[:, :1], self._kept[:, 1:], 1.0)
        below = COVERING_COST * np.count_nonzero(covered, axis=0)
        origins = [origin for origin, _ in field.request.ways]
        crossed = _crossings(origins, spots.x, spots.y, self._lines)
        along = [
            np.hypot(spots.x - x, spots.y - y) * self._ink_along((x, y), spots.x, spots.y)
            for x, y in origins
        ]
        cost: Floats = below + CROSSING_COST * np.stack(along) + LINE_CROSSING_COST * crossed
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
        total = sums[r1, c1] - sums[r0, c1] - sums[r1, c0] + sums[r0, c0]
        ink: Floats = total.astype(np.float64) * raster.step**2
        return ink

    def _ink_along(self, origin: Point, at_x: Floats, at_y: Floats) -> Floats:
        """Mean ink under the straight leaders."""
        raster = self._raster
        column = (origin[0] + TENTHS * (at_x - origin[0]) - raster.left) / raster.step
        row = (origin[1] + TENTHS * (at_y - origin[1]) - raster.bottom) / raster.step
        column = np.clip(np.rint(column), 0, raster.columns - 1).astype(np.intp)
        row = np.clip(np.rint(row), 0, raster.rows - 1).astype(np.intp)
        mean: Floats = np.minimum(self._ink[row, column], 2.0).mean(axis=0)
        return mean


def _leader_cost(origin: Point, direction: Point, spots: _Spots) -> Floats:
    """What the leaders from an origin cost on empty paper."""
    dx, dy = spots.x - origin[0], spots.y - origin[1]
    length = np.hypot(dx, dy)
    cost: Floats = 1.4 * length + 40.0 * (length < LEAST_LEADER_MM)
    # A leader bends by up to a right angle without looking folded.
    onwards = (dx * direction[0] + dy * direction[1]) / np.maximum(length, 1e-9)
    cost += FOLDING_COST * np.clip(0.2 - onwards, 0.0, 1.2)
    cost += 300.0 * (spots.side * dx < -2.0)
    return cost


def _beside(
    request: Request, spots: _Spots, boxes: list[Box], leaders: list[tuple[Point, Point]]
) -> Floats:
    """What other labels and their leaders add to the cost of spots, (way, spot)."""
    extra: Floats = np.zeros(len(spots.x))
    if boxes:
        x0, y0, x1, y1 = np.array(boxes).T[:, :, None]
        low, pad = spots.y0, PADDING_MM
        over = (spots.x0 < x1 + pad) & (spots.x0 > x0 - pad - spots.width)
        over &= (low < y1 + pad) & (low > y0 - pad - spots.height)
        extra += 1e5 * np.count_nonzero(over, axis=0)
    if leaders:
        line = np.array(leaders)
        points = (line[:, 0] + NINE * (line[:, 1] - line[:, 0])).reshape(-1, 2)
        covered = spots.cover(points[:, :1], points[:, 1:], 0.0)
        extra += 300.0 * np.count_nonzero(covered, axis=0)
    # A leader that runs through a box crosses one of its diagonals.
    diagonals = [
        line for x0, y0, x1, y1 in boxes for line in (((x0, y0), (x1, y1)), ((x0, y1), (x1, y0)))
    ]
    origins = [origin for origin, _ in request.ways]
    cost: Floats = extra + LINE_CROSSING_COST * _crossings(
        origins, spots.x, spots.y, leaders + diagonals
    )
    return cost


def _crossings(
    origins: list[Point], at_x: Floats, at_y: Floats, lines: list[tuple[Point, Point]]
) -> NDArray[np.intp]:
    """How many of the lines the leaders from origins to (at_x, at_y) cross, (origin, leader)."""
    if not lines:
        return np.zeros((len(origins), len(at_x)), dtype=np.intp)
    (px, py), (qx, qy) = np.array(lines).transpose(1, 2, 0)[:, :, :, None]
    ox, oy = np.array(origins).T[:, :, None, None]
    dx, dy = at_x - ox, at_y - oy
    ex, ey = qx - px, qy - py
    apart = (dx * (py - oy) - dy * (px - ox)) * (dx * (qy - oy) - dy * (qx - ox)) < 0
    apart &= (ex * (oy - py) - ey * (ox - px)) * (ex * (at_y - py) - ey * (at_x - px)) < 0
    count: NDArray[np.intp] = np.count_nonzero(apart, axis=1)
    return count

"""Where the figures of a map go: on their lines where there is room, else at the end of a leader.

Drawing space, mm; every line is an array (n, 2).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitment.engine.drawing.axes import CHARACTER_MM, TEXT_MM
from fitment.engine.drawing.contour import Floats, Raster, as_ring
from fitment.engine.drawing.label_layout import Box, Placer, Request
from fitment.engine.drawing.lettering import Letter, text_lines
from fitment.engine.drawing.scene import Part, Point, Stroke, Text, TextLine, Words

#: Free space around a figure on its line.
AIR_MM = 3.0
#: Lines are looked at in steps of this.
STEP_MM = 5.0
RASTER_MM = 3.0
#: Spots looked at on one line, about.
MOST_SPOTS = 40
#: How dark plain areas, lines and what is taken already are to the placer.
AREA, LINE, TAKEN = 0.4, 2.0, 8.0
#: Free room around the dot that marks a moment.
DOT_AIR_MM = 9.0
DIRECTIONS: tuple[Point, ...] = tuple((x, y) for x in (-0.8, 0.8) for y in (-0.6, 0.6))
SIDEWAYS: tuple[Point, ...] = ((-1.0, 0.0), (1.0, 0.0))

Lines = tuple[TextLine, ...]
Ways = tuple[tuple[Point, Point], ...]


@dataclass(frozen=True)
class Level:
    """A line of equal clearance, perhaps in pieces, and the words on it.

    ``named`` words are written in any case, others only where there is room.
    """

    value: float
    style: str
    words: Text
    named: bool
    pieces: tuple[Floats, ...]


def dense(line: Floats) -> Floats:
    """Points (n, 2) of a line at even steps."""
    run = np.hypot(*np.diff(line, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(run)])
    where = np.linspace(0.0, at[-1], max(2, int(at[-1] / STEP_MM) + 1))
    return np.stack([np.interp(where, at, line[:, axis]) for axis in (0, 1)], axis=-1)


class MapLabels:
    """Finds room for the words of one map, the most important first."""

    def __init__(
        self,
        view: Box,
        plot: Box,
        levels: Sequence[Level],
        letter: Letter,
        *,
        lines: Sequence[Floats] = (),
        areas: Sequence[Floats] = (),
        darkness: float = LINE,
    ) -> None:
        """``lines`` are obstacles without words, ``areas`` rings that words rather stay out of.

        ``darkness`` is how much words of a moment keep off all lines.
        """
        self._plot, self._levels, self._letter = plot, levels, letter
        self._raster = Raster.over(view, RASTER_MM)
        ink = np.zeros((self._raster.rows, self._raster.columns), dtype=np.float32)
        for ring in areas:
            ink[self._raster.inside((as_ring(ring),))] += AREA
        x = self._raster.left + np.arange(self._raster.columns) * RASTER_MM
        y = self._raster.bottom + np.arange(self._raster.rows) * RASTER_MM
        ink[((y < plot[1]) | (y > plot[3]))[:, None] | (x < plot[0]) | (x > plot[2])] = TAKEN
        self._placer = Placer(self._raster, ink, TEXT_MM)
        for line in (*lines, *(piece for level in levels for piece in level.pieces)):
            self._placer.darken(as_ring(line), darkness)
        self._points = [
            np.concatenate([dense(piece) for piece in level.pieces]) for level in levels
        ]
        self._boxes: list[Box] = []
        self._extra = [dense(line) for line in lines]

    def moment(self, spot: Point, lines: Lines) -> list[Part]:
        """Words of the tightest moment at the end of a leader from it."""
        x, y = spot
        self._take((x - DOT_AIR_MM, y - DOT_AIR_MM, x + DOT_AIR_MM, y + DOT_AIR_MM))
        return self._led([(tuple((spot, way) for way in DIRECTIONS), lines)], "dim")

    def figures(self) -> list[Part]:
        """The words of all levels, named ones first."""
        parts: list[Part] = []
        led: list[tuple[Ways, Lines]] = []
        bare: list[int] = []
        order = sorted(range(len(self._levels)), key=lambda i: not self._levels[i].named)
        for index in order:
            level, points = self._levels[index], self._points[index]
            points = points[:: max(1, len(points) // MOST_SPOTS)]
            half = (len(self._letter(level.words)) * CHARACTER_MM * 0.45, TEXT_MM * 0.5)
            air = self._air(index, points, half)
            best = int(np.argmax(air))
            if air[best] >= AIR_MM:
                x, y = (float(part) for part in points[best])
                parts.append(Words((x, y), ((level.words, "label"),), "middle"))
                self._take((x - half[0], y - half[1], x + half[0], y + half[1]))
            elif level.named:
                led.append(self._aside(index))
            else:
                bare.append(index)
        written = sum(not level.named for level in self._levels) - len(bare)
        if bare and written < 2:
            # Where lines lie too close for figures, the first and the last say what they span.
            bare.sort(key=lambda index: self._levels[index].value)
            ends = dict.fromkeys((bare[0], bare[-1]) if written == 0 else (bare[0],))
            led += [self._aside(index) for index in ends]
        return parts + self._led(led, "ink-thin")

    def _aside(self, index: int) -> tuple[Ways, Lines]:
        """The words of a level with the places on it from which a leader may go."""
        level, points = self._levels[index], self._points[index]
        picked = points[np.linspace(0, len(points) - 1, 5).astype(int)[1:-1]]
        ways = tuple(((x, y), way) for x, y in picked.tolist() for way in SIDEWAYS)
        return ways, ((level.words, "label"),)

    def _led(self, wanted: list[tuple[Ways, Lines]], style: str) -> list[Part]:
        """Words at the ends of leaders, which start at the best of their ways."""
        if not wanted:
            return []
        requests = [
            Request(ways, tuple(text for text, _ in text_lines(lines, self._letter)))
            for ways, lines in wanted
        ]
        parts: list[Part] = []
        placed = self._placer.arrange(requests)
        for (ways, lines), request, place in zip(wanted, requests, placed, strict=True):
            start = ways[place.way][0]
            parts.append(Stroke((start, place.at), style))
            parts.append(Words(place.at, lines, place.anchor))
            width, height = self._placer.size(request.lines)
            x, y = place.at
            left = x if place.anchor == "start" else x - width
            self._take((left, y - height / 2, left + width, y + height / 2))
            self._extra.append(dense(np.array([start, place.at])))
        return parts

    def _take(self, box: Box) -> None:
        self._boxes.append(box)
        left, bottom, right, top = box
        for y in np.arange(bottom, top + RASTER_MM, RASTER_MM):
            self._placer.darken(((left, float(y)), (right, float(y))), TAKEN)

    def _air(self, index: int, points: Floats, half: tuple[float, float]) -> Floats:
        """Free room (n,) around boxes of half size ``half`` on points of a level; may be negative.

        Measured to all other lines, what is written already, and the plot's edge.
        """
        others = list(self._extra)
        others += [one for number, one in enumerate(self._points) if number != index]
        obstacles = np.concatenate(others)
        across = np.abs(points[:, :1] - obstacles[:, 0]) - half[0]
        up = np.abs(points[:, 1:] - obstacles[:, 1]) - half[1]
        air: Floats = np.maximum(across, up).min(axis=1)
        for left, bottom, right, top in self._boxes:
            beside = np.abs(points[:, 0] - (left + right) / 2) - (right - left) / 2 - half[0]
            above = np.abs(points[:, 1] - (bottom + top) / 2) - (top - bottom) / 2 - half[1]
            air = np.minimum(air, np.maximum(beside, above))
        left, bottom, right, top = self._plot
        for edge in (
            points[:, 0] - half[0] - left,
            right - points[:, 0] - half[0],
            points[:, 1] - half[1] - bottom,
            top - points[:, 1] - half[1],
        ):
            air = np.minimum(air, edge)
        return air

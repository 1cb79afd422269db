"""Axes of a plot as a workshop would rule them: plain ticks, units in words, signs shown.

A plot is a scene like any other, in drawing millimetres; ``Axes`` carries values there. Room
is left for text of the size that a phone shows (``Scene.narrow_text_mm``).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from common.message import Message, message
from fitment.engine.drawing.contour import Floats
from fitment.engine.drawing.label_layout import CHARACTER_EM
from fitment.engine.drawing.scene import (
    LINE_HEIGHT_EM,
    Hatch,
    Part,
    Point,
    Scene,
    Stroke,
    Text,
    TextLine,
    Words,
)

TEXT_MM = Scene.narrow_text_mm
CHARACTER_MM = CHARACTER_EM * TEXT_MM
LINE_MM = LINE_HEIGHT_EM * TEXT_MM
#: Widths of steps between ticks, times a power of ten.
STEPS = (1.0, 2.0, 5.0, 10.0)
TICK_MM = 5.0
#: Free strip at each end of an axis, as a part of what it shows.
AROUND = 0.06
#: Hatches of a wall at a stop: how far apart and how long.
WALL_SPACING_MM, WALL_MM = 11.0, 8.0
#: From the end of a line to its words.
LEADER_MM = 12.0


@dataclass(frozen=True)
class Scale:
    """One axis: the values at its ends, where they lie in drawing space, and its ticks."""

    low: float
    high: float
    start: float
    end: float
    ticks: tuple[float, ...]
    decimals: int

    def __call__(self, value: float) -> float:
        """Where a value lies, mm of drawing."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def each(self, values: Floats) -> Floats:
        """Where values (n,) lie."""
        share: Floats = (values - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


@dataclass(frozen=True)
class Axes:
    """Two scales and the box that they span."""

    x: Scale
    y: Scale

    def point(self, x: float, y: float) -> Point:
        """Where a pair of values lies."""
        return (self.x(x), self.y(y))

    @property
    def box(self) -> tuple[float, float, float, float]:
        """(left, bottom, right, top) in drawing space."""
        return (self.x.start, self.y.start, self.x.end, self.y.end)


def scale_over(low: float, high: float, start: float, end: float, most: int) -> Scale:
    """A scale from ``low`` to ``high`` with no more than ``most`` ticks at round values."""
    step = tick_step(high - low, most)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    ticks = tuple(step * k for k in range(first, last + 1))
    return Scale(low, high, start, end, ticks, decimals_of(step))


def scale_around(
    low: float, high: float, start: float, end: float, most: int, above: float = AROUND
) -> Scale:
    """The same with free strips at the ends, so that nothing lies on the frame.

    ``above`` is the strip beyond ``high`` as a part of the span.
    """
    span = max(high - low, 1e-3)
    return scale_over(low - AROUND * span, high + above * span, start, end, most)


def tick_step(span: float, most: int) -> float:
    """The smallest round step of which ``span`` holds fewer than ``most``."""
    least = span / max(most - 1, 1)
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in STEPS if step * power >= least * (1 - 1e-9))


def decimals_of(step: float) -> int:
    """Decimals that a round step needs."""
    return max(0, -math.floor(math.log10(step) + 1e-9))


def tick(value: float, decimals: int) -> Message:
    """A value on an axis, with its sign; zero is plain."""
    return message("axis.tick", value=float(value), places=decimals)


def unsigned_tick(value: float, decimals: int) -> Message:
    """A value on an axis of sizes, which have no sign."""
    return message("axis.size", value=float(value), places=decimals)


def axes_parts(
    axes: Axes,
    x_title: Text,
    y_title: Text,
    above: float = 0.0,
    x_tick: Callable[[float, int], Message] = tick,
) -> list[Part]:
    """Frame lines, ticks with a faint grid, and titles.

    The title of y stands above the axis, with ``above`` mm between for other words.
    """
    left, bottom, right, top = axes.box
    parts: list[Part] = []
    for value in axes.x.ticks:
        at = axes.x(value)
        parts.append(Stroke(((at, bottom), (at, top)), "grid-line"))
        parts.append(Stroke(((at, bottom), (at, bottom - TICK_MM)), "ink-thin"))
        words = ((x_tick(value, axes.x.decimals), "label"),)
        parts.append(Words((at, bottom - TICK_MM - 0.6 * TEXT_MM), words, "middle"))
    for value in axes.y.ticks:
        at = axes.y(value)
        parts.append(Stroke(((left, at), (right, at)), "grid-line"))
        parts.append(Stroke(((left, at), (left - TICK_MM, at)), "ink-thin"))
        words = ((tick(value, axes.y.decimals), "label"),)
        parts.append(Words((left - TICK_MM - 3.0, at), words, "end"))
    parts.append(Stroke(((left, top), (left, bottom), (right, bottom)), "ink-thin"))
    below = bottom - TICK_MM - 1.2 * TEXT_MM - 0.6 * LINE_MM
    parts.append(Words(((left + right) / 2, below), ((x_title, "note"),), "middle"))
    parts.append(
        Words((left - TICK_MM, top + above + 0.75 * LINE_MM), ((y_title, "note"),), "start")
    )
    return parts


def margins(y_ticks: int) -> tuple[float, float]:
    """Room left of a plot for y ticks of so many characters, and below it for x ticks and title."""
    return y_ticks * CHARACTER_MM + TICK_MM + 6.0, TICK_MM + 1.2 * TEXT_MM + 1.2 * LINE_MM + 2.0


def wall(at: float, bottom: float, top: float, outward: float) -> list[Part]:
    """A stop: an upright line, hatched on the side that nothing reaches (+1 right, -1 left)."""
    count = int((top - bottom) / WALL_SPACING_MM)
    hatches = tuple(
        (
            (at, bottom + k * WALL_SPACING_MM),
            (at + outward * WALL_MM, bottom + k * WALL_SPACING_MM + WALL_MM),
        )
        for k in range(count)
    )
    return [
        Stroke(((at, bottom), (at, top)), "swept-edge"),
        Hatch(hatches, "hatch-body", about="stop"),
    ]


def floor(at: float, left: float, right: float) -> list[Part]:
    """A level that nothing goes below, hatched underneath as solid ground is."""
    count = int((right - left) / WALL_SPACING_MM)
    hatches = tuple(
        (
            (left + k * WALL_SPACING_MM, at - WALL_MM),
            (left + k * WALL_SPACING_MM + WALL_MM, at),
        )
        for k in range(count)
    )
    return [
        Stroke(((left, at), (right, at)), "swept-edge"),
        Hatch(hatches, "hatch-body", about="touches"),
    ]


def end_margin(texts: Sequence[str]) -> float:
    """Room right of a plot for texts at the ends of its lines."""
    return max(len(text) for text in texts) * CHARACTER_MM + LEADER_MM + 4.0


def end_label(end: Point, middle: float, lines: tuple[TextLine, ...], frame: float) -> list[Part]:
    """Words beside the plot, whose right edge is at ``frame``, for a line that ends at ``end``.

    They stand at height ``middle``; a thin line leads there where they had to move.
    """
    x, y = end
    parts: list[Part] = []
    if abs(middle - y) > TEXT_MM / 4 or frame - x > LEADER_MM:
        parts.append(Stroke(((x + 1.0, y), (frame + LEADER_MM - 2.0, middle)), "ink-thin"))
    parts.append(Words((frame + LEADER_MM, middle), lines))
    return parts


def spread(wanted: Sequence[float], height: float, low: float, high: float) -> list[float]:
    """Middles of labels ``height`` tall, near where wanted, in their order, none on another."""
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    placed: list[list[float]] = []  # runs of labels that touch: [sum of first middles, count]
    for rank, index in enumerate(order):
        placed.append([wanted[index] - rank * height, 1.0])
        while len(placed) > 1 and placed[-2][0] / placed[-2][1] > placed[-1][0] / placed[-1][1]:
            total, count = placed.pop()
            placed[-1][0] += total
            placed[-1][1] += count
    firsts = [total / count for total, count in placed for _ in range(int(count))]
    most = high - (len(wanted) - 0.5) * height
    result = [0.0] * len(wanted)
    for rank, index in enumerate(order):
        first = max(low + height / 2, min(firsts[rank], most))
        result[index] = first + rank * height
    return result

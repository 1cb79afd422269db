"""A quantity over time or mileage as a small drawing, with the line types of the other drawings.

Left is a thick continuous line, right a dashed one; a bar on each reading is twice its standard
uncertainty; readings are joined where the car was not adjusted between them. A part that was
changed is a chain line with its number. Only classes of ``static/drawing.css``; text is text.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

from django.utils import timezone
from django.utils.dateformat import format as date_format
from django.utils.translation import gettext as _

from alignment.history.data import KM_STEP, MILEAGE, History, Point
from shop.languages import dates, formatting
from shop.languages.figures import format_number

WIDTH, HEIGHT = 480.0, 290.0
LEFT, RIGHT, TOP, BOTTOM = 66.0, 14.0, 44.0, 42.0
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
MOST_TICKS_Y, MOST_TICKS_X = 6, 4
MONTHS = (1, 2, 3, 6, 12, 24, 60)
LINE_OF_SIDE = {"": "ink-thick", "left": "ink-thick", "right": "ink-thick ink-dash"}
MARK = 3.6


@dataclass(frozen=True)
class Scale:
    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def plot_svg(history: History, axis: str) -> str:
    """The drawing of all readings that have a position on the axis; empty without any."""
    position = _mileage if axis == MILEAGE else _day
    series = [
        (side, [point for point in points if axis != MILEAGE or point.visit.km is not None])
        for side, points in history.series
    ]
    points = [point for _, some in series for point in some]
    if not points:
        return ""
    parts = [
        (number, at)
        for number, part in enumerate(history.parts, 1)
        if (at := _part_position(part, axis)) is not None
    ]
    x = _scale_x([position(point) for point in points] + [at for _, at in parts], axis)
    y = _scale_y(points)
    drawn = [_grid(x, y, axis, history.track.unit, history.track.places)]
    drawn += [_part(number, x(at)) for number, at in parts]
    drawn += [_series(side, some, x, y, position) for side, some in series]
    drawn.append(_legend([side for side, some in series if some and side]))
    text = _("{quantity} over mileage") if axis == MILEAGE else _("{quantity} over time")
    title = text.format(quantity=history.track.title)
    return (
        f'<svg class="scene" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" role="img" '
        f'aria-labelledby="plot-title plot-desc"><title id="plot-title">{escape(title)}</title>'
        f'<desc id="plot-desc">{escape(_described(series, axis))}</desc>{"".join(drawn)}</svg>'
    )


Position = Callable[[Point], float]


def _day(point: Point) -> float:
    return point.visit.at.timestamp() / 86400


def _mileage(point: Point) -> float:
    return float(point.visit.km or 0)


def _part_position(part: object, axis: str) -> float | None:
    if axis == MILEAGE:
        km = part.order.mileage_km  # type: ignore[attr-defined]
        return None if km is None else float(km)
    return part.at.timestamp() / 86400  # type: ignore[attr-defined, no-any-return]


def _scale_x(values: Sequence[float], axis: str) -> Scale:
    low, high = min(values), max(values)
    room = max((high - low) * 0.05, KM_STEP / 100 if axis == MILEAGE else 3.0)
    return Scale(low - room, high + room, LEFT, WIDTH - RIGHT)


def _scale_y(points: Sequence[Point]) -> Scale:
    low = min(point.value - 2 * point.sigma for point in points)
    high = max(point.value + 2 * point.sigma for point in points)
    room = max((high - low) * 0.08, 1e-3)
    return Scale(low - room, high + room, HEIGHT - BOTTOM, TOP)


def _step(span: float, most: int) -> float:
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * step for step in STEPS if power * step >= rough * (1 - 1e-9))


def _grid(x: Scale, y: Scale, axis: str, unit: str, places: int) -> str:
    drawn = [
        f'<path class="ink-thin" d="M{LEFT:g} {TOP:g}V{HEIGHT - BOTTOM:g}H{WIDTH - RIGHT:g}"/>'
    ]
    step = _step(y.high - y.low, MOST_TICKS_Y)
    for k in range(math.ceil(y.low / step), math.floor(y.high / step) + 1):
        at, shown = y(k * step), format_number(k * step, places, signed=unit == "°")
        drawn.append(f'<path class="grid-line" d="M{LEFT:g} {at:.1f}H{WIDTH - RIGHT:g}"/>')
        drawn.append(_words(LEFT - 6, at, shown, "end", middle=True))
    drawn.append(_words(LEFT - 6, TOP - 16, unit, "end"))
    for value, words in _ticks_x(x, axis):
        at = x(value)
        drawn.append(f'<path class="ink-thin" d="M{at:.1f} {HEIGHT - BOTTOM:g}v5"/>')
        drawn.append(_words(at, HEIGHT - BOTTOM + 22, words, "middle"))
    return "".join(drawn)


def _ticks_x(x: Scale, axis: str) -> list[tuple[float, str]]:
    if axis != MILEAGE:
        return _months(x)
    step = _step(x.high - x.low, MOST_TICKS_X)
    values = [k * step for k in range(math.ceil(x.low / step), math.floor(x.high / step) + 1)]
    return [(value, f"{formatting.number(value, 0)} km") for value in values]


def _months(x: Scale) -> list[tuple[float, str]]:
    """First days of months, as many as fit."""
    zone = timezone.get_current_timezone()
    first, last = (dt.datetime.fromtimestamp(day * 86400, zone) for day in (x.low, x.high))
    span = (last.year - first.year) * 12 + last.month - first.month
    step = next((months for months in MONTHS if span / months <= MOST_TICKS_X), MONTHS[-1])
    found = []
    month = first.year * 12 + first.month - 1
    for count in range(month, month + span + 2):
        if count % step:
            continue
        at = dt.datetime(count // 12, count % 12 + 1, 1, tzinfo=zone)
        day = at.timestamp() / 86400
        if x.low <= day <= x.high:
            found.append((day, date_format(at, "M Y")))
    if not found:
        middle = (x.low + x.high) / 2
        at = dt.datetime.fromtimestamp(middle * 86400, zone)
        found.append((middle, dates.short_day(at)))
    return found


def _series(side: str, points: Sequence[Point], x: Scale, y: Scale, position: Position) -> str:
    drawn = []
    for run in dict.fromkeys(point.run for point in points):
        line = [(x(position(p)), y(p.value)) for p in points if p.run == run]
        if len(line) > 1:
            path = "L".join(f"{a:.1f} {b:.1f}" for a, b in line)
            drawn.append(f'<path class="{LINE_OF_SIDE[side]}" d="M{path}"/>')
    for point in points:
        a, b = x(position(point)), y(point.value)
        low, high = y(point.value - 2 * point.sigma), y(point.value + 2 * point.sigma)
        shift = {"left": -1.5, "right": 1.5}.get(side, 0.0)
        drawn.append(f'<path class="ink-thin" d="M{a + shift:.1f} {low:.1f}V{high:.1f}"/>')
        drawn.append(_mark(side, a, b))
    return "".join(drawn)


def _mark(side: str, a: float, b: float) -> str:
    if side == "right":
        return (
            f'<path class="scale-paper" d="M{a - MARK:.1f} {b - MARK:.1f}h{2 * MARK}v{2 * MARK}'
            f'h{-2 * MARK}z"/><path class="ink-thin" d="M{a - MARK:.1f} {b - MARK:.1f}'
            f'h{2 * MARK}v{2 * MARK}h{-2 * MARK}z"/>'
        )
    return (
        f'<path class="scale-ink" d="M{a - MARK:.1f} {b:.1f}a{MARK} {MARK} 0 1 0 {2 * MARK} 0'
        f'a{MARK} {MARK} 0 1 0 {-2 * MARK} 0z"/>'
    )


def _part(number: int, at: float) -> str:
    line = f'<path class="centre-line" d="M{at:.1f} {TOP:g}V{HEIGHT - BOTTOM:g}"/>'
    return line + _words(at, TOP - 4, str(number), "middle")


def _legend(sides: Sequence[str]) -> str:
    drawn = []
    for index, side in enumerate(sides):
        start = LEFT + 110 * index
        drawn.append(f'<path class="{LINE_OF_SIDE[side]}" d="M{start:g} 12h34"/>')
        drawn.append(_mark(side, start + 17, 12))
        drawn.append(_words(start + 42, 12, _(side), "start", middle=True))
    return "".join(drawn)


def _words(a: float, b: float, text: str, anchor: str, *, middle: bool = False) -> str:
    lift = ' dominant-baseline="central"' if middle else ""
    return (
        f'<text class="words" x="{a:.1f}" y="{b:.1f}" text-anchor="{anchor}"{lift}>'
        f"{escape(text)}</text>"
    )


def _described(series: Sequence[tuple[str, Sequence[Point]]], axis: str) -> str:
    said = []
    for side, points in series:
        if not points:
            continue
        values = ", ".join(format_number(point.value, 2) for point in points)
        said.append(f"{_(side) if side else _('readings')}: {values}")
    text = (
        _("Readings in the order of mileage. {values}.")
        if axis == MILEAGE
        else _("Readings in the order of time. {values}.")
    )
    return text.format(values="; ".join(said))

"""A window as a strip: clearance of the tightest spots over one dimension, and what clears.

Each spot's curve has its uncertainty as a thin band; where it touches it is drawn as an overlap is.
The intervals that clear are dimensions above, in ink: of the dimension itself, and for an offset
of the spacer that would do. The scene is not lettered yet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message, message
from fitment.engine.drawing.axes import (
    CHARACTER_MM,
    LINE_MM,
    TEXT_MM,
    Axes,
    axes_parts,
    decimals_of,
    end_label,
    end_margin,
    floor,
    margins,
    scale_around,
    scale_over,
    spread,
    tick,
    tick_step,
    unsigned_tick,
)
from fitment.engine.drawing.contour import as_ring
from fitment.engine.drawing.curve_drawing import MILLIMETRES, WIDTH_MM, Unit
from fitment.engine.drawing.lettering import LABEL_CHARACTERS, Letter
from fitment.engine.drawing.scene import (
    Fill,
    Part,
    Point,
    Scene,
    Stroke,
    Text,
    Words,
    arrow_head,
)
from fitment.engine.windows.data import SPACER, Interval, Spot, Window

TALL_MM = 190.0
#: Curves in one strip; more cannot be told apart.
MOST_CURVES = 3
#: A clearance axis shows at least this much.
LEAST_SPAN_MM = 10.0
#: An interval shorter than this in the drawing has its arrows outside.
SHORT_MM = 26.0
TAIL_MM = 14.0
#: Height of the row of a dimension above the plot: its words and the line under them.
ROW_MM = 2.1 * LINE_MM


@dataclass(frozen=True)
class _Curve:
    """One spot's clearance and its uncertainty, in the unit of the axis, where they are known."""

    name: Text
    at: Array
    value: Array
    sigma: Array


def window_scene(
    window: Window,
    *,
    title: Text,
    letter: Letter,
    sides: Sequence[Text] = (),
    unit: Unit = MILLIMETRES,
) -> Scene:
    """The strip of a window; ``sides`` name the corners where they were measured apart.

    ``unit`` is that of the clearance; the sizes of wheels and tyres are in millimetres everywhere.
    """
    curves = [_curve(window, spot, sides, unit) for spot in window.limiting(MOST_CURVES)]
    axes = _axes(window, curves, letter)
    rows = _rows(window)
    above = ROW_MM * len(rows) + 0.4 * LINE_MM
    titles = (
        message(f"window.over-{window.quantity}"),
        message("window.clearance", unit=message(f"unit.{unit.name}")),
    )
    parts: list[Part] = []
    for curve in curves:
        parts += _band(curve, axes)
    parts += axes_parts(axes, *titles, above, unsigned_tick)
    if axes.y.low < 0.0 < axes.y.high:
        parts += floor(axes.y(0.0), axes.x.start, axes.x.end)
    parts += _now(window, axes, rows)
    for curve in curves:
        parts += _line(curve, axes)
    for number, (interval, words) in enumerate(rows):
        height = axes.y.end + LINE_MM + ROW_MM * number
        parts += _interval(interval, words, axes, height, letter)
    parts += _ends(curves, axes, letter, unit)
    return Scene(
        title=title,
        description=_description(window, curves, unit),
        viewport=(0.0, 0.0, WIDTH_MM, axes.y.end + above + 1.6 * LINE_MM),
        parts=tuple(parts),
        legend=_legend(window),
    )


def _curve(window: Window, spot: Spot, sides: Sequence[Text], unit: Unit) -> _Curve:
    known = [
        (asked.at_mm, answer.clearance_mm * unit.per_mm, answer.sigma_mm * unit.per_mm)
        for asked in window.asked
        if (answer := asked.spots.get(spot)) is not None and answer.is_measured
    ]
    at, value, sigma = np.array(known, float).T
    side, place = spot
    name: Text = place
    if len(sides) > 1:
        name = message("window.spot-of", spot=place, corner=sides[side])
    return _Curve(name, at, value, sigma)


def _axes(window: Window, curves: Sequence[_Curve], letter: Letter) -> Axes:
    ends = [curve.value + way * curve.sigma for curve in curves for way in (-1.0, 1.0)]
    low = min((float(one.min()) for one in ends), default=0.0)
    high = max((float(one.max()) for one in ends), default=0.0)
    low, high = min(low, 0.0), max(high, low + LEAST_SPAN_MM, LEAST_SPAN_MM)
    decimals = decimals_of(tick_step((high - low) * 1.12, 6))
    left, bottom = margins(max(len(letter(tick(end, decimals))) for end in (low, high)))
    names = [letter(curve.name)[:LABEL_CHARACTERS] for curve in curves]
    right = end_margin([*names, "+00.0 mm"])
    first, last = window.asked[0].at_mm, window.asked[-1].at_mm
    return Axes(
        scale_over(first, last, left, WIDTH_MM - right, 7),
        scale_around(low, high, bottom, bottom + TALL_MM, 6),
    )


# Curves


def _band(curve: _Curve, axes: Axes) -> list[Part]:
    """Clearance plus and minus its uncertainty, with its edges ruled."""
    above, below = (
        np.stack([axes.x.each(curve.at), axes.y.each(curve.value + way * curve.sigma)], axis=-1)
        for way in (1.0, -1.0)
    )
    fill = Fill((as_ring(np.concatenate([above, below[::-1]])),), "band-fill")
    return [fill, *(Stroke(as_ring(edge), "hatch-body") for edge in (above, below))]


def _line(curve: _Curve, axes: Axes) -> list[Part]:
    """The curve, with the parts that touch as overlaps are drawn."""
    parts: list[Part] = []
    for is_contact, points in _runs(curve):
        style = "gap-contact" if is_contact else "ink-thick"
        parts.append(Stroke(tuple(axes.point(x, y) for x, y in points), style))
    return parts


def _runs(curve: _Curve) -> list[tuple[bool, list[Point]]]:
    """Pieces of a curve below and above zero, cut where it crosses."""
    runs: list[tuple[bool, list[Point]]] = []
    before: Point | None = None
    for x, y in zip(curve.at.tolist(), curve.value.tolist(), strict=True):
        is_contact = y <= 0
        if not runs or before is None:
            runs.append((is_contact, [(x, y)]))
        elif runs[-1][0] != is_contact:
            share = before[1] / (before[1] - y)
            crossing = (before[0] + share * (x - before[0]), 0.0)
            runs[-1][1].append(crossing)
            runs.append((is_contact, [crossing, (x, y)]))
        else:
            runs[-1][1].append((x, y))
        before = (x, y)
    return [run for run in runs if len(run[1]) > 1]


def _now(window: Window, axes: Axes, rows: Sequence[tuple[Interval, Message]]) -> list[Part]:
    """A centre line at what is tried, up to the dimensions."""
    x = axes.x(min(max(window.now_mm, axes.x.low), axes.x.high))
    top = axes.y.end + (LINE_MM * 0.3 if rows else 0.0)
    words = Words((x + 4.0, axes.y.start + 0.6 * LINE_MM), ((message("window.now"), "note"),))
    return [Stroke(((x, axes.y.start), (x, top)), "centre-line"), words]


def _ends(curves: Sequence[_Curve], axes: Axes, letter: Letter, unit: Unit) -> list[Part]:
    """Names of the curves with the figures at their right ends."""
    ends = [axes.point(float(curve.at[-1]), float(curve.value[-1])) for curve in curves]
    lines = [2 + (len(letter(curve.name)) > LABEL_CHARACTERS) for curve in curves]
    height = max(lines, default=2) * LINE_MM + 3.0
    middles = spread([y for _, y in ends], height, axes.y.start, axes.y.end)
    parts: list[Part] = []
    for curve, end, middle in zip(curves, ends, middles, strict=True):
        figure = message(
            f"axis.{unit.name}", value=float(curve.value[-1]), places=unit.decimals + 1
        )
        words = ((curve.name, "name"), (figure, "label"))
        parts += end_label(end, middle, words, axes.x.end)
    return parts


# Dimensions


def _rows(window: Window) -> list[tuple[Interval, Message]]:
    """Intervals as they lie on the axis, with their words; the lowest row first."""
    rows = [(one, _told(window.quantity, one)) for one in window.clears]
    spacer = window.spacer
    if spacer is not None:
        # The plane of the wheel is the same with so much less offset.
        zero = window.now_mm + window.spacer_now_mm
        as_offset = Interval(zero - spacer.high_mm, zero - spacer.low_mm, spacer.is_open[::-1])
        rows.append((as_offset, _told(SPACER, spacer)))
    return rows


def _told(quantity: str, one: Interval) -> Message:
    below, above = one.is_open
    how = {(True, True): "all", (True, False): "to", (False, True): "from"}.get(
        (below, above), "between"
    )
    return message(
        f"window.{quantity}-{how}",
        low_mm=one.low_mm,
        high_mm=one.high_mm,
        length_mm=one.length_mm,
    )


def _interval(
    interval: Interval, words: Message, axes: Axes, height: float, letter: Letter
) -> list[Part]:
    """A dimension over an interval, its words above it; an end that is open has no arrow."""
    left, right = (
        min(max(axes.x(at), axes.x.start), axes.x.end) for at in (interval.low_mm, interval.high_mm)
    )
    parts: list[Part] = []
    inside = right - left >= SHORT_MM
    tails = ((left, -1.0, interval.is_open[0]), (right, 1.0, interval.is_open[1]))
    for x, way, is_open in tails:
        if is_open:
            continue
        parts.append(Stroke(((x, axes.y.start), (x, height + 3.0)), "ink-thin"))
        if not inside:
            parts.append(Stroke(((x, height), (x + way * TAIL_MM, height)), "ink-thin"))
        parts.append(_arrow((x, height), way if inside else -way))
    parts.append(Stroke(((left, height), (right, height)), "ink-thin"))
    half = len(letter(words)) * CHARACTER_MM / 2
    middle = min(max((left + right) / 2, half + 2.0), WIDTH_MM - half - 2.0)
    parts.append(Words((middle, height + 0.75 * TEXT_MM), ((words, "label"),), "middle"))
    return parts


def _arrow(tip: Point, way: float) -> Fill:
    head = arrow_head(tip, (way, 0.0))
    return Fill(head.rings, "scale-ink")


# Words


def _description(window: Window, curves: Sequence[_Curve], unit: Unit) -> tuple[Message, ...]:
    def figure(value: float) -> Message:
        return message(f"axis.{unit.name}", value=float(value), places=unit.decimals + 1)

    told = [
        message(
            f"describe.window-{window.quantity}",
            low_mm=window.asked[0].at_mm,
            high_mm=window.asked[-1].at_mm,
            now_mm=window.now_mm,
        )
    ]
    for curve in curves:
        told.append(
            message(
                "describe.window-spot",
                spot=curve.name,
                first=figure(curve.value[0]),
                now=figure(np.interp(window.now_mm, curve.at, curve.value)),
                last=figure(curve.value[-1]),
            )
        )
    told += [message("describe.window-clears", what=words) for _, words in _rows(window)]
    return tuple(told)


def _legend(window: Window) -> tuple[Message, ...]:
    """What was asked, how near the lines are to the truth between, and what no interval says."""
    between = max(
        (window.between_mm.get(s, 0.0) for s in window.limiting(MOST_CURVES)), default=0.0
    )
    legend = [message("legend.window-exact", step_mm=window.step_mm, between_mm=between)]
    if window.missing:
        legend.append(message("legend.window-missing", what=window.missing))
    elif not window.clears:
        legend.append(message("legend.window-nothing"))
    if window.unknown:
        legend.append(message("legend.window-unknown", spots=window.unknown))
    return tuple(legend)

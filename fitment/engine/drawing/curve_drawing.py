"""One quantity of one corner over travel or lock: before dashed, after thick.

The ends of the lines say in words what they are and what figure they end at. Stops are walls,
ride height and straight ahead centre lines, readings of a bump-steer sheet crosses.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.hub_position import Curve
from common.message import Message, Told, message
from common.units import MM_PER_INCH
from fitment.engine.curves.corner_curves import (
    AXLE_TOE,
    CAMBER,
    CASTER,
    OUTBOARD,
    TOE,
    TRACK,
    CornerCurves,
    Mark,
    Read,
    figures,
)
from fitment.engine.drawing.axes import (
    CHARACTER_MM,
    LINE_MM,
    TEXT_MM,
    Axes,
    axes_parts,
    decimals_of,
    end_label,
    end_margin,
    margins,
    scale_around,
    spread,
    tick,
    tick_step,
    wall,
)
from fitment.engine.drawing.contour import as_ring
from fitment.engine.drawing.lettering import Letter
from fitment.engine.drawing.scene import Part, Scene, Stroke, Text, Words

WIDTH_MM = 480.0
TALL_MM = 280.0
TOP_MM = 26.0
CROSS_MM = 5.0
#: Lines by their number from the last: the last is what is planned.
STYLES = ("ink-thick", "ink-dash", "ink-thin")
TRAVEL, LOCK = "travel", "lock"


class NothingToDraw(Told):
    """A corner that has no such curve, with the reason."""


@dataclass(frozen=True)
class Unit:
    """The unit of lengths on the axes: its name, what a millimetre is in it, its decimals."""

    name: str
    per_mm: float
    decimals: int


MILLIMETRES, INCHES = Unit("mm", 1.0, 0), Unit("in", 1.0 / MM_PER_INCH, 2)
LENGTHS = (TRACK, OUTBOARD)
ONE_RACK = message("legend.one-rack")
#: An axis shows at least this much, so that a flat line looks flat.
LEAST_SPAN = {CAMBER: 0.5, TOE: 0.1, CASTER: 0.5, TRACK: 2.0, OUTBOARD: 2.0, AXLE_TOE: 1.0}
#: A figure as wide as most at the end of a line.
WIDEST = {CAMBER: 0.25, TOE: 0.25, CASTER: 0.25, TRACK: -10.0, OUTBOARD: -10.0, AXLE_TOE: -10.0}


@dataclass(frozen=True)
class _Asked:
    """What is plotted over what, and in which unit its lengths are."""

    quantity: str
    over: str = TRAVEL
    unit: Unit = MILLIMETRES

    @property
    def along(self) -> float:
        """Values of the lower axis from those of a curve."""
        return self.unit.per_mm if self.over == TRAVEL else 1.0

    @property
    def up(self) -> float:
        return self.unit.per_mm if self.quantity in LENGTHS else 1.0

    @property
    def decimals(self) -> int:
        return self.unit.decimals + 1 if self.quantity in LENGTHS else 2

    @property
    def name(self) -> str:
        """The quantity as codes of messages name it."""
        return self.quantity.replace(" ", "-")

    @property
    def titles(self) -> tuple[Message, Message]:
        unit = message(f"unit.{self.unit.name}")
        return (
            message(f"axis.over-{self.over}", unit=unit),
            message(f"axis.of-{self.name}", unit=unit),
        )

    def figure(self, value: float) -> Message:
        unit = self.unit.name if self.quantity in LENGTHS else "deg"
        return message(f"axis.{unit}", value=float(value), places=self.decimals)

    def place(self, at: float) -> Message:
        if self.over == TRAVEL:
            name, places = self.unit.name, self.unit.decimals
            return message(f"axis.{name}", value=float(at), places=places)
        return message("axis.deg", value=float(at), places=0)


@dataclass(frozen=True)
class _Line:
    name: Text
    at: Array
    value: Array
    style: str


def corner_curve_scene(
    curves: CornerCurves,
    quantity: str,
    *,
    title: Text,
    letter: Letter,
    over: str = TRAVEL,
    unit: Unit = MILLIMETRES,
) -> Scene:
    """The plot of a corner's curves, before and after, with stops and readings; see curve_scene.

    Raises NothingToDraw where the corner has no such figures, or does not steer.
    """
    before, after, marks = curves.steer_before, curves.steer_after, curves.steer_marks
    readings: tuple[Read, ...] = ()
    if over == TRAVEL:
        before, after, marks, readings = curves.before, curves.after, curves.marks, curves.readings
    if before is None or after is None:
        raise NothingToDraw(message("draw.no-steering"))
    scene = curve_scene(
        ((message("curve.before"), before), (message("curve.after"), after)),
        quantity,
        title=title,
        letter=letter,
        readings=readings,
        marks=marks,
        over=over,
        unit=unit,
        wheel_mm=curves.wheel_mm,
    )
    return replace(scene, legend=scene.legend + curves.notes)


def curve_scene(
    curves: Sequence[tuple[Text, Curve]],
    quantity: str,
    *,
    title: Text,
    letter: Letter,
    readings: Sequence[Read] | None = None,
    marks: Sequence[Mark] = (),
    over: str = TRAVEL,
    unit: Unit = MILLIMETRES,
    wheel_mm: tuple[float, float] = (0.0, 0.0),
) -> Scene:
    """The plot of one quantity of named curves that share an axis, the last drawn thick.

    It is not lettered yet; ``letter`` tells how long words are, for which it makes room.

    ``readings`` and ``marks`` are on the same axis, in the curves' own units; ``unit`` is that of
    the plot, ``wheel_mm`` as in CornerCurves. Raises NothingToDraw where a curve has no such
    figures.
    """
    asked = _Asked(quantity, over, unit)
    lines = _lines(curves, asked, wheel_mm)
    read = _read(readings or (), asked)
    marks = [replace(mark, at=mark.at * asked.along) for mark in marks]
    axes = _axes(lines, read, marks, asked, letter)
    shown = [mark for mark in marks if axes.x.low < mark.at < axes.x.high]
    names = _names(shown, axes, letter)
    above = LINE_MM * (1 + max((name.row for name in names), default=-1))
    parts = axes_parts(axes, *asked.titles, above)
    if axes.y.low < 0.0 < axes.y.high:
        zero = axes.y(0.0)
        parts.append(Stroke(((axes.x.start, zero), (axes.x.end, zero)), "ink-thin"))
    # All lines before all words, whose rim of paper interrupts them.
    parts += [part for name in names for part in _mark_lines(name, axes)]
    parts += [_mark_words(name, axes) for name in names]
    for line in lines:
        points = np.stack([axes.x.each(line.at), axes.y.each(line.value)], axis=-1)
        parts.append(Stroke(as_ring(points), line.style))
    for at, value in read:
        parts += _cross(*axes.point(at, value))
    parts += _ends(lines, axes, asked)
    return Scene(
        title=title,
        description=_description(lines, read, shown, asked),
        viewport=(0.0, 0.0, WIDTH_MM, axes.y.end + above + TOP_MM),
        parts=tuple(parts),
        legend=_legend(lines, read, shown) + ((ONE_RACK,) if quantity == AXLE_TOE else ()),
    )


def _lines(
    curves: Sequence[tuple[Text, Curve]], asked: _Asked, wheel_mm: tuple[float, float]
) -> list[_Line]:
    lines = []
    for number, (name, curve) in enumerate(curves):
        value = figures(curve, asked.quantity, wheel_mm)
        if value is None:
            lacks = "rack" if asked.quantity == AXLE_TOE else "axis"
            raise NothingToDraw(message(f"draw.no-{lacks}", curve=name))
        known = np.isfinite(value)
        style = STYLES[min(len(curves) - 1 - number, len(STYLES) - 1)]
        at = curve.at[known] * asked.along
        lines.append(_Line(name, at, value[known] * asked.up, style))
    return lines


def _read(readings: Sequence[Read], asked: _Asked) -> list[tuple[float, float]]:
    """Readings of one quantity, an angle, as (at, value)."""
    picked = {CAMBER: lambda row: row.camber_deg, TOE: lambda row: row.toe_deg}.get(asked.quantity)
    if picked is None:
        return []
    return [(row.at * asked.along, value) for row in readings if (value := picked(row)) is not None]


def _axes(
    lines: list[_Line],
    read: list[tuple[float, float]],
    marks: Sequence[Mark],
    asked: _Asked,
    letter: Letter,
) -> Axes:
    at = np.concatenate([line.at for line in lines] + [[mark.at] for mark in marks])
    value = np.concatenate([line.value for line in lines] + [[one for _, one in read]])
    low, high = float(value.min()), float(value.max())
    more = max(0.0, LEAST_SPAN[asked.quantity] * asked.up - (high - low)) / 2
    low, high = low - more, high + more
    # Ticks first: how wide they are decides where the axis stands.
    decimals = decimals_of(tick_step((high - low) * 1.12, 8))
    widest = max(len(letter(tick(end, decimals))) for end in (low, high))
    left, bottom = margins(widest)
    ends = [*(line.name for line in lines), asked.figure(WIDEST[asked.quantity])]
    right = end_margin([letter(end) for end in ends])
    return Axes(
        scale_around(float(at.min()), float(at.max()), left, WIDTH_MM - right, 9),
        scale_around(low, high, bottom, bottom + TALL_MM, 8),
    )


# Marks


@dataclass(frozen=True)
class _Name:
    """A mark at ``x`` with its words from ``left`` to ``right`` in a row above the plot.

    ``anchor`` is where they are held, since smaller text takes less room.
    """

    mark: Mark
    x: float
    left: float
    right: float
    row: int
    anchor: str

    def covers(self, x: float) -> bool:
        """Whether the words stand over a place of the axis."""
        return self.left < x < self.right


def _names(marks: Sequence[Mark], axes: Axes, letter: Letter) -> list[_Name]:
    """Marks with room for their words: no words on others, none over the line of a higher row."""
    done: list[_Name] = []
    waiting = sorted(marks, key=lambda mark: not mark.side)
    while waiting:
        mark = waiting.pop(0)
        ahead = [axes.x(other.at) for other in waiting]
        done.append(next(name for name in _choices(mark, axes, letter) if _fits(name, done, ahead)))
    return done


def _choices(mark: Mark, axes: Axes, letter: Letter) -> Iterator[_Name]:
    """Words over the mark, to its right and to its left, row by row upwards."""
    x, width = axes.x(mark.at), len(letter(mark.words)) * CHARACTER_MM
    least, most = axes.x.start - 4.0, WIDTH_MM - 4.0 - width
    for row in itertools.count():
        for start, anchor in (
            (x - width / 2, "middle"),
            (x - 3.0, "start"),
            (x + 3 - width, "end"),
        ):
            if start < least:
                start, anchor = least, "start"
            elif start > most:
                start, anchor = most, "end"
            yield _Name(mark, x, start, start + width, row, anchor)


def _fits(name: _Name, done: Sequence[_Name], ahead: Sequence[float]) -> bool:
    """Whether a name may stand there; so high up that all rows below are tried, it always may."""
    if name.row > len(done):
        return True
    for other in done:
        apart = name.left >= other.right + 4.0 or other.left >= name.right + 4.0
        if other.row == name.row and not apart:
            return False
        if other.row > name.row and name.covers(other.x):
            return False
        if other.row < name.row and other.covers(name.x):
            return False
    return not any(name.covers(x) for x in ahead)


def _mark_lines(name: _Name, axes: Axes) -> list[Part]:
    x, (_, bottom, _, top) = name.x, axes.box
    if name.mark.side:
        return list(wall(x, bottom, top, name.mark.side))
    style = "ink-thin" if name.mark.at else "centre-line"
    return [Stroke(((x, bottom), (x, _row_height(name, axes) - TEXT_MM / 2)), style)]


def _mark_words(name: _Name, axes: Axes) -> Words:
    held = {"start": name.left, "middle": name.x, "end": name.right}[name.anchor]
    return Words((held, _row_height(name, axes)), ((name.mark.words, "label"),), name.anchor)


def _row_height(name: _Name, axes: Axes) -> float:
    return axes.y.end + (name.row + 0.5) * LINE_MM


# Lines and readings


def _cross(x: float, y: float) -> list[Part]:
    arm = CROSS_MM
    return [
        Stroke(((x - arm, y - arm * sign), (x + arm, y + arm * sign)), "swept-edge")
        for sign in (1, -1)
    ]


def _ends(lines: list[_Line], axes: Axes, asked: _Asked) -> list[Part]:
    """Names of the lines with the figures at their right ends, none over another."""
    ends = [axes.point(float(line.at[-1]), float(line.value[-1])) for line in lines]
    _, bottom, _, top = axes.box
    middles = spread([y for _, y in ends], 2 * LINE_MM + 3.0, bottom, top)
    parts: list[Part] = []
    for line, (x, y), middle in zip(lines, ends, middles, strict=True):
        figure = asked.figure(float(line.value[-1]))
        words = ((line.name, "label"), (figure, "dim-text"))
        parts += end_label((x, y), middle, words, axes.x.end)
    return parts


# Words


def _description(
    lines: list[_Line],
    read: list[tuple[float, float]],
    marks: Sequence[Mark],
    asked: _Asked,
) -> tuple[Message, ...]:
    told = [message("describe.curve", what=message(f"curve.{asked.name}"), over=_over(asked))]
    zero = message("mark.ride-height" if asked.over == TRAVEL else "mark.straight-ahead")
    for line in lines:
        middle = float(np.interp(0.0, line.at, line.value))
        told.append(
            message(
                "describe.line",
                line=line.name,
                first=asked.figure(line.value[0]),
                first_at=asked.place(line.at[0]),
                middle=asked.figure(middle),
                middle_at=zero,
                last=asked.figure(line.value[-1]),
                last_at=asked.place(line.at[-1]),
            )
        )
    if read:
        told.append(message("describe.readings", count=len(read)))
    named = tuple(
        message("describe.mark", mark=mark.words, at=asked.place(mark.at))
        for mark in marks
        if mark.at
    )
    if named:
        told.append(message("describe.marks", marks=named))
    return tuple(told)


def _over(asked: _Asked) -> Message:
    return message(f"curve.over-{asked.over}")


def _legend(
    lines: list[_Line], read: list[tuple[float, float]], marks: Sequence[Mark]
) -> tuple[Message, ...]:
    legend = []
    if len(lines) > 1:
        thick, dashed = lines[-1].name, lines[-2].name
        legend.append(message("legend.thick-dashed", thick=thick, dashed=dashed))
    if any(mark.side for mark in marks):
        legend.append(message("legend.stop"))
    if read:
        legend.append(message("legend.crosses-read"))
    legend.append(message("legend.end-figures"))
    return tuple(legend)

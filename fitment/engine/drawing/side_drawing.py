"""The wheel from outboard in one pose: the arch's edge, and what lies behind it, by clock and
radius, with the spot that decides.

Drawing space is scaled so that the farthest spot fits; the hub is in the middle, straight up is up.
Seen from outboard, the front of a left wheel is to the left, and that of a right one to the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from alignment.geometry.frames import Array, Flags
from common.message import Message, message
from fitment.engine.curves.at_pose import CornerAtPose, SpotCourse
from fitment.engine.drawing.captions import gap_lines
from fitment.engine.drawing.contour import hatched
from fitment.engine.drawing.pose_drawing import described
from fitment.engine.drawing.scene import (
    CONTACT,
    Fill,
    Hatch,
    Part,
    Point,
    Ring,
    ScaleBar,
    Scene,
    Stroke,
    Text,
    TextLine,
    Words,
)
from fitment.engine.model import SpotAnswer

#: All drawings of a page are at one width of drawing space, so that their text is of one size.
WIDTH_MM = 480.0
#: Radius in drawing space of what is farthest from the hub.
FAR = 178.0
#: Spots are drawn up to so far beyond the tyre, and so much of it at the least, mm.
MOST_BEYOND_MM, LEAST_BEYOND_MM = 90.0, 20.0
#: Ticks of the clock, every 30°: how far out they begin, and how long they are.
TICK_DEG, TICK_AT, TICK, TICK_OF_QUARTER = 30, 5.0, 7.0, 13.0
#: Half axes of the field in the middle that holds the words of the spot.
WORDS_WIDE, WORDS_TALL = 92.0, 40.0
#: Strip below the wheel for scale and direction, and the margin above.
STRIP, ABOVE = 40.0, 24.0
#: How far the hatching behind the body's edge goes outwards, and its lines.
BAND, BAND_DEG, BAND_SPACING = 12.0, 45.0, 6.0
#: Ring round the spot that decides, and the cross of a single point.
RING, CROSS = 9.0, 4.0
#: Steps of a circle, degrees.
ARC_DEG = 3.0


def side_scene(
    pose: CornerAtPose, *, front_left: bool, title: Text, decides: str | None = None
) -> Scene:
    """The side view of a corner in one pose, not lettered yet.

    ``front_left``: whether the front of the car is to the left, as it is for a left wheel.
    ``decides`` names the spot to be marked, that with the least to spare in this pose if None.
    """
    view = _SideView(pose, front_left)
    marked = pose.tightest
    if decides is not None:
        marked = next((n for n, spot in enumerate(pose.spots) if spot.place == decides), marked)
    parts = (
        *view.wheel(),
        *(part for course in pose.courses for part in view.spot(course)),
        *view.clock(),
        *(view.mark(marked) if marked is not None else ()),
        *view.strip(),
    )
    hidden = any(view.hidden(course).any() for course in pose.courses)
    return Scene(
        title=title,
        description=tuple(_described(pose, marked)),
        viewport=(0.0, 0.0, WIDTH_MM, view.tall),
        parts=parts,
        legend=tuple(_legend(hidden)),
    )


class _SideView:
    """One wheel drawn about a middle at a scale."""

    def __init__(self, pose: CornerAtPose, front_left: bool) -> None:
        self._pose, self._section = pose, pose.section
        self._sign = -1.0 if front_left else 1.0
        tyre = self._section.tyre_radius_mm
        radii = np.concatenate([course.radius_mm for course in pose.courses])
        near = radii[radii <= tyre + MOST_BEYOND_MM]
        self._most_mm = max(tyre + LEAST_BEYOND_MM, float(near.max(initial=0.0)))
        self._scale = FAR / self._most_mm
        low = max(self._down(course) for course in pose.courses)
        below = max(tyre, low) * self._scale + TICK_AT + TICK_OF_QUARTER
        self._middle = (WIDTH_MM / 2, below + STRIP)
        self.tall = self._middle[1] + FAR + ABOVE

    def _down(self, course: SpotCourse) -> float:
        shown = course.radius_mm <= self._most_mm
        down = -course.radius_mm * np.cos(np.radians(course.clock_deg))
        return float(np.where(shown, down, 0.0).max(initial=0.0))

    def _at(self, radius: float, clock_deg: float, *, drawn: bool = False) -> Point:
        """A point by radius (mm, or of the drawing where ``drawn``) and clock angle."""
        far, turn = radius if drawn else radius * self._scale, math.radians(clock_deg)
        x, y = self._middle
        return x + self._sign * far * math.sin(turn), y + far * math.cos(turn)

    def _circle(self, radius_mm: float) -> Ring:
        return tuple(self._at(radius_mm, clock) for clock in np.arange(-180.0, 180.0, ARC_DEG))

    def wheel(self) -> Iterator[Part]:
        """The tyre in thick line, the rim's edge and the centre lines."""
        tyre = self._circle(self._section.tyre_radius_mm)
        rim = self._circle(float(self._section.rim_outline_mm[:, 1].max()))
        yield Fill((tyre, rim), "tyre-fill")
        yield Stroke(tyre, "ink-thick", closed=True)
        yield Stroke(rim, "ink-thin", closed=True)
        for clock in (-90.0, 0.0, 90.0, 180.0):
            inner = WORDS_WIDE if clock in (-90.0, 90.0) else WORDS_TALL
            outer = self._section.tyre_radius_mm * self._scale + TICK_AT
            ends = self._at(inner, clock, drawn=True), self._at(outer, clock, drawn=True)
            yield Stroke(ends, "centre-line")

    def clock(self) -> Iterator[Part]:
        """Marks at every 30°, longer ones at the quarters."""
        edge = self._section.tyre_radius_mm * self._scale
        for clock in range(-150, 181, TICK_DEG):
            upper = abs(clock) <= 90
            start = (FAR if upper else edge) + TICK_AT
            length = TICK_OF_QUARTER if clock % 90 == 0 else TICK
            ends = (
                self._at(start, clock, drawn=True),
                self._at(start + length, clock, drawn=True),
            )
            yield Stroke(ends, "ink-thin")

    def hidden(self, course: SpotCourse) -> Flags:
        """Which points (n,) lie behind the wheel's centre plane, and so behind the wheel."""
        return np.asarray(course.axial_mm < self._section.centre_axial_mm)

    def spot(self, course: SpotCourse) -> Iterator[Part]:
        """A spot's line, dashed where it is hidden, or crosses for single points."""
        shown = course.radius_mm <= self._most_mm + 1e-9
        hidden = self.hidden(course)
        plain = "swept-edge" if course.on_body else "ink-thin"
        if not course.is_edge:
            for number in np.flatnonzero(shown):
                style = "ink-dash" if hidden[number] else plain
                yield from self._cross(course, int(number), style)
            return
        states = list(zip(shown.tolist(), hidden.tolist(), strict=True))
        for (is_shown, is_hidden), group in groupby(range(len(states)), states.__getitem__):
            numbers = list(group)
            if not is_shown:
                continue
            if numbers[-1] + 1 < len(states) and states[numbers[-1] + 1][0]:
                numbers.append(numbers[-1] + 1)
            line = self._line(course, numbers)
            if len(line) < 2:
                continue
            if course.on_body and not is_hidden:
                outer = self._line(course, numbers, beyond=BAND / self._scale)
                band = (*line, *reversed(outer))
                yield Hatch(hatched((band,), BAND_DEG, BAND_SPACING), "hatch-body", "body")
            yield Stroke(line, "ink-dash" if is_hidden else plain, spot=course.place)

    def _line(self, course: SpotCourse, numbers: list[int], beyond: float = 0.0) -> Ring:
        radius, clock = course.radius_mm, course.clock_deg
        return tuple(self._at(float(radius[n]) + beyond, float(clock[n])) for n in numbers)

    def _cross(self, course: SpotCourse, number: int, style: str) -> Iterator[Part]:
        x, y = self._at(float(course.radius_mm[number]), float(course.clock_deg[number]))
        for sign in (1, -1):
            ends = (x - CROSS, y - sign * CROSS), (x + CROSS, y + sign * CROSS)
            yield Stroke(ends, style, spot=course.place)

    def mark(self, number: int) -> Iterator[Part]:
        """The spot that decides: a ring about its nearest point, and its words in the middle."""
        course, spot = self._pose.courses[number], self._pose.spots[number]
        contact = spot.is_measured and spot.clearance_mm <= 0
        clock = float(course.clock_deg[course.nearest])
        radius = min(float(course.radius_mm[course.nearest]), self._most_mm)
        x, y = self._at(radius, clock)
        turns = np.radians(np.arange(0.0, 360.0, 20.0))
        ring = tuple((x + RING * math.cos(t), y + RING * math.sin(t)) for t in turns)
        far, turn = radius * self._scale - RING, math.radians(clock)
        wide, tall = math.sin(turn) / WORDS_WIDE, math.cos(turn) / WORDS_TALL
        inner = 1.0 / math.hypot(wide, tall)
        if far > inner:
            leader = self._at(far, clock, drawn=True), self._at(inner, clock, drawn=True)
            yield Stroke(leader, "dim-contact" if contact else "dim")
        yield Stroke(ring, CONTACT if contact else "gap-ok", closed=True, spot=spot.place)
        yield Words(self._middle, tuple(_words(spot, clock, contact)), "middle")

    def strip(self) -> Iterator[Part]:
        """Scale bar, and an arrow to the front of the car."""
        yield ScaleBar.of_mm((8.0, 10.0), 100.0, self._scale)
        end = WIDTH_MM - 8.0 if self._sign > 0 else WIDTH_MM - 116.0
        tail = end - self._sign * 44.0
        tip = (end, 12.0)
        back = end - self._sign * 9.0
        yield Stroke(((tail, 12.0), tip), "ink-thin")
        yield Fill(((tip, (back, 14.2), (back, 9.8)),), "scale-ink")
        right = max(tail, end) + 6.0
        anchor = (tail - 6.0, "end") if self._sign > 0 else (right, "start")
        yield Words((anchor[0], 12.0), ((message("drawing.to-the-front"), "note"),), anchor[1])


def _words(spot: SpotAnswer, clock_deg: float, contact: bool) -> Iterator[TextLine]:
    """A spot's name, its gap, and where it is; of one that was not measured no figure at all."""
    if not spot.is_measured:
        yield spot.place, "name"
        yield message("drawing.not-measured"), "note"
        return
    name, (gap, style) = gap_lines(spot)
    yield name
    yield gap, "contact-text" if contact else style
    yield message("drawing.at-clock", clock_deg=clock_deg), "note"


def _described(pose: CornerAtPose, marked: int | None) -> Iterator[Message]:
    yield message("describe.side")
    if marked is not None and pose.spots[marked].is_measured:
        course = pose.courses[marked]
        yield message(
            "describe.side-spot",
            spot=course.place,
            clock_deg=_value(course.clock_deg, course.nearest),
            radius_mm=_value(course.radius_mm, course.nearest),
        )
    yield from described(pose)


def _value(values: Array, number: int) -> float:
    return float(values[number])


def _legend(hidden: bool) -> Iterator[Message]:
    yield message("legend.side")
    if hidden:
        yield message("legend.side-hidden")

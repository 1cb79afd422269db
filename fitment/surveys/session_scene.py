"""Drawings that fill while a corner is measured: by the clock, and in section."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from fitment.engine.drawing.scene import Point, Scene
from fitment.engine.model import EDGE
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.steps import Step
from fitment.engine.survey.surveying import BadReading
from fitment.surveys.scene import Line, line_scene

#: Where a point that is still to be read is marked, outside or inside the tyre; mm.
BEYOND_TYRE_MM, NO_TYRE_MM, LATER_MM = 45.0, 360.0, 40.0
ROUND = range(0, 361, 6)


def clock_scene(
    sheet: Sheet, wanted: Sequence[Step], now: Sequence[Step] = (), *, left: bool = False
) -> Scene:
    """What was read, what is asked ``now`` and what else is still to be read, seen from outside.

    ``left``: on the left of the car, where a person before the wheel has the front to the left.
    """
    lines = [
        *_tyre_by_clock(sheet),
        *_on_record(sheet, by_clock=True),
        *_read(sheet, by_clock=True),
        *_to_read(sheet, "read now", now, 0.0),
        *_to_read(sheet, "still to be read", [s for s in wanted if s not in now], LATER_MM),
    ]
    if left:
        lines = [replace(one, points=tuple((-x, y) for x, y in one.points)) for one in lines]
    return line_scene(
        "Read so far, as you stand before the wheel",
        f"From outside along the axle: front to the {'left' if left else 'right'}, up upwards.",
        lines,
        axes=("rear" if left else "front", "up"),
    )


def section_scene(sheet: Sheet) -> Scene:
    """What was read in section, with the tyre that is on the car."""
    return line_scene(
        "Read so far, in section",
        "Axial from the hub face to the right, outboard; radius from the spin axis upwards.",
        [
            *_tyre_in_section(sheet),
            *_on_record(sheet, by_clock=False),
            *_read(sheet, by_clock=False),
        ],
        axes=("outboard", "radius"),
    )


def _read(sheet: Sheet, *, by_clock: bool) -> Iterator[Line]:
    by_place: dict[str, list[tuple[float, Point]]] = {}
    for point in sheet.points:
        at = point.taken.point
        flat = (at.axial_mm, at.radius_mm)
        if by_clock:
            flat = _around(at.clock_deg, at.radius_mm)
        by_place.setdefault(point.reading.place, []).append((at.clock_deg, flat))
    for place, points in by_place.items():
        flats = tuple(flat for _, flat in sorted(points))
        is_edge = sheet.place(place).shape == EDGE
        yield Line(place, flats, is_edge, "ink-thick")


def _on_record(sheet: Sheet, *, by_clock: bool) -> Iterator[Line]:
    """Places of the survey that is corrected, dashed."""
    if sheet.base is None:
        return
    for feature in sheet.base.survey.features:
        if feature.points and feature.taken_at is None:
            flats = tuple(
                _around(p.clock_deg, p.radius_mm) if by_clock else (p.axial_mm, p.radius_mm)
                for p in feature.points
            )
            yield Line(f"{feature.place} on record", flats, feature.shape == EDGE, "ink-dash")


def _to_read(sheet: Sheet, name: str, steps: Sequence[Step], beyond: float) -> Iterator[Line]:
    """Clocks at which something is to be read, as crosses ``beyond`` the ring of the next ones."""
    radius = _tyre_radius(sheet)
    at = (NO_TYRE_MM if radius is None else radius + BEYOND_TYRE_MM) + beyond
    marks = {step.clock_deg for step in steps if step.is_open and step.clock_deg is not None}
    if marks:
        style = "ink-thin" if beyond else "missing-edge"
        yield Line(name, tuple(_around(clock, at) for clock in sorted(marks)), False, style)


def _tyre_by_clock(sheet: Sheet) -> Iterator[Line]:
    radius = _tyre_radius(sheet)
    if radius is not None:
        ring = tuple(_around(float(clock), radius) for clock in ROUND)
        yield Line("tyre on the car", ring, True, "other-outline")


def _tyre_in_section(sheet: Sheet) -> Iterator[Line]:
    try:
        section = sheet.section
    except BadReading:
        return
    if section is not None:
        outline = tuple((float(a), float(r)) for a, r in section.tyre_outline_mm)
        yield Line("tyre on the car", (*outline, outline[0]), True, "other-outline")


def _tyre_radius(sheet: Sheet) -> float | None:
    try:
        return sheet.section.tyre_radius_mm if sheet.section else None
    except BadReading:
        return None


def _around(clock_deg: float, radius: float) -> Point:
    clock = math.radians(clock_deg)
    return radius * math.sin(clock), radius * math.cos(clock)

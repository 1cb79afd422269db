"""Curves, maps and the whole car of a stored check: chosen, drawn, and as figures.

Everything is worked out anew from the check's own inputs, so an old check shows its own corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any
from urllib.parse import urlencode

import numpy as np
from django.urls import reverse

from alignment.geometry.hub_position import Curve, contact_shift
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import CURVES
from common.corners import CORNER_NAMES
from common.message import message
from common.numerals import for_machines
from fitment.drawings.data import Choice, Figures, Plot
from fitment.drawings.drawn import svg_of
from fitment.engine import checkfile
from fitment.engine.curves.clearance_map import ClearanceMap, NothingToMap, map_of
from fitment.engine.curves.corner_curves import (
    AXLE_TOE,
    CAMBER,
    CASTER,
    OUTBOARD,
    OVER_LOCK,
    QUANTITIES,
    TOE,
    TRACK,
    CornerCurves,
    corner_curves,
    figures,
)
from fitment.engine.drawing.curve_drawing import (
    LENGTHS,
    LOCK,
    TRAVEL,
    NothingToDraw,
    corner_curve_scene,
)
from fitment.engine.drawing.map_drawing import map_scene
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import BODY, LINK, Check, CornerAnswer, SpotAnswer
from fitment.models import ClearanceCheck
from fitment.text.corner_names import corner_said
from fitment.text.lettering import letter_for, lettered_for
from fitment.text.render import reason_text
from shop.languages.figures import fixed
from shop.languages.formatting import capital

QUANTITY_WORDS = {
    CAMBER: "Camber",
    TOE: "Toe",
    CASTER: "Caster",
    TRACK: "Track, this side",
    OUTBOARD: "Hub sideways",
    AXLE_TOE: "Toe of both wheels",
}
OVER_WORDS = {TRAVEL: "over travel", LOCK: "over lock"}
CSV_HEAD = (
    "setting",
    "over",
    "at",
    "camber_deg",
    "toe_deg",
    "caster_deg",
    "outboard_mm",
    "track_mm",
    "rack_mm",
)
#: Steps of the tables of figures: travel in mm, lock in degrees.
TABLE_STEP = {TRAVEL: 10.0, LOCK: 5.0}
#: Slopes are taken over so much travel to both sides.
SLOPE_MM = 10.0
MAP_STEP = {TRAVEL: 20.0, LOCK: 10.0}


class CannotPlot(Exception):
    """A check that cannot be drawn, with the reason in a sentence."""


def asked(check: ClearanceCheck) -> Check:
    """The question of a check. Raises CannotPlot where it is in a form no longer read."""
    try:
        return checkfile.parse(check.inputs)
    except checkfile.BadCheckFile as bad:
        raise CannotPlot("This check was kept in a form that can no longer be read.") from bad


# Curves


def curve_choices(
    check: ClearanceCheck, corner: str, answer: CornerAnswer, shown: tuple[str, str] | None = None
) -> list[Choice]:
    """The plots of a corner's curves; ``shown`` is (quantity, over) of the one on view."""
    limits = check.inputs["corners"][corner]["limits"]
    overs = [TRAVEL, LOCK] if limits.get("steer_in_deg") else [TRAVEL]
    base = reverse("clearance_curves", args=[check.pk, corner])
    has_axis = answer.static.caster_deg is not None
    has_rack = check.inputs["corners"][corner]["suspension"]["kind"] != CURVES
    return [
        Choice(
            f"{QUANTITY_WORDS[quantity]} {OVER_WORDS[over]}"
            if over == LOCK
            else QUANTITY_WORDS[quantity],
            f"{base}?{urlencode({'show': quantity, 'over': over})}",
            (quantity, over) == shown,
        )
        for over in overs
        for quantity in (OVER_LOCK if over == LOCK else QUANTITIES)
        if (has_axis or quantity != CASTER) and (has_rack or quantity != AXLE_TOE)
    ]


def curves_of(check: ClearanceCheck, corner: str) -> CornerCurves:
    """A corner's curves. Raises CannotPlot with the reason."""
    question = asked(check)
    try:
        return corner_curves(question.corners[corner], question.duty)
    except Unreachable as stuck:
        raise CannotPlot(f"The curves cannot be drawn: {reason_text(stuck)}.") from stuck


def curve_plot(check: ClearanceCheck, corner: str, quantity: str, over: str) -> Plot:
    """One quantity of a corner over travel or lock, before and after. Raises CannotPlot."""
    curves = curves_of(check, corner)
    title = f"{QUANTITY_WORDS[quantity]} {OVER_WORDS[over]}, {CORNER_NAMES[corner]}"
    try:
        scene = corner_curve_scene(curves, quantity, title=title, letter=letter_for(), over=over)
    except NothingToDraw as none:
        raise CannotPlot(f"There is nothing to draw: {reason_text(none)}.") from none
    scene = lettered_for(scene)
    svg = svg_of(scene, id_prefix=f"curve-{check.pk}-{corner.lower()}")
    slopes = slopes_said(curves, quantity) if over == TRAVEL else ""
    return Plot(svg, scene.legend, _curve_figures(curves, quantity, over), slopes)


def slopes_said(curves: CornerCurves, quantity: str) -> str:
    """How steep a quantity is about ride height, per 100 mm into bump, after and before.

    Empty where a curve does not go as far as ``SLOPE_MM`` both ways.
    """
    said = []
    unit = " mm" if quantity in LENGTHS else "°"
    for name, curve in (("after", curves.after), ("before", curves.before)):
        below, above = _at(curve, quantity, np.array([-SLOPE_MM, SLOPE_MM]), curves.wheel_mm)
        if below is None or above is None:
            return ""
        places = 1 if quantity in LENGTHS else 2
        slope = fixed((above - below) / (2 * SLOPE_MM) * 100.0, places, signed=True)
        said.append(f"{slope}{unit} {name}")
    return f"About ride height, per 100 mm into bump: {said[0]}, {said[1]}."


def _curve_figures(curves: CornerCurves, quantity: str, over: str) -> Figures:
    pair = (curves.before, curves.after)
    if over == LOCK:
        pair = (curves.steer_before or curves.before, curves.steer_after or curves.after)
    wheel, step = curves.wheel_mm, TABLE_STEP[over]
    low, high = (edge(float(edge(curve.at)) for curve in pair) for edge in (min, max))
    at = np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step
    columns = [_at(curve, quantity, at, wheel) for curve in pair]
    head = ["travel, mm" if over == TRAVEL else "lock, °", "before", "after"]
    read = curves.readings if over == TRAVEL and quantity in (CAMBER, TOE) else ()
    if read:
        spots = [reading.at for reading in read]
        at = np.unique(np.concatenate([at, spots]))
        columns = [_at(curve, quantity, at, wheel) for curve in pair]
        values = {reading.at: getattr(reading, f"{quantity}_deg") for reading in read}
        columns.append([values.get(float(spot)) for spot in at])
        head.append("read")
    rows = zip((float(spot) for spot in at), *columns, strict=True)
    return Figures(tuple(head), tuple(rows), 1 if quantity in LENGTHS else 2)


def _at(
    curve: Curve, quantity: str, at: np.ndarray, wheel_mm: tuple[float, float]
) -> list[float | None]:
    values = figures(curve, quantity, wheel_mm)
    if values is None:
        return [None] * len(at)
    between = np.interp(at, curve.at, values)
    inside = (at >= curve.at[0] - 1e-6) & (at <= curve.at[-1] + 1e-6) & np.isfinite(between)
    return [float(value) if ok else None for value, ok in zip(between, inside, strict=True)]


def curve_rows(curves: CornerCurves) -> Iterator[Sequence[str | float]]:
    """All curves as rows of a table to keep; see ``CSV_HEAD``. Readings come last."""
    for name, over, curve in (
        ("before", TRAVEL, curves.before),
        ("after", TRAVEL, curves.after),
        ("before", LOCK, curves.steer_before),
        ("after", LOCK, curves.steer_after),
    ):
        if curve is not None:
            yield from _curve_rows(name, over, curve, curves.wheel_mm)
    for read in curves.readings:
        camber, toe = (for_machines(value, 4) for value in (read.camber_deg, read.toe_deg))
        yield ("read", TRAVEL, for_machines(read.at, 3), camber, toe, "", "", "", "")


def _curve_rows(
    name: str, over: str, curve: Curve, wheel_mm: tuple[float, float]
) -> Iterator[Sequence[str | float]]:
    track = contact_shift(curve, *wheel_mm)
    for index, at in enumerate(curve.at):
        caster = "" if curve.caster_deg is None else for_machines(curve.caster_deg[index], 4)
        yield (
            name,
            over,
            for_machines(at, 3),
            for_machines(curve.camber_deg[index], 4),
            for_machines(curve.toe_deg[index], 4),
            caster,
            for_machines(curve.outboard_mm[index], 3),
            for_machines(track[index], 3),
            "" if curve.rack_mm is None else for_machines(curve.rack_mm[index], 3),
        )


# Maps


def mapped_places(answer: CornerAnswer) -> list[SpotAnswer]:
    """Places whose clearance changes over travel and lock, the tightest first."""
    moving = [p for p in answer.places if p.carried_by in (BODY, LINK) and p.is_measured]
    return sorted(moving, key=lambda place: place.spare_mm)


def map_choices(
    check: ClearanceCheck, corner: str, answer: CornerAnswer, shown: str = ""
) -> list[Choice]:
    base = reverse("clearance_map", args=[check.pk, corner])
    return [
        Choice(
            capital(place.place),
            f"{base}?{urlencode({'place': place.place})}",
            place.place == shown,
        )
        for place in mapped_places(answer)
    ]


def map_plot(check: ClearanceCheck, corner: str, place: SpotAnswer) -> Plot:
    """Clearance of one place over travel and lock. Raises CannotPlot."""
    question = asked(check)
    try:
        setting = setting_of(corner, question.corners[corner], question.duty)
        clearances = map_of(setting, place)
    except (Unreachable, RestsOnStops, NothingToMap) as stuck:
        raise CannotPlot(f"The map cannot be drawn: {reason_text(stuck)}.") from stuck
    title = message("map.title", spot=place.place, corner=message(f"corner.{corner}"))
    scene = lettered_for(map_scene(clearances, place, title=title, letter=letter_for()))
    svg = svg_of(scene, id_prefix=f"map-{check.pk}-{corner.lower()}")
    return Plot(svg, scene.legend, _map_figures(clearances, place.shift_mm))


def _map_figures(clearances: ClearanceMap, shift: float) -> Figures:
    """Rows of travel, highest first, against lock."""
    travel = _steps(clearances.travel_mm, MAP_STEP[TRAVEL])[::-1]
    steer = _steps(clearances.steer_deg, MAP_STEP[LOCK])
    rows = []
    for height in travel:
        values = clearances.at(np.full(len(steer), height), steer) + shift
        rows.append((float(height), *(None if np.isnan(v) else float(v) for v in values)))
    names = [
        f"{fixed(angle, 0, signed=True)}°" if angle else "straight" for angle in steer.tolist()
    ]
    return Figures(("travel, mm", *names), tuple(rows), 1)


def _steps(values: np.ndarray, step: float) -> np.ndarray:
    low, high = float(np.min(values)), float(np.max(values))
    return np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step + 0.0


def plot_context(
    check: ClearanceCheck, corner: str, kind: str, choices: list[Choice]
) -> dict[str, Any]:
    """What both kinds of plot pages share; ``kind`` is "curves" or "map"."""
    return {
        "check": check,
        "order": check.order,
        "corner": corner,
        "corner_name": corner_said(corner),
        "kind": kind,
        "target": f"{kind}-{corner}",
        "choices": choices,
    }

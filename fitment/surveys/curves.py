"""A survey's own curves with a bump-steer sheet over them, and fitted joints in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

import numpy as np
from django.urls import reverse
from django.utils.translation import gettext

from alignment.geometry.bump_steer_sheet import MeasuredMotion, overlay_of
from alignment.geometry.hub_position import Curve, travel_curve
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import MeasuredTravel, Planned
from alignment.geometry.motion import Motion, motion_of
from alignment.text.render import render
from common.message import Message, message
from fitment.drawings.data import Choice, Figures, Plot
from fitment.drawings.drawn import svg_of
from fitment.engine import checkfile
from fitment.engine.curves.corner_curves import CAMBER, TOE, Mark, Read, figures
from fitment.engine.drawing.curve_drawing import curve_scene
from fitment.models import CornerSurvey
from fitment.surveys.joints import MovedJoint
from fitment.text.labels import JOINT_WORDS
from fitment.text.lettering import letter_for, lettered_for

SHOWN = {TOE: "Toe", CAMBER: "Camber"}
POINTS = 41
STEP_MM = 10.0
#: As far into bump as a curve is drawn where the stop is not known, mm.
UNKNOWN_BUMP_MM = 60.0


def joint_rows(moved: Iterable[MovedJoint]) -> list[tuple[str, MovedJoint]]:
    """Moved joints with their words."""
    return [(_joint_words(row.name), row) for row in moved]


def _joint_words(name: str) -> str:
    if "/" in name:
        rod, end = name.rsplit("/", 1)
        return f"link “{rod}”, {end} end"
    return gettext(JOINT_WORDS[name]) if name in JOINT_WORDS else name


def sheet_plot(survey: CornerSurvey, show: str) -> dict[str, Any]:
    """The model's curve as surveyed, the readings over it, and what the check then uses."""
    show = show if show in SHOWN else TOE
    base = reverse("travel_sheet", args=[survey.car_model_id, survey.corner])
    context: dict[str, Any] = {
        "target": "sheet-plot",
        "choices": [
            Choice(words, f"{base}?{urlencode({'show': name})}", name == show)
            for name, words in SHOWN.items()
        ],
    }
    try:
        return context | {"plot": _plot(survey, show)}
    except Unreachable as stuck:
        return context | {"cannot": f"The curve cannot be drawn: {render(stuck.message)}."}


def _plot(survey: CornerSurvey, show: str) -> Plot:
    measured = checkfile.parse_corner_survey(survey.document)
    pose, sheet = measured.survey, measured.suspension.measured
    bare = motion_of(replace(measured.suspension, measured=None), pose.camber_deg, pose.toe_deg)
    low, high = _span(measured)
    lines: list[tuple[Message, Curve]] = [
        (message("curve.model"), _curve(bare, pose.toe_deg, low, high))
    ]
    readings: list[Read] = []
    if sheet is not None:
        used = MeasuredMotion(bare, overlay_of(bare, sheet, pose.toe_deg))
        span = _inside(sheet, low, high)
        lines.append((message("curve.used"), _curve(used, pose.toe_deg, *span)))
        readings = _readings(sheet, pose.camber_deg, pose.toe_deg)
    title = f"{SHOWN[show]} over travel as surveyed, {survey.corner_name}"
    scene = curve_scene(
        lines,
        show,
        title=title,
        letter=letter_for(),
        readings=readings,
        marks=(Mark(0.0, message("mark.as-surveyed")),),
    )
    scene = lettered_for(scene)
    svg = svg_of(scene, id_prefix=f"sheet-{survey.pk}")
    return Plot(svg, scene.legend, _figures(lines, readings, show))


def _span(measured: checkfile.Measured) -> tuple[float, float]:
    """Travel between the stops, as far as measured curves go."""
    limits, suspension = measured.limits, measured.suspension
    low, high = -limits.droop_mm, limits.bump_mm or UNKNOWN_BUMP_MM
    if suspension.is_read_as_curves:
        low = max(low, suspension.table[0].travel_mm)
        high = min(high, suspension.table[-1].travel_mm)
    return min(low, 0.0), max(high, 0.0)


def _inside(sheet: MeasuredTravel, low: float, high: float) -> tuple[float, float]:
    if not sheet.instead:
        return low, high
    return max(low, sheet.rows[0].travel_mm), min(high, sheet.rows[-1].travel_mm)


def _curve(motion: Motion, toe_deg: float, low: float, high: float) -> Curve:
    at = np.unique(np.append(np.linspace(low, high, POINTS), 0.0))
    return travel_curve(motion, motion.settle([Planned(toe_deg=toe_deg)]), at)


def _readings(sheet: MeasuredTravel, camber: float, toe: float) -> list[Read]:
    return [
        Read(
            row.travel_mm,
            None if row.camber_deg is None else camber + row.camber_deg,
            None if row.toe_deg is None else toe + row.toe_deg,
        )
        for row in sheet.rows
    ]


def _figures(lines: list[tuple[Message, Curve]], readings: list[Read], show: str) -> Figures:
    low, high = lines[0][1].at[0], lines[0][1].at[-1]
    at = np.arange(np.ceil(low / STEP_MM), np.floor(high / STEP_MM) + 1) * STEP_MM
    values = {row.at: getattr(row, f"{show}_deg") for row in readings}
    at = np.unique(np.concatenate([at, list(values)])) if values else at
    rows = []
    for spot in at:
        row: list[float | None] = [float(spot)]
        for _, curve in lines:
            known = figures(curve, show)
            inside = curve.at[0] <= spot <= curve.at[-1]
            ok = known is not None and inside
            row.append(float(np.interp(spot, curve.at, known)) if ok else None)  # type: ignore[arg-type]
        rows.append((*row, *([values.get(float(spot))] if values else [])))
    head = ("travel, mm", *(render(name) for name, _ in lines), *(["read"] if values else []))
    return Figures(head, tuple(rows), 2)

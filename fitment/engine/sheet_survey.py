"""The survey that follows from a sheet of readings, as a check file's corner has it."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

from alignment.geometry.model import CURVES
from fitment.engine import surveying
from fitment.engine.model import EDGE, POINTS, SurveyPoint
from fitment.engine.readings import HANGING, JACKED, LOCK_IN, LOCK_OUT, STANDING
from fitment.engine.sheet import Point, Sheet
from fitment.engine.surveying import BadReading

Document = dict[str, Any]
#: A point read again this near to an earlier one of its edge takes its place, degrees of clock.
SAME_CLOCK_DEG = 10.0
#: Least steps of travel between two heights for them to be two, mm.
APART_MM = 5.0


def document_of(sheet: Sheet, base: Mapping[str, Any] | None) -> Document:
    """``survey``, ``suspension`` and ``limits`` as far as the readings go.

    What ``base``, the document that the sheet corrects, has and nobody read again is kept. May
    still lack what a survey needs: hold it against ``checkfile.parse_corner_survey``.
    Raises BadReading while not even the survey pose is known.
    """
    document: Document = copy.deepcopy(dict(base or {}))
    pose = sheet.survey_pose
    survey = document.setdefault(
        "survey",
        {"setting": {"camber_deg": pose.camber_deg, "toe_deg": pose.toe_deg}, "features": []},
    )
    survey["features"] = _features(sheet, survey["features"])
    if "suspension" not in document:
        document["suspension"] = _curves(sheet)
    limits = document.setdefault("limits", {})
    if sheet.bump is not None:
        limits["bump_mm"] = round(sheet.bump.value, 1)
    if sheet.droop_mm is not None:
        limits["droop_mm"] = round(sheet.droop_mm, 1)
    for pose_name, key in ((LOCK_IN, "steer_in_deg"), (LOCK_OUT, "steer_out_deg")):
        steer = sheet.steer_deg(pose_name)
        if steer is not None:
            limits[key] = round(abs(steer), 2)
    return document


def _features(sheet: Sheet, known: Iterable[Document]) -> list[Document]:
    features = [copy.deepcopy(feature) for feature in known]
    earlier = {feature["place"]: feature for feature in features}
    by_place: dict[str, list[Point]] = {}
    for point in _of_surveys(sheet, earlier):
        by_place.setdefault(point.reading.place, []).append(point)
    for name, points in by_place.items():
        place = sheet.place(name)
        feature = earlier.get(name)
        if feature is None:
            feature = {"place": name, "carried_by": place.carried_by}
            feature |= {"shape": place.shape, "surface": place.surface, "points": []}
            features.append(feature)
        _read_anew(feature, points, is_edge=place.shape == EDGE)
    for feature in features:
        _turn_in(sheet, feature)
    return [feature for feature in features if feature.get("points") or feature.get("xyz_mm")]


def _of_surveys(sheet: Sheet, earlier: Mapping[str, Document]) -> list[Point]:
    """Points that belong into a survey: a gap at a place that is known otherwise only checks it.

    A wedge says how near a place comes, not which of its spots does.
    """
    known = {point.reading.place for point in sheet.points if point.reading.form != "gap"}
    known |= set(earlier)
    return [p for p in sheet.points if p.reading.form != "gap" or p.reading.place not in known]


def _read_anew(feature: Document, points: list[Point], *, is_edge: bool) -> None:
    """Put points into a feature: on an edge by clock, each instead of those near it."""
    new = [point.taken.point for point in points]
    if is_edge:
        new = _newest_by_clock(new)
    kept: list[Document] = []
    if "taken_at" not in feature and _runs_one_way(feature):
        kept = [row for row in feature["points"] if not _read_again(row["clock_deg"], new)]
    for key in ("xyz_mm", "taken_at"):
        feature.pop(key, None)
    rows = kept + [_row(point) for point in new]
    feature["points"] = sorted(rows, key=lambda row: row["clock_deg"]) if is_edge else rows
    if len(rows) == 1:
        feature["shape"] = POINTS  # nothing yet to be joined with
    sigma = max(point.taken.sigma_mm for point in points)
    if kept:
        sigma = max(sigma, float(feature.get("sigma_mm") or 0.0))
    feature["sigma_mm"] = round(sigma, 2)


def _runs_one_way(feature: Document) -> bool:
    """Whether points about the hub follow each other by rising clock, so that none comes back."""
    clocks = [row["clock_deg"] for row in feature.get("points", ())]
    return "xyz_mm" not in feature and all(a < b for a, b in pairwise(clocks))


def _newest_by_clock(points: list[SurveyPoint]) -> list[SurveyPoint]:
    kept: list[SurveyPoint] = []
    for point in points:
        kept = [other for other in kept if abs(other.clock_deg - point.clock_deg) > 3.0]
        kept.append(point)
    return kept


def _read_again(clock_deg: float, points: list[SurveyPoint]) -> bool:
    return any(abs(point.clock_deg - clock_deg) <= SAME_CLOCK_DEG for point in points)


def _row(point: SurveyPoint) -> Document:
    return {
        "clock_deg": round(point.clock_deg, 3),
        "radius_mm": round(point.radius_mm, 2),
        "axial_mm": round(point.axial_mm, 2),
    }


def _turn_in(sheet: Sheet, feature: Document) -> None:
    """Add the inner end of a turned-in lip to its edge."""
    read = sheet.newest("turns_in", place=feature["place"])
    by = read.number("turns_in_mm") if read else None
    if not by or feature["shape"] != EDGE or not _runs_one_way(feature):
        return
    edge = [SurveyPoint(**row) for row in feature["points"]]
    whole = surveying.turned_in(edge, by, sheet.survey_pose)
    feature["points"] = [_row(point) for point in whole]


def _curves(sheet: Sheet) -> Document:
    """Curves from the heights at which camber and toe were read; empty while those are too few."""
    own = sheet.survey_pose
    rows: dict[float, Document] = {}
    for name in (HANGING, STANDING, JACKED):
        try:
            there = sheet.pose(name)
        except BadReading:
            continue
        travel = round(sheet.travel_mm(name), 1)
        if any(abs(travel - other) < APART_MM for other in rows):
            continue
        rows[travel] = {
            "travel_mm": travel,
            "camber_deg": round(there.camber_deg - own.camber_deg, 3) if travel else 0.0,
            "toe_deg": round(there.toe_deg - own.toe_deg, 3) if travel else 0.0,
            "out_mm": 0.0,
            "forward_mm": 0.0,
        }
    if len(rows) < 2:
        return {}
    suspension: Document = {"kind": CURVES, "table": [rows[travel] for travel in sorted(rows)]}
    axis = sheet.newest("steer_axis")
    if axis is not None:
        suspension["steer_axis"] = {
            "point": [axis.number("forward_mm") or 0.0, -(axis.number("inboard_mm") or 0.0), 0.0],
            "caster_deg": axis.number("caster_deg"),
            "inclination_deg": axis.number("inclination_deg"),
        }
    return suspension

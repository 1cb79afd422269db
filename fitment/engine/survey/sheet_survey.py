"""The survey that follows from a sheet of readings, as a check file's corner has it."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

import numpy as np

from alignment.geometry.model import CURVES, STRUT, TravelReading
from fitment.engine.model import BODY, EDGE, KNUCKLE, POINTS, STRUT_BODY, SurveyPoint
from fitment.engine.survey import joints, surveying, typical
from fitment.engine.survey.joined import is_single, parted, single_spots_of
from fitment.engine.survey.reading_sheet import Point, Sheet
from fitment.engine.survey.reading_sigmas import (
    BEYOND_DEG,
    CHANGE_DEG,
    SHIFT_READ_MM,
    TOE_STRING_DEG,
    TOE_UNREAD_DEG,
)
from fitment.engine.survey.readings import (
    HANGING,
    JACKED,
    LOCK_IN,
    LOCK_OUT,
    LOCKS,
    OFF_STANDING,
    PLACES,
    STANDING,
    Place,
)
from fitment.engine.survey.surveying import Pose

Document = dict[str, Any]
#: A point read again this near to an earlier one of its edge takes its place, degrees of clock.
SAME_CLOCK_DEG = 10.0
#: Least steps of travel between two heights for them to be two, mm.
APART_MM = 5.0
#: How far beyond the stop a curve is drawn on, mm.
SPARE_MM = 10.0
#: Where joints lie inboard of the hub face, and how their axis leans, if only heights were read.
PIVOT_INBOARD_MM, PIVOT_LEAN_DEG = 85.0, 12.5
#: A place of another car model is confirmed by a reading this near to where it was, mm.
CONFIRMED_MM = 6.0
#: A lone point read again is this near to where it was, mm.
SAME_POINT_MM = 15.0


def document_of(sheet: Sheet, base: Mapping[str, Any] | None) -> Document:
    """``survey``, ``suspension`` and ``limits`` as far as the readings go.

    What ``base``, the document that the sheet corrects, has is kept unless it was read again. The
    document may lack what a survey needs: hold it against ``checkfile.parse_corner_survey``.
    Raises BadReading while not even the survey pose is known.
    """
    document: Document = copy.deepcopy(dict(base or {}))
    pose = sheet.survey_pose
    survey = document.setdefault(
        "survey",
        {"setting": {"camber_deg": pose.camber_deg, "toe_deg": pose.toe_deg}, "features": []},
    )
    survey["features"] = _features(sheet, survey["features"])
    limits = document.setdefault("limits", {})
    if sheet.bump is not None:
        limits["bump_mm"] = round(sheet.bump.value, 1)
    if sheet.droop_mm is not None:
        limits["droop_mm"] = round(sheet.droop_mm, 1)
    for pose_name, key in ((LOCK_IN, "steer_in_deg"), (LOCK_OUT, "steer_out_deg")):
        steer = sheet.steer_deg(pose_name)
        if steer is not None:
            limits[key] = round(abs(steer), 2)
    was = document.get("suspension", {})
    if not was or was.get("typical"):
        document["suspension"] = _suspension(sheet, limits.get("bump_mm")) or was
    if document["suspension"].get("typical"):
        limits.setdefault("droop_mm", typical.DROOP_MM)
    _hang_on_the_hub(document)
    return document


def _hang_on_the_hub(document: Document) -> None:
    """Only a strut corner has a strut that turns by itself; elsewhere it goes with the hub."""
    if document["suspension"].get("kind") == STRUT:
        return
    for feature in document["survey"]["features"]:
        if feature.get("carried_by") == STRUT_BODY:
            feature["carried_by"] = KNUCKLE


def heights_of(sheet: Sheet) -> tuple[TravelReading, ...]:
    """Changes of camber and toe from the survey height, at the heights where they were read."""
    own, found = sheet.survey_pose, []
    for name in OFF_STANDING:
        camber, toe = sheet.angles_read(name)
        travel = sheet.travel_mm(name)
        if abs(travel) >= APART_MM and (camber is not None or toe is not None):
            changes = (
                None if angle is None else angle - was
                for angle, was in ((camber, own.camber_deg), (toe, own.toe_deg))
            )
            found.append(TravelReading(round(travel, 1), *changes))
    return tuple(found)


def _features(sheet: Sheet, known: Iterable[Document]) -> list[Document]:
    features = [copy.deepcopy(feature) for feature in known]
    earlier = {feature["place"]: feature for feature in features}
    by_place: dict[str, list[Point]] = {}
    for point in _of_surveys(sheet, earlier):
        by_place.setdefault(point.reading.place, []).append(point)
    for name, points in by_place.items():
        place = sheet.place(name)
        together, apart = parted(place, points)
        if together:
            feature = _feature(features, name, place, place.shape)
            if place.straight and len(together) > 1:
                _read_as_line(feature, together, sheet.survey_pose)
            else:
                _read_anew(feature, together)
        if apart:
            _read_anew(_feature(features, single_spots_of(name), place, POINTS), apart)
    for feature in features:
        _turn_in(sheet, feature)
    return [feature for feature in features if feature.get("points") or feature.get("xyz_mm")]


def _feature(features: list[Document], name: str, place: Place, shape: str) -> Document:
    """The feature of this name, begun if there is none."""
    for feature in features:
        if feature["place"] == name:
            return feature
    begun: Document = {"place": name, "carried_by": place.carried_by}
    begun |= {"shape": shape, "surface": place.surface, "points": []}
    features.append(begun)
    return begun


def _of_surveys(sheet: Sheet, earlier: Mapping[str, Document]) -> list[Point]:
    """Points that belong into a survey: a gap at a place that is known otherwise only checks it.

    A wedge says how near a place comes, not which of its spots does.
    """
    known = {point.reading.place for point in sheet.points if point.reading.form != "gap"}
    known |= set(earlier)
    return [p for p in sheet.points if p.reading.form != "gap" or not _is_known(p, known)]


def _is_known(point: Point, known: set[str]) -> bool:
    place = point.reading.place
    return place in known or (point.reading.pose in LOCKS and single_spots_of(place) in known)


def cannot_merge(feature: Mapping[str, Any], count: int) -> bool:
    """Whether a line on record does not run by the clock, so that one spot cannot correct it.

    Two spots or more take the line's place.
    """
    is_line = feature["shape"] == EDGE and (feature.get("points") or feature.get("xyz_mm"))
    return bool(is_line) and count < 2 and not _runs_by_clock(feature)


def _read_anew(feature: Document, points: list[Point]) -> None:
    """Put points into a feature: on an edge of the body by clock, each instead of those near it."""
    new = [point.taken.point for point in points]
    if cannot_merge(feature, len(new)):
        return
    if _waited_for_another(feature):
        feature["shape"] = EDGE
    by_clock = feature["shape"] == EDGE and feature["carried_by"] == BODY
    if by_clock:
        new = _newest_by_clock(new)
    if not feature.get("to_confirm") or _confirms(feature, new):
        feature.pop("to_confirm", None)
    kept = _kept(feature, new)
    for key in ("xyz_mm", "taken_at"):
        feature.pop(key, None)
    rows = kept + [_row(point) for point in new]
    if not kept:
        for key in ("to_confirm", "turned_in_mm"):
            feature.pop(key, None)
    feature["points"] = sorted(rows, key=lambda row: row["clock_deg"]) if by_clock else rows
    if len(rows) == 1:
        feature["shape"] = POINTS  # nothing yet to be joined with
    sigma = max(point.taken.sigma_mm for point in points)
    if kept:
        sigma = max(sigma, float(feature.get("sigma_mm") or 0.0))
    feature["sigma_mm"] = round(sigma, 2)


def _waited_for_another(feature: Document) -> bool:
    """Whether a lone spot is of an edge of which no more had been read."""
    usual = PLACES.get(feature["place"], Place())
    alone = feature["shape"] == POINTS and len(feature.get("points", ())) == 1
    return alone and usual.shape == EDGE and not is_single(feature["place"])


def _read_as_line(feature: Document, points: list[Point], pose: Pose) -> None:
    """Straight lines through space from spot to spot, along the way in which they lie apart."""
    places = np.array([surveying.position(point.taken.point, pose) for point in points])
    along = int(np.argmax(np.ptp(places, axis=0)))
    for key in ("points", "taken_at", "to_confirm", "turned_in_mm"):
        feature.pop(key, None)
    feature["shape"] = EDGE
    ordered = places[np.argsort(places[:, along])]
    feature["xyz_mm"] = [[round(float(value), 2) for value in place] for place in ordered]
    feature["sigma_mm"] = round(max(point.taken.sigma_mm for point in points), 2)


def _kept(feature: Document, new: list[SurveyPoint]) -> list[Document]:
    """Points on record that were not read again."""
    rows: list[Document] = feature.get("points", [])
    if feature["shape"] == POINTS and "taken_at" not in feature:
        return [row for row in rows if not _near(SurveyPoint(**row), new)]
    if not _runs_by_clock(feature):
        return []
    return [row for row in rows if not _read_again(row["clock_deg"], new)]


def _near(known: SurveyPoint, points: list[SurveyPoint]) -> bool:
    """Whether a lone point was read again: about the same clock, some millimetres off at most."""
    return any(
        abs(point.clock_deg - known.clock_deg) <= SAME_CLOCK_DEG
        and math.hypot(point.radius_mm - known.radius_mm, point.axial_mm - known.axial_mm)
        <= SAME_POINT_MM
        for point in points
    )


def _runs_by_clock(feature: Mapping[str, Any]) -> bool:
    """Whether it is an edge of the body whose points follow each other by rising clock."""
    return feature["carried_by"] == BODY and "taken_at" not in feature and _runs_one_way(feature)


def _confirms(feature: Document, points: list[SurveyPoint]) -> bool:
    """Whether a point lies where the place was on the car model from which it was taken over."""
    known = [SurveyPoint(**row) for row in feature.get("points", ())]
    for point in points:
        for a, b in pairwise(known):
            between = (
                min(a.clock_deg, b.clock_deg) <= point.clock_deg <= max(a.clock_deg, b.clock_deg)
            )
            if between and a.clock_deg != b.clock_deg:
                share = (point.clock_deg - a.clock_deg) / (b.clock_deg - a.clock_deg)
                radius = a.radius_mm + share * (b.radius_mm - a.radius_mm)
                axial = a.axial_mm + share * (b.axial_mm - a.axial_mm)
                if math.hypot(point.radius_mm - radius, point.axial_mm - axial) <= CONFIRMED_MM:
                    return True
        for a in known:
            apart = math.hypot(point.radius_mm - a.radius_mm, point.axial_mm - a.axial_mm)
            if abs(point.clock_deg - a.clock_deg) <= SAME_CLOCK_DEG and apart <= CONFIRMED_MM:
                return True
    return False


def _runs_one_way(feature: Mapping[str, Any]) -> bool:
    """Whether points about the hub follow each other by rising clock, so that none comes back.

    A lip of which the inner end is known is no such line: spots on its visible edge are others.
    """
    clocks = [row["clock_deg"] for row in feature.get("points", ())]
    return not {"xyz_mm", "turned_in_mm"} & feature.keys() and all(
        a < b for a, b in pairwise(clocks)
    )


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
    feature["turned_in_mm"] = by


def _suspension(sheet: Sheet, bump_mm: float | None) -> Document:
    """The joints that were read, else curves by heights, else typical ones; empty without any."""
    linkage = joints.suspension_of(sheet)
    if linkage is not None:
        return {"kind": linkage.kind, **{name: list(at) for name, at in linkage.joints.items()}}
    curves = _curves(sheet, bump_mm)
    if curves:
        return curves | _means(sheet)
    like = sheet.newest("typical")
    if like is None:
        return {}
    steered = sheet.steer_deg(LOCK_IN) is not None or sheet.steer_deg(LOCK_OUT) is not None
    document = typical.suspension_of(like.text("like"), steered=steered)
    return document | _steer_axis(sheet) | _means(sheet)


def _curves(sheet: Sheet, bump_mm: float | None) -> Document:
    """Curves from the heights at which camber was read; empty while those are too few."""
    rows: dict[float, Document] = {0.0: {"travel_mm": 0.0, "camber_deg": 0.0, "toe_deg": 0.0}}
    for name in (HANGING, STANDING, JACKED):
        camber, _ = sheet.angles_read(name)
        travel = round(sheet.travel_mm(name), 1)
        if camber is None or any(abs(travel - other) < APART_MM for other in rows):
            continue
        rows[travel] = _curve_row(sheet, name, travel)
    if len(rows) < 2:
        return {}
    table = [rows[travel] for travel in sorted(rows)]
    if bump_mm is not None and bump_mm + SPARE_MM > table[-1]["travel_mm"]:
        table.append(_carried_on(table, bump_mm + SPARE_MM))
    return {"kind": CURVES, "table": table} | _steer_axis(sheet)


def _curve_row(sheet: Sheet, name: str, travel: float) -> Document:
    own, (camber, toe) = sheet.survey_pose, sheet.angles_read(name)
    by_string = sheet.newest("toe_string", name) is not None
    toe_sigma = TOE_STRING_DEG if by_string else CHANGE_DEG
    row: Document = {
        "travel_mm": travel,
        "camber_deg": round((camber or 0.0) - own.camber_deg, 3),
        "toe_deg": 0.0 if toe is None else round(toe - own.toe_deg, 3),
        "sigma": {
            "camber_deg": CHANGE_DEG,
            "toe_deg": toe_sigma if toe is not None else round(TOE_UNREAD_DEG * abs(travel), 3),
        },
    }
    for key, shift in zip(("out_mm", "forward_mm"), sheet.shift_read(name), strict=True):
        if shift is not None:
            row[key] = round(shift, 1)
            row["sigma"][key] = SHIFT_READ_MM
    return row


def _carried_on(table: list[Document], travel: float) -> Document:
    """A row beyond the highest that was read: drawn on straight, ever less sure, and marked."""
    before, last = table[-2:]
    beyond = travel - last["travel_mm"]
    share = beyond / (last["travel_mm"] - before["travel_mm"])
    sigma = last.get("sigma", {})
    row: Document = {
        "travel_mm": round(travel, 1),
        "carried_on": True,
        "sigma": {
            key: round(sigma.get(key, 0.0) + BEYOND_DEG * beyond, 3)
            for key in ("camber_deg", "toe_deg")
        },
    }
    for key in ("camber_deg", "toe_deg"):
        row[key] = round(last[key] + share * (last[key] - before[key]), 3)
    return row


def _steer_axis(sheet: Sheet) -> Document:
    axis = sheet.newest("steer_axis")
    if axis is None:
        return {}
    return {
        "steer_axis": {
            "point": [axis.number("forward_mm") or 0.0, -(axis.number("inboard_mm") or 0.0), 0.0],
            "caster_deg": axis.number("caster_deg"),
            "inclination_deg": axis.number("inclination_deg"),
        }
    }


def _means(sheet: Sheet) -> Document:
    """What the wheel tips about, by the height of two joints; how far inboard hardly matters."""
    read, axis = sheet.newest("pivots"), sheet.newest("steer_axis")
    if read is None:
        return {}
    inboard = axis.number("inboard_mm") if axis else None
    lean = axis.number("inclination_deg") if axis else None
    rise = math.tan(math.radians(PIVOT_LEAN_DEG if lean is None else lean))
    out = -(PIVOT_INBOARD_MM if inboard is None else inboard)
    down, up = read.number("lower_mm") or 0.0, read.number("top_mm") or 0.0
    return {
        "camber_pivots": {
            "top_mount": [0.0, round(out + down * rise, 1), -down],
            "lower_arm": [0.0, round(out - up * rise, 1), up],
        }
    }

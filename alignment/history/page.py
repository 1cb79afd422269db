"""One quantity over a vehicle's visits, by time and mileage, and its drift."""

from __future__ import annotations

import math
from collections.abc import Sequence

from django.utils.translation import gettext as _

from alignment.geometry import readings
from alignment.geometry.drift import drift
from alignment.history.data import (
    KM_STEP,
    MILEAGE,
    THRUST,
    TIME,
    TOTAL,
    TRACKS,
    DriftSaid,
    History,
    Point,
    Track,
)
from alignment.models import Quantity, RackVisit, Stage
from alignment.visits.services.derived_quantities import limits_of, total_toe_of
from common.corners import AXLE_CORNERS
from shop.models import InstalledPart, Vehicle

DAYS_A_YEAR = 365.25
#: A height read with a tape (standard uncertainty, mm; judgement from practice).
HEIGHT_SIGMA_MM = 2.0


def track_of(code: str) -> Track:
    """The track of that name; the first for an unknown one."""
    return next((track for track in TRACKS if track.code == code), TRACKS[0])


def history_of(vehicle: Vehicle, track: Track) -> History:
    """One quantity over all visits, in four queries."""
    visits = list(RackVisit.objects.filter(vehicle=vehicle).with_numbers())
    parts = tuple(
        InstalledPart.objects.filter(order__vehicle=vehicle).select_related("order").order_by("at")
    )
    rows = tuple((visit, _values(visit, track)) for visit in visits)
    runs = runs_of(visits, parts)
    series = tuple(
        (
            side,
            tuple(
                Point(visit, value, _sigma(visit, track, index), run)
                for (visit, values), run in zip(rows, runs, strict=True)
                if (value := values[index]) is not None
            ),
        )
        for index, side in enumerate(track.sides)
    )
    return History(track, rows, series, parts, _drifts(track, series))


def runs_of(visits: Sequence[RackVisit], parts: Sequence[InstalledPart]) -> list[int]:
    """Numbers of runs: visits between which the car was not adjusted and no part was changed.

    A visit before the work belongs to the run of the last setting. One after the work, or in
    between, begins a new run, and so does one that follows a part, or work without readings.
    """
    runs: list[int] = []
    for index, visit in enumerate(visits):
        if index == 0:
            runs.append(0)
            continue
        last = visits[index - 1]
        touched = visit.stage != Stage.BEFORE
        touched |= any(last.at < part.at <= visit.at for part in parts)
        if last.stage == Stage.BEFORE and last.order_id != visit.order_id:
            touched |= last.order.moves_wheel_or_height
        runs.append(runs[-1] + touched)
    return runs


def _values(visit: RackVisit, track: Track) -> tuple[float | None, ...]:
    values = visit.values()
    left, right = AXLE_CORNERS[track.axle]
    if track.what == TOTAL:
        return (total_toe_of(values, track.axle),)
    if track.what == THRUST:
        toes = (values.get((left, Quantity.TOE)), values.get((right, Quantity.TOE)))
        if toes[0] is None or toes[1] is None:
            return (None,)
        return (readings.thrust_angle(toes[0], toes[1]),)
    return values.get((left, track.what)), values.get((right, track.what))


def _sigma(visit: RackVisit, track: Track, side: int) -> float:
    if track.unit == "mm":
        return HEIGHT_SIGMA_MM
    corner = AXLE_CORNERS[track.axle][side]
    # A rack with a stated accuracy of zero is as good as what it shows, a hundredth.
    one = max(readings.accuracy_to_sigma(limits_of(visit, corner, track.what)), 0.005)
    if track.what in (TOTAL, THRUST):
        return one * (math.sqrt(2) if track.what == TOTAL else 1 / math.sqrt(2))
    return one


def _drifts(track: Track, series: Sequence[tuple[str, tuple[Point, ...]]]) -> tuple[DriftSaid, ...]:
    said = []
    for side, points in series:
        for axis, per in (
            (TIME, _("a year")),
            (MILEAGE, _("in 10\u202f000\u202fkm")),
        ):
            known = [point for point in points if axis == TIME or point.visit.km is not None]
            found = drift(
                [position_of(point.visit, axis) for point in known],
                [point.value for point in known],
                [point.sigma for point in known],
                _renumbered([point.run for point in known]),
            )
            if found is not None:
                said.append(
                    DriftSaid(side, per, found, track.places + (track.places == 0), track.unit)
                )
    return tuple(said)


def position_of(visit: RackVisit, axis: str) -> float:
    """Years since the epoch, or tens of thousands of kilometres."""
    if axis == MILEAGE:
        return (visit.km or 0) / KM_STEP
    return visit.at.timestamp() / 86400 / DAYS_A_YEAR


def _renumbered(runs: Sequence[int]) -> list[int]:
    numbers = {run: number for number, run in enumerate(dict.fromkeys(runs))}
    return [numbers[run] for run in runs]

"""A vehicle's visits beside each other: one quantity over time and mileage, and its drift."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from alignment.geometry import readings
from alignment.geometry.drift import Drift, drift
from alignment.geometry.units import format_number
from alignment.models import AXLE_CORNERS, PlanAxle, Quantity, RackVisit, Stage
from alignment.visits.derived_quantities import total_toe_of, widening_of
from shop.models import InstalledPart, Vehicle

DAYS_A_YEAR = 365.25
KM_STEP = 10_000.0
#: A height read with a tape (standard uncertainty, mm; judgement from practice).
HEIGHT_SIGMA_MM = 2.0
TOTAL, THRUST = "total", "thrust"
TIME, MILEAGE = "time", "mileage"


@dataclass(frozen=True)
class Track:
    """One quantity that can be followed: what is read, on which axle, in which unit."""

    code: str
    title: str
    axle: str
    what: str
    unit: str = "°"

    @property
    def sides(self) -> tuple[str, ...]:
        return ("",) if self.what in (TOTAL, THRUST) else ("left", "right")

    @property
    def places(self) -> int:
        return 2 if self.unit == "°" else 0


FRONT, REAR = str(PlanAxle.FRONT.value), str(PlanAxle.REAR.value)
TRACKS: tuple[Track, ...] = (
    Track("camber-front", "Camber, front", FRONT, Quantity.CAMBER),
    Track("camber-rear", "Camber, rear", REAR, Quantity.CAMBER),
    Track("caster-front", "Caster, front", FRONT, Quantity.CASTER),
    Track("toe-front", "Toe per wheel, front", FRONT, Quantity.TOE),
    Track("toe-rear", "Toe per wheel, rear", REAR, Quantity.TOE),
    Track("total-front", "Total toe, front", FRONT, TOTAL),
    Track("total-rear", "Total toe, rear", REAR, TOTAL),
    Track("thrust", "Thrust angle", REAR, THRUST),
    Track("inclination-front", "Steering axis inclination, front", FRONT, Quantity.SAI),
    Track("height-front", "Ride height, front", FRONT, Quantity.RIDE_HEIGHT, "mm"),
    Track("height-rear", "Ride height, rear", REAR, Quantity.RIDE_HEIGHT, "mm"),
)


@dataclass(frozen=True)
class Point:
    """One reading of a series; ``run`` counts the settings since the first visit."""

    visit: RackVisit
    value: float
    sigma: float
    run: int


@dataclass(frozen=True)
class DriftSaid:
    """The slope of one side over one axis, with twice its standard uncertainty."""

    side: str
    per: str
    found: Drift
    places: int
    unit: str

    @property
    def text(self) -> str:
        uncertainty = format_number(2 * self.found.sigma, self.places).lstrip("+")
        return (
            f"{format_number(self.found.slope, self.places)}{self.unit} ±{uncertainty}{self.unit}"
        )

    @property
    def words(self) -> str:
        return "" if self.found.is_told else "no drift that the readings can tell"


@dataclass(frozen=True)
class History:
    """One track of one vehicle. ``rows`` are (visit, its values by side, None where not read)."""

    track: Track
    rows: tuple[tuple[RackVisit, tuple[float | None, ...]], ...]
    series: tuple[tuple[str, tuple[Point, ...]], ...]
    parts: tuple[InstalledPart, ...]
    drifts: tuple[DriftSaid, ...]

    @property
    def is_empty(self) -> bool:
        return not any(points for _, points in self.series)

    @property
    def table(self) -> list[tuple[RackVisit, list[str]]]:
        places = self.track.places
        return [(visit, [_shown(value, places) for value in values]) for visit, values in self.rows]

    @property
    def has_mileage(self) -> bool:
        known = {p.visit.km for _, points in self.series for p in points if p.visit.km is not None}
        return len(known) > 1


def track_of(code: str) -> Track:
    """The track of that name; the first for an unknown one."""
    return next((track for track in TRACKS if track.code == code), TRACKS[0])


def history_of(vehicle: Vehicle, track: Track) -> History:
    """Everything on one quantity: four queries, however many visits."""
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
    """Which visits saw the car as the one before left it; a setting or a part begins a new run.

    A visit before the work belongs to what the last setting left. One after the work, or in
    between, begins anew, and so does one that follows a part, or work without readings after it.
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
    # A rack that claims to be perfect is taken as good as what it shows, a hundredth.
    one = max(readings.accuracy_to_sigma(visit.accuracy_deg), 0.005)
    if track.what in (TOTAL, THRUST):
        return one * (math.sqrt(2) if track.what == TOTAL else 1 / math.sqrt(2))
    return one * widening_of(visit, AXLE_CORNERS[track.axle][side], track.what)


def _drifts(track: Track, series: Sequence[tuple[str, tuple[Point, ...]]]) -> tuple[DriftSaid, ...]:
    said = []
    for side, points in series:
        for axis, per in ((TIME, "a year"), (MILEAGE, "in 10\u202f000\u202fkm")):
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
    """Years (of no particular beginning) or ten thousands of kilometres."""
    if axis == MILEAGE:
        return (visit.km or 0) / KM_STEP
    return visit.at.timestamp() / 86400 / DAYS_A_YEAR


def _renumbered(runs: Sequence[int]) -> list[int]:
    numbers = {run: number for number, run in enumerate(dict.fromkeys(runs))}
    return [numbers[run] for run in runs]


def _shown(value: float | None, places: int) -> str:
    if value is None:
        return "–"
    text = format_number(value, places)
    return text.lstrip("+") if places == 0 else text

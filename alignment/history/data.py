"""What can be followed over a vehicle's visits, and the series that come of it."""

from __future__ import annotations

from dataclasses import dataclass

from alignment.geometry.drift import Drift
from alignment.geometry.units import format_number
from alignment.models import Quantity, RackVisit
from shop.models import Axle, InstalledPart

KM_STEP = 10_000.0
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


FRONT, REAR = str(Axle.FRONT.value), str(Axle.REAR.value)
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


def _shown(value: float | None, places: int) -> str:
    if value is None:
        return "–"
    text = format_number(value, places)
    return text.lstrip("+") if places == 0 else text

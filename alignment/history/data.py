"""The quantities of a vehicle's history, and their series."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.geometry.drift import Drift
from alignment.models import Quantity, RackVisit
from shop.languages.figures import format_number
from shop.models import Axle, InstalledPart

KM_STEP = 10_000.0
TOTAL, THRUST = "total", "thrust"
TIME, MILEAGE = "time", "mileage"


@dataclass(frozen=True)
class Track:
    """One quantity of the history: what is read, on which axle, in which unit."""

    code: str
    title: str | Promise
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
    Track("camber-front", gettext_lazy("Front camber"), FRONT, Quantity.CAMBER),
    Track("camber-rear", gettext_lazy("Rear camber"), REAR, Quantity.CAMBER),
    Track("caster-front", gettext_lazy("Front caster"), FRONT, Quantity.CASTER),
    Track("toe-front", gettext_lazy("Front toe per wheel"), FRONT, Quantity.TOE),
    Track("toe-rear", gettext_lazy("Rear toe per wheel"), REAR, Quantity.TOE),
    Track("total-front", gettext_lazy("Front total toe"), FRONT, TOTAL),
    Track("total-rear", gettext_lazy("Rear total toe"), REAR, TOTAL),
    Track("thrust", gettext_lazy("Thrust angle"), REAR, THRUST),
    Track(
        "inclination-front", gettext_lazy("Front steering axis inclination"), FRONT, Quantity.SAI
    ),
    Track("height-front", gettext_lazy("Front ride height"), FRONT, Quantity.RIDE_HEIGHT, "mm"),
    Track("height-rear", gettext_lazy("Rear ride height"), REAR, Quantity.RIDE_HEIGHT, "mm"),
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
    """The slope of one side over one axis, with its expanded uncertainty."""

    side: str
    per: str
    found: Drift
    places: int
    unit: str

    @property
    def text(self) -> str:
        uncertainty = format_number(self.found.expanded, self.places, signed=False)
        return (
            f"{format_number(self.found.slope, self.places)}{self.unit} ±{uncertainty}{self.unit}"
        )

    @property
    def words(self) -> str:
        return "" if self.found.is_told else _("no significant drift")


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
    return format_number(value, places, signed=places > 0)

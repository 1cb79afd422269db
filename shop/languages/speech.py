"""A language with its catalogue, and numbers in the units that somebody asked for.

Numbers use the minus sign U+2212, as everywhere. Lengths come in as millimetres and angles as
degrees, whatever they are shown in.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.utils import timezone

from shop.languages import german

if TYPE_CHECKING:
    from shop.models import Customer, WorkOrder

MINUS = "\N{MINUS SIGN}"
NOTHING = "\N{EN DASH}"
NARROW_SPACE = "\N{NARROW NO-BREAK SPACE}"
MM_PER_INCH = 25.4
KM_PER_MILE = 1.609344
NM_PER_LB_FT = 1.3558179483
BAR_PER_PSI = 0.0689475729
FT_PER_MI_OF_M_PER_KM = 5.28
MILLIMETRES, INCHES = "mm", "in"
DECIMAL, MINUTES = "decimal", "minutes"
SYMBOLS = {"EUR": "€", "GBP": "£", "USD": "$"}

ENGLISH_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
GERMAN_MONTHS = (
    "Januar",
    "Februar",
    "März",
    "April",
    "Mai",
    "Juni",
    "Juli",
    "August",
    "September",
    "Oktober",
    "November",
    "Dezember",
)


class MissingWords(KeyError):
    """A sentence that a catalogue lacks."""


@dataclass(frozen=True)
class Language:
    """``words`` maps English sentences to this language's; None for English itself.

    ``long_day`` and ``short_day`` are patterns of {weekday}, {day}, {month}, {short} and {year}.
    """

    code: str
    tag: str
    name: str
    words: Mapping[str, str] | None
    point: str
    months: tuple[str, ...]
    weekdays: tuple[str, ...]
    long_day: str
    short_day: str
    money: str


LANGUAGES: dict[str, Language] = {
    "en": Language(
        code="en",
        tag="en-GB",
        name="English",
        words=None,
        point=".",
        months=ENGLISH_MONTHS,
        weekdays=("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
        long_day="{day} {month} {year}",
        short_day="{weekday} {day} {short} {year}",
        money="{symbol}{digits}",
    ),
    "de": Language(
        code="de",
        tag="de-DE",
        name="Deutsch",
        words=german.WORDS,
        point=",",
        months=GERMAN_MONTHS,
        weekdays=("Mo", "Di", "Mi", "Do", "Fr", "Sa", "So"),
        long_day="{day}. {month} {year}",
        short_day="{weekday}, {day}. {short} {year}",
        money="{digits}{space}{symbol}",
    ),
}


@dataclass(frozen=True)
class Speech:
    """How one reader is spoken to: language, unit of lengths, form of angles."""

    language: Language
    lengths: str = MILLIMETRES
    angles: str = DECIMAL

    # Words

    def say(self, text: str, **values: object) -> str:
        """The sentence in this language, with ``values`` put into its braces."""
        words = self.language.words
        if words is not None:
            if text not in words and settings.TESTING:
                raise MissingWords(f"{self.language.code}: {text}")
            text = words.get(text, text)
        return text.format(**values) if values else text

    def may_say(self, text: str) -> str:
        """A word that people chose: in this language if the catalogue knows it, or as it is."""
        words = self.language.words
        return words.get(text, text) if words is not None else text

    def listed(self, names: list[str]) -> str:
        """ "a, b and c" """
        if len(names) < 2:
            return "".join(names)
        return self.say("{names} and {last}", names=", ".join(names[:-1]), last=names[-1])

    def within(self, label: str) -> str:
        """A label inside a sentence: English writes it small, German as it stands."""
        small = self.language.words is None
        return f"{label[:1].lower()}{label[1:]}" if small else label

    # Numbers

    def number(self, value: float | Decimal, places: int, *, signed: bool = False) -> str:
        """With this language's decimal mark; a rounded zero carries no sign."""
        rounded = f"{abs(value):.{places}f}"
        sign = ""
        if float(rounded):
            sign = MINUS if value < 0 else "+" if signed else ""
        return sign + rounded.replace(".", self.language.point)

    def plain(self, value: float | Decimal) -> str:
        """As short as the number can be written."""
        text = f"{value:g}" if isinstance(value, float | int) else f"{value.normalize():f}"
        return text.replace("-", MINUS).replace(".", self.language.point)

    @property
    def angle_unit(self) -> str:
        return "°" if self.angles == DECIMAL else "° ′"

    @property
    def length_unit(self) -> str:
        return self.lengths

    @property
    def length_word(self) -> str:
        """For a sentence, in which "in" would not be read as a unit."""
        return self.say("inches") if self.lengths == INCHES else self.lengths

    def bare_angle(self, deg: float | None, *, signed: bool = True) -> str:
        """For a column whose head names the unit: ``−1.62`` or ``−1°37′``."""
        if deg is None:
            return NOTHING
        if self.angles == DECIMAL:
            return self.number(deg, 2, signed=signed)
        total = round(abs(deg) * 60)
        sign = "" if not total else MINUS if deg < 0 else "+" if signed else ""
        return f"{sign}{total // 60}°{total % 60:02d}′"

    def angle(self, deg: float | None, *, signed: bool = True) -> str:
        """``−1.62°`` or ``−1°37′``."""
        bare = self.bare_angle(deg, signed=signed)
        return bare if deg is None or self.angles != DECIMAL else f"{bare}°"

    def bare_length(self, mm: float | None, places: int = 1, *, signed: bool = False) -> str:
        """``places`` are those of the millimetres; inches get two more, and at least two."""
        if mm is None:
            return NOTHING
        if self.lengths == INCHES:
            return self.number(mm / MM_PER_INCH, max(places + 1, 2), signed=signed)
        return self.number(mm, places, signed=signed)

    def length(self, mm: float | None, places: int = 1, *, signed: bool = False) -> str:
        """``4.2 mm`` or ``0.17 in``."""
        bare = self.bare_length(mm, places, signed=signed)
        return bare if mm is None else f"{bare} {self.lengths}"

    # Other units of those who think in inches

    def _whole(self, value: float) -> str:
        return f"{round(value):,}".replace(",", NARROW_SPACE)

    def bare_distance(self, km: float) -> str:
        """Whole kilometres or miles, the thousands apart."""
        return self._whole(km / KM_PER_MILE if self.lengths == INCHES else km)

    @property
    def distance_unit(self) -> str:
        return "mi" if self.lengths == INCHES else "km"

    def distance(self, km: float) -> str:
        """``61 400 km`` or ``38 152 mi``."""
        return f"{self.bare_distance(km)} {self.distance_unit}"

    def as_said_km(self, km: float) -> float:
        """A distance to drive, in kilometres that are round miles for those who count in miles."""
        if self.lengths != INCHES:
            return km
        miles = km / KM_PER_MILE
        step = 5 if miles < 100 else 10
        return round(miles / step) * step * KM_PER_MILE

    @property
    def torque_unit(self) -> str:
        return "N·m (lb·ft)" if self.lengths == INCHES else "N·m"

    def bare_torque(self, nm: float | Decimal) -> str:
        """``62``, and ``62 (46)`` where the head of the column names both units."""
        shown = self.plain(nm)
        if self.lengths != INCHES:
            return shown
        return f"{shown} ({self.number(float(nm) / NM_PER_LB_FT, 0)})"

    @property
    def pressure_unit(self) -> str:
        return "psi" if self.lengths == INCHES else "bar"

    def bare_pressure(self, bar: float) -> str:
        if self.lengths == INCHES:
            return self.number(bar / BAR_PER_PSI, 0)
        return self.number(bar, 1)

    @property
    def scrub_unit(self) -> str:
        return "ft/mi" if self.lengths == INCHES else "m/km"

    def bare_scrub(self, m_per_km: float) -> str:
        """How far a wheel slips sideways while it rolls."""
        scale = FT_PER_MI_OF_M_PER_KM if self.lengths == INCHES else 1.0
        return self.number(m_per_km * scale, 1)

    def money(self, value: object, currency: str) -> str:
        """``€1 234.50``, ``1 234,50 €``."""
        amount = Decimal(str(value))
        digits = f"{abs(amount):,.2f}".replace(",", NARROW_SPACE).replace(".", self.language.point)
        symbol = SYMBOLS.get(currency)
        if symbol is None:
            shown = f"{currency}{NARROW_SPACE}{digits}"
        else:
            shown = self.language.money.format(symbol=symbol, digits=digits, space=NARROW_SPACE)
        return MINUS + shown if amount < 0 else shown

    # Time

    def day(self, moment: dt.datetime | dt.date) -> str:
        """``1 November 2026``, in the shop's time zone."""
        return self._date(moment, self.language.long_day)

    def short_day(self, moment: dt.datetime | dt.date) -> str:
        """``Sun 1 Nov 2026``."""
        return self._date(moment, self.language.short_day)

    def clock(self, moment: dt.datetime) -> str:
        return f"{_local(moment):%H:%M}"

    def moment(self, moment: dt.datetime) -> str:
        return f"{self.day(moment)}, {self.clock(moment)}"

    def _date(self, moment: dt.datetime | dt.date, car_model: str) -> str:
        day = _local(moment)
        month = self.language.months[day.month - 1]
        return car_model.format(
            weekday=self.language.weekdays[day.weekday()],
            day=day.day,
            month=month,
            short=month[:3],
            year=day.year,
        )


def _local(moment: dt.datetime | dt.date) -> dt.date:
    if isinstance(moment, dt.datetime) and timezone.is_aware(moment):
        return timezone.localtime(moment)
    return moment


ENGLISH = Speech(LANGUAGES["en"])


def speech_for(customer: Customer) -> Speech:
    """How this customer wants to be spoken to; English where the language is not known."""
    language = LANGUAGES.get(customer.language, LANGUAGES["en"])
    return Speech(language, customer.units, customer.angles)


def speech_of(carrier: Any) -> Speech:
    """The speech that an order's customer or a sheet's styles carry; English for all else."""
    found = getattr(carrier, "speech", None)
    if isinstance(found, Speech):
        return found
    order: WorkOrder | None = carrier if hasattr(carrier, "customer") else None
    return speech_for(order.customer) if order is not None else ENGLISH

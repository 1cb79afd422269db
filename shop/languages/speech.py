"""How one reader is spoken to: language, and numbers in the units that they asked for.

Numbers use the minus sign U+2212, as everywhere. Lengths come in as millimetres and angles as
degrees, in any unit shown.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.utils import translation
from django.utils.formats import get_format
from django.utils.functional import Promise
from django.utils.translation import gettext, ngettext, pgettext

from common.units import MM_PER_INCH
from shop.languages import dates, formatting
from shop.languages.formatting import NOT_READ

if TYPE_CHECKING:
    from shop.models import Customer, WorkOrder

KM_PER_MILE = 1.609344
NM_PER_LB_FT = 1.3558179483
BAR_PER_PSI = 0.0689475729
FT_PER_MI_OF_M_PER_KM = 5.28
#: Lb·ft, miles and kilometres below this are written with a tenth: whole ones are too coarse.
FEW = 10
#: Inches below this are written finer still.
FINE_BELOW_IN = 0.01
#: Distances to drive are said in such steps, by the miles below which they hold.
ROUND_MILES = ((5.0, 0.5), (20.0, 1.0), (100.0, 5.0), (math.inf, 10.0))
MILLIMETRES, INCHES = "mm", "in"
DECIMAL, MINUTES = "decimal", "minutes"


@dataclass(frozen=True)
class Language:
    """A language by Django's code for it: ``en-gb``. All that is said in it is its catalogue's."""

    code: str

    @property
    def tag(self) -> str:
        """As pages and PDFs name it: ``en-GB``."""
        return language_tag(self.code)

    @property
    def name(self) -> str:
        """In the language itself: ``Deutsch``."""
        return str(dict(settings.LANGUAGES)[self.code])

    @property
    def is_english(self) -> bool:
        """Whether sentences may stand as the sources have them."""
        return self.code.partition("-")[0] == "en"

    @property
    def point(self) -> str:
        """The decimal mark."""
        return str(get_format("DECIMAL_SEPARATOR", self.code))


def language_tag(code: str) -> str:
    """A language's code as pages and PDFs name it: ``en-GB``."""
    return translation.to_locale(code).replace("_", "-")


class _Languages(Mapping[str, Language]):
    """The languages of the site by their codes; a near code answers too: ``en`` for ``en-gb``."""

    def __getitem__(self, code: str) -> Language:
        known = dict(settings.LANGUAGES)
        if code in known:
            return Language(code)
        near = [one for one in known if code and one.partition("-")[0] == code.partition("-")[0]]
        if not near:
            raise KeyError(code)
        return Language(near[0])

    def __iter__(self) -> Iterator[str]:
        return iter(dict(settings.LANGUAGES))

    def __len__(self) -> int:
        return len(settings.LANGUAGES)


LANGUAGES: Mapping[str, Language] = _Languages()


@dataclass(frozen=True)
class Speech:
    """How one reader is spoken to: language, unit of lengths, form of angles."""

    language: Language
    lengths: str = MILLIMETRES
    angles: str = DECIMAL

    def active(self) -> AbstractContextManager[None]:
        """Make this language the active one, in which labels of choices and dates are said."""
        return translation.override(self.language.code)

    # Words

    def say(self, text: str | Promise, /, **values: object) -> str:
        """The sentence in this language, with ``values`` put into its braces."""
        with self.active():
            said = str(text) if isinstance(text, Promise) else gettext(text)
        return said.format(**values) if values else said

    def say_in(self, context: str, text: str, /, **values: object) -> str:
        """The same for a word that means several things; ``context`` tells which."""
        with self.active():
            said = pgettext(context, text)
        return said.format(**values) if values else said

    def say_many(self, one: str, many: str, count: int, /, **values: object) -> str:
        """The form of a sentence that goes with ``count``, which is put into its braces, too."""
        with self.active():
            said = ngettext(one, many, count)
        return said.format(count=count, **values)

    def may_say(self, text: str) -> str:
        """A word that people chose: in this language if the catalogue has it, or as it is."""
        return self.say(text) if text else ""

    def listed(self, names: list[str]) -> str:
        """ "a, b and c" """
        if len(names) < 2:
            return "".join(names)
        return self.say("{names} and {last}", names=", ".join(names[:-1]), last=names[-1])

    def within(self, label: str) -> str:
        """A label inside a sentence: English writes it small, German as it stands.

        The catalogue says which, by translating *small* into *small* or into *as it stands*.
        """
        small = self.say_in("labels inside a sentence", "small") == "small"
        return f"{label[:1].lower()}{label[1:]}" if small else label

    # Numbers

    def number(self, value: float | Decimal, places: int, *, signed: bool = False) -> str:
        """With this language's decimal mark; a rounded zero carries no sign."""
        return formatting.number(value, places, signed=signed, point=self.language.point)

    def plain(self, value: float | Decimal, *, signed: bool = False) -> str:
        """As short as the number can be written."""
        return formatting.plain(value, signed=signed, point=self.language.point)

    @property
    def angle_unit(self) -> str:
        return "°" if self.angles == DECIMAL else "° ′"

    @property
    def length_unit(self) -> str:
        return self.say_in("unit", "in") if self.lengths == INCHES else self.lengths

    @property
    def length_word(self) -> str:
        """For a sentence, in which "in" would not be read as a unit."""
        return self.say("inches") if self.lengths == INCHES else self.lengths

    def bare_angle(self, deg: float | None, *, signed: bool = True) -> str:
        """For a column whose head names the unit: ``−1.62`` or ``−1°37′``."""
        if deg is None:
            return NOT_READ
        if self.angles == DECIMAL:
            return self.number(deg, 2, signed=signed)
        return formatting.minutes(deg, signed=signed)

    def angle(self, deg: float | None, *, signed: bool = True) -> str:
        """``−1.62°`` or ``−1°37′``."""
        bare = self.bare_angle(deg, signed=signed)
        return bare if deg is None or self.angles != DECIMAL else f"{bare}°"

    def bare_length(self, mm: float | None, places: int = 1, *, signed: bool = False) -> str:
        """``places`` are those of the millimetres; inches get one more and at least two, and what
        would read as hardly anything then another: a tenth of a millimetre is not none."""
        if mm is None:
            return NOT_READ
        if self.lengths == INCHES:
            inches = mm / MM_PER_INCH
            fine = places > 0 and abs(inches) < FINE_BELOW_IN
            return self.number(inches, max(places + 1, 2) + fine, signed=signed)
        return self.number(mm, places, signed=signed)

    def length(self, mm: float | None, places: int = 1, *, signed: bool = False) -> str:
        """``4.2 mm`` or ``0.17 in``."""
        bare = self.bare_length(mm, places, signed=signed)
        return bare if mm is None else f"{bare} {self.length_unit}"

    # Other units of those who think in inches

    def bare_distance(self, km: float) -> str:
        """Whole kilometres or miles, the thousands apart; tenths of what is under ten."""
        distance = km / KM_PER_MILE if self.lengths == INCHES else km
        tenths = round(distance, 1)
        return self.number(distance, int(abs(tenths) < FEW and tenths != round(tenths)))

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
        step = next(step for below, step in ROUND_MILES if miles < below)
        return max(round(miles / step), bool(km)) * step * KM_PER_MILE

    @property
    def torque_unit(self) -> str:
        return self.say("N·m (lb·ft)" if self.lengths == INCHES else "N·m")

    def bare_torque(self, nm: float | Decimal) -> str:
        """``62``, and ``62 (46)`` where the head of the column names both units."""
        shown = self.plain(nm)
        if self.lengths != INCHES:
            return shown
        lb_ft = float(nm) / NM_PER_LB_FT
        return f"{shown} ({self.number(lb_ft, int(round(lb_ft, 1) < FEW))})"

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
        form = self.say_in("money", "{symbol}{digits}")
        return formatting.money(value, currency, point=self.language.point, form=form)

    # Time, in the shop's zone

    def day(self, moment: dt.datetime | dt.date) -> str:
        """``1 November 2026``, ``1. November 2026``."""
        return self._dated(dates.long_day, moment)

    def short_day(self, moment: dt.datetime | dt.date) -> str:
        """``Sun 1 Nov 2026``, ``So., 01.11.2026``."""
        return self._dated(dates.short_day, moment)

    def clock(self, moment: dt.datetime) -> str:
        """``14:05``."""
        return self._dated(dates.clock, moment)

    def moment(self, moment: dt.datetime) -> str:
        """``1 November 2026, 14:05``, ``1. November 2026 um 14:05 Uhr``."""
        return self._dated(dates.long_moment, moment)

    def _dated(self, write: Callable[[Any], str], moment: dt.datetime | dt.date) -> str:
        with self.active():
            return write(moment)


ENGLISH = Speech(Language("en-gb"))


def speech_of_page() -> Speech:
    """How the reader of the page that is being made is spoken to: in the active language."""
    return Speech(LANGUAGES.get(translation.get_language() or "", ENGLISH.language))


def speech_of_shop() -> Speech:
    """How what is written down for all is said, as in the log: in the shop's own language."""
    return Speech(LANGUAGES.get(settings.LANGUAGE_CODE, ENGLISH.language))


def speech_for(customer: Customer) -> Speech:
    """How this customer wants to be spoken to; English where the language is not known."""
    language = LANGUAGES.get(customer.language, ENGLISH.language)
    return Speech(language, customer.units, customer.angles)


def speech_of(carrier: Any) -> Speech:
    """The speech that an order's customer or a sheet's styles carry; English for all else."""
    found = getattr(carrier, "speech", None)
    if isinstance(found, Speech):
        return found
    order: WorkOrder | None = carrier if hasattr(carrier, "customer") else None
    return speech_for(order.customer) if order is not None else ENGLISH

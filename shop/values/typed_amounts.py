"""Amounts, percentages and hours as typed: ``92,50 €``, ``1.250,00``, ``19 %``, ``1,5 h``.

A point or a comma that stands last and once is the decimal mark; groups of three digits are parted
by the other one, by blanks or by apostrophes. A single mark before exactly three digits could be
either and is refused, unless a zero stands before it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

#: Signs of currencies, by the codes that they may stand for.
SIGNS = {
    "€": ("EUR",),
    "$": ("USD", "CAD", "AUD", "NZD"),
    "£": ("GBP",),
    "¥": ("JPY", "CNY"),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
    "zł": ("PLN",),
    "Kč": ("CZK",),
}
HOURS = ("h", "hr", "hrs", "hour", "hours", "std", "std.", "stunde", "stunden")
PERCENT = ("%", "percent", "per cent", "prozent")
_BLANKS = re.compile(r"[\s'’]")
_PARTS = re.compile(
    r"^(?P<before>[^\d.,+\-−]*)(?P<number>[\d.,\s'’+\-−]*)(?P<after>.*)$", re.DOTALL
)
_GROUPS = re.compile(r"\d{1,3}([.,])\d{3}(?:\1\d{3})*")
#: Longer texts are no amounts.
LONGEST = 40


class NotAnAmount(ValueError):
    """What was typed cannot be read, or in two ways; the text says why."""


@dataclass(frozen=True)
class Typed:
    """A number and the unit that was typed with it: empty, ``%``, ``h``, or a currency's sign or
    code."""

    number: Decimal
    unit: str = ""

    def is_currency(self, code: str) -> bool:
        """Whether the unit may stand for the currency ``code``."""
        return self.unit.upper() == code or code in SIGNS.get(self.unit, ())


def read_typed(text: str) -> Typed:
    """Read a number with or without a unit. Raises NotAnAmount."""
    found = _PARTS.match(text.strip())
    if found is None or len(text) > LONGEST or not any(c in "0123456789" for c in text):
        raise NotAnAmount(_("Enter a number."))
    before, after = found["before"].strip(), found["after"].strip()
    if before and after:
        raise NotAnAmount(_("Enter a number with one unit at most."))
    return Typed(read_number(found["number"]), _unit(before or after))


def _unit(word: str) -> str:
    if not word:
        return ""
    low = word.lower()
    if low in PERCENT:
        return "%"
    if low in HOURS:
        return "h"
    for sign in SIGNS:
        if low == sign.lower():
            return sign
    if re.fullmatch(r"[A-Za-z]{3}", word):
        return word.upper()
    raise NotAnAmount(_("“{unit}” is not understood.").format(unit=word))


def read_number(text: str) -> Decimal:
    """Read a number with its decimal mark and its groups. Raises NotAnAmount."""
    signed = text.strip().replace("−", "-")
    parted = _BLANKS.search(signed.lstrip("+-").strip()) is not None
    bare = _BLANKS.sub("", signed)
    sign = "-" if bare.startswith("-") else ""
    bare = bare.removeprefix("-").removeprefix("+")
    marks = [c for c in bare if c in ".,"]
    if not marks:
        whole, fraction = bare, ""
    elif len(set(marks)) == 2:  # both a point and a comma
        mark = marks[-1]
        whole, _mark, fraction = bare.rpartition(mark)
        if mark in whole or not _GROUPS.fullmatch(whole):
            raise NotAnAmount(_cannot_read(text))
        whole = whole.replace(marks[0], "")
    elif len(marks) > 1:
        if not _GROUPS.fullmatch(bare):
            raise NotAnAmount(_cannot_read(text))
        whole, fraction = bare.replace(marks[0], ""), ""
    else:
        whole, _mark, fraction = bare.partition(marks[0])
        if _GROUPS.fullmatch(bare) and not parted and not whole.startswith("0"):
            raise NotAnAmount(
                _("“{text}” can be read in two ways: enter {large} or {small}.").format(
                    text=text.strip(), large=whole + fraction, small=f"{whole}.{fraction}0"
                )
            )
    digits = f"{whole or '0'}.{fraction}" if fraction else whole
    if not re.fullmatch(r"[0-9]+(\.[0-9]+)?", digits):
        raise NotAnAmount(_cannot_read(text))
    return Decimal(sign + digits)


def _cannot_read(text: str) -> str:
    return _("“{text}” is not a number that can be read.").format(text=text.strip())

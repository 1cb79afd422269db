"""Figures on the page that is being made, with the decimal mark of its language.

They are written as :mod:`common.numerals` and ``alignment.geometry.units`` write them for pure
code, under the same names; those keep the point, for machines and for what is typed into forms.
"""

from __future__ import annotations

from common import numerals
from common.numerals import Figure
from shop.languages.speech import speech_of_page


def decimal_mark() -> str:
    """The mark of the language that is active."""
    return speech_of_page().language.point


def fixed(value: Figure | None, places: int, *, signed: bool = False) -> str:
    """A number with ``places`` decimals: ``4.2``, ``4,2``."""
    return numerals.fixed(value, places, signed=signed, point=decimal_mark())


def short(value: Figure | None, most: int = 3, *, signed: bool = False) -> str:
    """A number without idle zeros: ``0.5``, ``0,5``."""
    return numerals.short(value, most, signed=signed, point=decimal_mark())


def format_number(value: Figure | None, places: int, *, signed: bool = True) -> str:
    """A number, signed unless told otherwise."""
    return fixed(value, places, signed=signed)


def format_degrees(deg: Figure | None, places: int = 2, *, signed: bool = True) -> str:
    """Decimal degrees, signed unless told otherwise: ``−1.50°``, ``−1,50°``."""
    return fixed(deg, places, signed=signed) + "°"


def format_mm(mm: Figure | None, places: int = 1, *, signed: bool = True) -> str:
    """Millimetres, signed unless told otherwise: ``+4.2 mm``, ``+4,2 mm``."""
    return fixed(mm, places, signed=signed) + " mm"

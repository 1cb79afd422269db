"""Numbers, measures, money and words as every page, sheet, sentence and export writes them.

Built on :mod:`common.numerals`, which rounds. What is not known, in any form
(None, an empty text, not-a-number), becomes an en dash. ``point`` is the reader's decimal mark.
"""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Any

from common.numerals import (
    MINUS,
    NARROW_SPACE,
    NOT_READ,
    degrees_minutes,
    exact,
    fixed,
    short,
)

__all__ = [
    "MINUS",
    "NARROW_SPACE",
    "NOT_READ",
    "capital",
    "decimal_of",
    "minutes",
    "money",
    "number",
    "plain",
    "with_unit",
]

SYMBOLS = {"EUR": "€", "GBP": "£", "USD": "$"}


def decimal_of(value: Any) -> Decimal | None:
    """The value as an exact decimal; None for nothing, for words and for what is not finite."""
    if value is None or value == "" or isinstance(value, bool):
        return None
    if isinstance(value, int | float | Decimal):
        return exact(value)
    try:
        return exact(Decimal(str(value)))
    except InvalidOperation:
        return None


def number(value: Any, places: int, *, signed: bool = False, point: str = ".") -> str:
    """``4.2``, ``−0.5``, ``1 234``; with ``signed`` also ``+4.2``."""
    return fixed(decimal_of(value), places, signed=signed, point=point, apart=NARROW_SPACE)


def plain(value: Any, most: int = 6, *, signed: bool = False, point: str = ".") -> str:
    """As short as the number can be written, with ``most`` decimals: ``2``, ``1.5``."""
    return short(decimal_of(value), most, signed=signed, point=point, apart=NARROW_SPACE)


def minutes(value: Any, *, signed: bool = True) -> str:
    """Degrees as ``−2°30′``, to the nearest minute."""
    return degrees_minutes(decimal_of(value), signed=signed)


def with_unit(text: str, unit: str) -> str:
    """A written number with its unit, which no line break parts; a dash stands alone."""
    return text if text == NOT_READ else f"{text}{NARROW_SPACE}{unit}"


def money(value: Any, currency: str, *, point: str = ".", form: str = "{symbol}{digits}") -> str:
    """``€1 234.50``; ``form`` says where the symbol stands. Others go by their code."""
    amount = decimal_of(value)
    if amount is None:
        return NOT_READ
    digits = number(abs(amount), 2, point=point)
    symbol = SYMBOLS.get(currency)
    if symbol is None:
        shown = f"{currency}{NARROW_SPACE}{digits}"
    else:
        shown = form.format(symbol=symbol, digits=digits)
    return MINUS + shown if amount < 0 and digits.strip("0.,") else shown


def capital(text: str) -> str:
    """The text with its first letter large and all others as they are."""
    return text[:1].upper() + text[1:]

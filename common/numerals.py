"""How numbers are written: rounded decimal half-up, with a true minus sign.

One way for page, sheet, sentence, drawing and export, so that one figure reads alike on all of
them. A float counts as the shortest decimal that names it: 4.85 becomes 4.9 and −1.625 becomes
−1.63, although neither is exactly so in binary. What rounds to zero carries no sign, and what is
no number (None, NaN, infinite) is an en dash.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

MINUS = "\N{MINUS SIGN}"
NOT_READ = "\N{EN DASH}"
NARROW_SPACE = "\N{NARROW NO-BREAK SPACE}"

Figure = float | int | Decimal


def exact(value: Figure | None) -> Decimal | None:
    """The value as the decimal that it is written as; None for what is no finite number."""
    if value is None:
        return None
    number = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    return number if number.is_finite() else None


def whole(text: str) -> int | None:
    """The whole number that a text is: plain digits, at most 18, which every database holds.

    None for any other text, also for digits of other kinds, as in ``²``.
    """
    plain = text.strip()
    if not (plain.isascii() and plain.isdecimal() and len(plain) <= 18):
        return None
    return int(plain)


def half_up(value: Figure, places: int) -> Decimal:
    """The value rounded to ``places`` decimals, halves away from zero. It has to be finite."""
    number = exact(value)
    if number is None:
        raise ValueError(f"not a number that can be rounded: {value!r}")
    return number.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


def fixed(
    value: Figure | None,
    places: int,
    *,
    signed: bool = False,
    point: str = ".",
    apart: str = "",
) -> str:
    """A number with ``places`` decimals: ``4.2``, ``−0.5``; ``+4.2`` where it is ``signed``.

    ``point`` is the decimal mark, ``apart`` stands between groups of three digits.
    """
    number = exact(value)
    if number is None:
        return NOT_READ
    rounded = half_up(number, places)
    digits = f"{abs(rounded):,f}".replace(",", "\0").replace(".", point).replace("\0", apart)
    return _sign(rounded, signed) + digits


def short(
    value: Figure | None, most: int = 3, *, signed: bool = False, point: str = ".", apart: str = ""
) -> str:
    """A number without idle zeros, ``most`` decimals at the most: ``5``, ``0.5``, ``114.3``."""
    number = exact(value)
    if number is None:
        return NOT_READ
    rounded = half_up(number, most).normalize()
    places = max(0, -int(rounded.as_tuple().exponent))
    return fixed(rounded, places, signed=signed, point=point, apart=apart)


def for_machines(value: Figure | None, places: int) -> str:
    """The same for a file that programs read: with the keyboard's minus, and empty for nothing."""
    return "" if exact(value) is None else fixed(value, places).replace(MINUS, "-")


def degrees_minutes(deg: Figure | None, *, signed: bool = True) -> str:
    """Degrees and whole minutes: ``−1°30′``."""
    number = exact(deg)
    if number is None:
        return NOT_READ
    total = int(half_up(60 * number, 0))
    return f"{_sign(total, signed)}{abs(total) // 60}°{abs(total) % 60:02d}′"


def _sign(rounded: Decimal | int, signed: bool) -> str:
    if not rounded:
        return ""
    return MINUS if rounded < 0 else "+" if signed else ""

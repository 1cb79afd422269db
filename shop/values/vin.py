"""Vehicle identification numbers: the check digit of 49 CFR 565.15.

Pure text work. A VIN is never refused: cars older than the rule, and cars from places
where it does not bind, have numbers that fail it.
"""

from __future__ import annotations

from django.utils.translation import gettext as _

VIN_LENGTH = 17
CHECK_POSITION = 8
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_VALUES = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}


def vin_clean(text: str) -> str:
    """Upper case, without the spaces and dashes between groups."""
    return "".join(text.split()).replace("-", "").upper()


def vin_sum(vin: str) -> int:
    """Weighted sum of a 17-character VIN; what stands in the check position weighs nothing.

    Raises ValueError for another length or for a character that a VIN cannot have.
    """
    if len(vin) != VIN_LENGTH:
        raise ValueError(f"a VIN has {VIN_LENGTH} characters, this one has {len(vin)}")
    total = 0
    for position, character in enumerate(vin):
        if position == CHECK_POSITION:
            continue
        if character not in _VALUES:
            raise ValueError(f"“{character}” cannot stand in a VIN")
        total += _VALUES[character] * _WEIGHTS[position]
    return total


def vin_check_digit(vin: str) -> str:
    """The digit (or X for ten) that belongs in the ninth place."""
    rest = vin_sum(vin) % 11
    return "X" if rest == 10 else str(rest)


def vin_warning(vin: str, *, market: str) -> str:
    """A sentence on what is odd about ``vin``, or an empty text.

    The check digit binds where ``market`` is "NA"; elsewhere only the characters and the
    length are looked at.
    """
    if not vin:
        return ""
    vin = vin_clean(vin)
    if len(vin) != VIN_LENGTH:
        return _("This VIN has {count} characters; VINs since 1981 have {length}.").format(
            count=len(vin), length=VIN_LENGTH
        )
    wrong = sorted({c for c in vin if c not in _VALUES})
    if wrong:
        return _("A VIN never contains {characters}. Perhaps 1 or 0 was meant.").format(
            characters=", ".join(wrong)
        )
    expected = vin_check_digit(vin)
    if market == "NA" and vin[CHECK_POSITION] != expected:
        return _(
            "The check digit (ninth character) should be {expected}, not {found}. "
            "Compare it with the plate on the car."
        ).format(expected=expected, found=vin[CHECK_POSITION])
    return ""

"""Telephone numbers and plates as keys: however they are grouped, one number has one key.

Pure text work. A key is for finding and comparing; what people typed stays as it is. Two numbers
of different countries may share a key, so equal keys are a question to a person, no proof.
"""

from __future__ import annotations

import re
import unicodedata

#: Country codes of one and two digits (ITU-T E.164); all others have three.
_ONE_DIGIT = frozenset("17")
_TWO_DIGITS = frozenset(
    str(code)
    for codes in (
        (20, 27, 36, 39, 81, 82, 84, 86, 98),
        range(30, 35),
        range(40, 50),
        range(51, 59),
        range(60, 67),
        range(90, 96),
    )
    for code in codes
) - {"42"}
#: What begins an extension: not part of the number itself.
_EXTENSION = re.compile(r"(?:\bext\b\.?|\bextension\b|(?<=\d)\s*x\s*(?=\d)|#|;ext=)", re.IGNORECASE)
_NATIONAL_DIGITS = 10


def telephone_key(text: str) -> str:
    """The digits of a number without country code and without the zero before the area.

    ``+49 (0)171 555-8841``, ``0049 171 5558841`` and ``0171/555 88 41`` give ``1715558841``; a
    North American number with or without its leading 1 gives ten digits. Empty for a text
    without digits.
    """
    number = _EXTENSION.split(unicodedata.normalize("NFKC", text).strip(), maxsplit=1)[0]
    digits = _digits(number)
    if number.lstrip("( ").startswith("+"):
        return _without_country(digits)
    if digits.startswith("00"):
        return _without_country(digits[2:])
    if len(digits) == _NATIONAL_DIGITS + 1 and digits.startswith("1"):
        return digits[1:]
    return digits.lstrip("0")


def plate_key(text: str) -> str:
    """Letters and digits of a plate in capitals: ``lg-tr 416`` gives ``LGTR416``."""
    plain = unicodedata.normalize("NFKC", text).upper()
    return "".join(sign for sign in plain if sign.isalnum())


def _digits(text: str) -> str:
    values = (unicodedata.decimal(sign, None) for sign in text)
    return "".join(str(value) for value in values if value is not None)


def _without_country(digits: str) -> str:
    length = 1 if digits[:1] in _ONE_DIGIT else 2 if digits[:2] in _TWO_DIGITS else 3
    return digits[length:].lstrip("0")

"""What people type at a rack, turned into degrees and millimetres, and shown back to them.

Everything that can be read in two ways is refused with the reason and with a way to write it
that cannot: a wrong sign or a wrong unit is worse than a second try.

Signs: negative camber is the top inboard; positive toe is the front edge inboard (toe-in), for
one wheel. Results are degrees for angles and millimetres for lengths, in any unit typed.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from common.numerals import degrees_minutes, fixed, half_up
from common.units import MM_PER_INCH

DEGREES = "deg"
MINUTES = "min"
MILLIMETRES = "mm"
INCHES = "in"
MARKS = "marks"
TURNS = "turns"
FLATS = "flats"
SHIMS = "shims"

#: Units in which a rack may show toe.
TOE_UNITS = (DEGREES, MINUTES, MILLIMETRES, INCHES)

#: No wheel of a car that stands on its wheels leans or points this far; beyond it something
#: other than an angle was typed. Doubtful but possible values are a matter for the form.
LARGEST_ANGLE_DEG = 90.0

#: Nothing measured on a car is longer than this (mm); a larger number is a slip.
LARGEST_LENGTH_MM = 20_000.0

_VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_FRACTION = re.compile(r"(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)")
_DEGREES_MINUTES = re.compile(
    r"""(?P<deg>\d+)\s*(?P<degmark>°)?\s*
        (?P<gap>\s)?(?P<min>\d+(?:[.,]\d+)?)\s*(?P<minmark>')?
        (?:\s*(?P<sec>\d+(?:[.,]\d+)?)\s*")?""",
    re.VERBOSE,
)
_NEGATIVE_WORDS = ("negative", "neg", "minus")
_POSITIVE_WORDS = ("positive", "pos", "plus")


class NotUnderstood(ValueError):
    """What was typed cannot be taken; the message says why and how to write it instead."""


@dataclass(frozen=True)
class Understood:
    """A number as it was understood.

    ``value`` is in degrees or millimetres (for adjusters: in ``unit``); ``unit`` is the unit in
    which it was typed; ``typed`` is the text, untouched. ``words`` say what it means where the
    number alone does not.
    """

    typed: str
    value: float
    unit: str
    words: str = ""


# ---- reading -------------------------------------------------------------------------------


def parse_angle(typed: str) -> Understood:
    """Read camber, caster or an inclination, in degrees or degrees and minutes.

    Takes ``-2.4``, ``-2,4``, ``2.4 neg``, ``2.5°``, ``1°30'``, ``1 30``, ``0°08'``, ``8'`` and
    ``1°30'15"``. Raises NotUnderstood for a length, for a sign given twice, for minutes of 60 or
    more and for a text that could mean two things.
    """
    sign, body = _split_sign(_tidy(typed), toe=False)
    if re.search(r"mm|cm|inch|\bin\b", body) or re.fullmatch(r'[\d.,\s/]+"', body):
        raise NotUnderstood(
            "This is an angle, so a length cannot be taken. Type degrees: 1.5 or 1°30'."
        )
    if "/" in body:
        raise NotUnderstood("A fraction cannot be taken as an angle. Type degrees: 1.5 or 1°30'.")
    degrees, unit = _angle_body(body)
    return Understood(typed, _checked_angle(sign * degrees), unit)


def parse_toe(
    typed: str, *, bare_unit: str | None = None, diameter_mm: float | None = None
) -> Understood:
    """Read one wheel's toe as an angle or as a length at a stated diameter; gives degrees.

    A unit that was typed always wins. ``bare_unit`` (one of ``TOE_UNITS``) is what a number
    without a unit means on this rack; with None such a number is refused. A length x at the
    diameter D (mm) where it was measured is the angle asin(x / D). ``toe in`` and ``toe out``
    give the sign in words; ``in`` alone behind a decimal number could also be inches and is
    refused.
    """
    if bare_unit is not None and bare_unit not in TOE_UNITS:
        raise ValueError(f"not a unit of toe: {bare_unit}")
    sign, body = _split_sign(_tidy(typed), toe=True)
    length = _length_body(body, bare_unit)
    if length is not None:
        millimetres, unit = length
        degrees = _toe_of_length(millimetres, diameter_mm)
    elif bare_unit == MINUTES and _NUMBER.fullmatch(body):
        degrees, unit = _number(body) / 60.0, MINUTES
    elif bare_unit is None and _NUMBER.fullmatch(body):
        raise NotUnderstood("Say the unit: 0.10°, 0°06', 1.2 mm and 1/16\" are all taken.")
    else:
        degrees, unit = _angle_body(body)
    return Understood(typed, _checked_angle(sign * degrees), unit)


def parse_length(typed: str, *, bare_unit: str = MILLIMETRES) -> Understood:
    """Read a length; gives millimetres.

    Takes ``352``, ``352 mm``, ``35.2 cm``, ``13 7/8"``, ``13.875 in``. A comma before exactly
    three digits could part thousands or decimals and is refused.
    """
    sign, body = _split_sign(_tidy(typed), toe=False)
    if re.fullmatch(r"\d+,\d{3}\D*", body):
        raise NotUnderstood(
            f"{typed.strip()} could be thousands or decimals. Leave the comma out or use a point."
        )
    if "°" in body or "'" in body:
        raise NotUnderstood(
            "This is a length, so an angle cannot be taken. Type millimetres or inches."
        )
    if bare_unit not in (MILLIMETRES, INCHES):
        raise ValueError(f"not a unit of length: {bare_unit}")
    length = _length_body(body, bare_unit)
    if length is None:
        raise NotUnderstood(_not_understood(typed, '352, 352 mm or 13 7/8"'))
    millimetres, unit = length
    if millimetres > LARGEST_LENGTH_MM:
        raise NotUnderstood(f"{typed.strip()} is longer than a car. Is the unit right?")
    return Understood(typed, sign * millimetres, unit)


def parse_position(typed: str) -> Understood:
    """Read where an adjuster stands, in the units of the hand.

    Millimetres (``3.5`` or ``3.5 mm``, inches become millimetres), degrees (``1.2°``), marks
    (``2 marks``), turns (``1 1/2 turns``), flats (``3 flats``) and shim packs by count and
    thickness (``2 × 1.5 + 1 × 0.8``, whose value is the pack's thickness in mm). A reference may
    follow, ``1 1/2 turns from the lock nut``, and turns may say ``out`` (plus) or ``in``
    (minus). ``value`` is in ``unit``.
    """
    text = re.sub(r"\s+from\b.*$", "", _tidy(typed))
    text = re.sub(r"^marks?\s*([+-]?\s*\d.*)$", r"\1 marks", text)
    if re.search(r"(?:turn|flat)s?\s+(?:out|in)$", text):
        text = ("-" if text.endswith(" in") else "+") + text.rpartition(" ")[0]
    sign, body = _split_sign(text, toe=False)
    if re.fullmatch(r"[\d.,]+\s*shims?", body):
        raise NotUnderstood("Say how thick the shims are: 3 × 1.5, or 2 × 1.5 + 1 × 0.8.")
    if re.search(r"\d\s*[x×*]", body):
        if sign < 0:
            raise NotUnderstood("A shim pack has no sign. Type what is in it: 2 × 1.5 + 1 × 0.8.")
        return Understood(typed, _shim_pack(body), SHIMS)
    for word, unit in (("mark", MARKS), ("turn", TURNS), ("flat", FLATS)):
        found = re.fullmatch(rf"(.+?)\s*{word}s?", body)
        if found:
            return Understood(typed, sign * _count(found[1], typed), unit)
    if "°" in body or "'" in body:
        degrees, _ = _angle_body(body)
        return Understood(typed, _checked_angle(sign * degrees), DEGREES)
    return Understood(typed, parse_length(text).value, MILLIMETRES)


# ---- showing back --------------------------------------------------------------------------


def format_degrees(deg: float, places: int = 2, *, signed: bool = True) -> str:
    """Decimal degrees, signed unless told otherwise; what rounds to zero has no sign."""
    return fixed(deg, places, signed=signed) + "°"


def format_minutes(deg: float) -> str:
    """Degrees and whole minutes with the sign always shown: ``−1°30′``."""
    return degrees_minutes(deg)


def format_mm(mm: float, places: int = 1, *, signed: bool = True) -> str:
    """Millimetres, signed unless told otherwise."""
    return fixed(mm, places, signed=signed) + " mm"


def format_number(value: float, places: int, *, signed: bool = True) -> str:
    """A number, signed unless told otherwise; what rounds to zero has no sign."""
    return fixed(value, places, signed=signed)


def say_camber(deg: float) -> str:
    """Camber as it was understood, with the side in words."""
    return _say(deg, "top inboard", "top outboard", "upright")


def say_toe(deg: float, diameter_mm: float | None = None) -> str:
    """One wheel's toe as it was understood, with its length where a diameter is known (mm)."""
    words = _say(deg, "toe-out", "toe-in", "straight")
    if diameter_mm is None:
        return words
    length = diameter_mm * math.sin(math.radians(deg))
    return f"{words}, {format_mm(length)} at {fixed(diameter_mm, 0)} mm"


def say_caster(deg: float) -> str:
    """Caster as it was understood, with the side in words."""
    return _say(deg, "top forward", "top rearward", "upright")


def _say(deg: float, negative: str, positive: str, zero: str) -> str:
    words = zero if not half_up(deg, 2) else (negative if deg < 0 else positive)
    return f"{format_degrees(deg)} = {format_minutes(deg)} {words}"


# ---- pieces --------------------------------------------------------------------------------


def _tidy(typed: str) -> str:
    """One spelling for minus, degree, minute and second marks; fractions spelt out."""
    text = typed.strip().lower()
    if not text:
        raise NotUnderstood("Nothing was typed.")
    for dash in "−–—‐‒":
        text = text.replace(dash, "-")
    text = re.sub(r"\s*(?:degrees|degree|deg|º|˚)", "°", text)
    text = re.sub(r"(?:′|’|‘|´|`)", "'", text)
    text = re.sub(r"(?:″|”|“|'')", '"', text)
    text = re.sub(r"\s*(?:minutes|minute|min)\b", "'", text)
    for sign, spelt in _VULGAR.items():
        text = text.replace(sign, f" {spelt}")
    text = text.replace("⁄", "/").replace("\u00a0", " ").replace("\u202f", " ")
    return re.sub(r"\s+", " ", text).strip()


def _split_sign(text: str, *, toe: bool) -> tuple[float, str]:
    """Take the sign off, whether it stands in front or in words; twice is refused."""
    signs: list[float] = []
    if text[0] in "+-":
        signs.append(-1.0 if text[0] == "-" else 1.0)
        text = text[1:].strip()
    for words, value in ((_NEGATIVE_WORDS, -1.0), (_POSITIVE_WORDS, 1.0)):
        pattern = rf"\b(?:{'|'.join(words)})\b\.?"
        if re.search(pattern, text):
            signs.append(value)
            text = re.sub(pattern, "", text).strip()
    if toe:
        text = _toe_words(text, signs)
    if len(signs) > 1:
        raise NotUnderstood(
            "The sign is given twice. Use either a sign or a word: -2.4 or 2.4 neg."
        )
    if not text:
        raise NotUnderstood("There is a sign but no number.")
    if "+" in text[0] or "-" in text:
        raise NotUnderstood(
            "There is a sign in the middle. Put it in front, and part numbers with a space."
        )
    return (signs[0] if signs else 1.0), text


def _toe_words(text: str, signs: list[float]) -> str:
    """Take "toe in", "toe-in", "out" and the like off; "in" alone behind a number is refused."""
    spelt = re.search(r"\s*\btoe[\s-]?(in|out)\b\s*|\s*\bout\b\s*", text)
    if spelt:
        signs.append(1.0 if spelt[1] == "in" else -1.0)
        return (text[: spelt.start()] + " " + text[spelt.end() :]).strip()
    if re.search(r"\d\s*in\.?$", text) and "/" not in text:
        raise NotUnderstood(
            '"in" could mean inches or toe-in. Write 0.06" for inches or 0.06 toe-in.'
        )
    return text


def _angle_body(body: str) -> tuple[float, str]:
    """Degrees of an unsigned angle, and whether degrees or minutes were typed."""
    bare = body.removesuffix("°").strip()
    if _NUMBER.fullmatch(bare):
        return _number(bare), DEGREES
    minutes_only = re.fullmatch(r"(.+?)\s*'", body)
    if minutes_only and _NUMBER.fullmatch(minutes_only[1]):
        _not_degrees_in_disguise(minutes_only[1])
        return _number(minutes_only[1]) / 60.0, MINUTES
    found = _DEGREES_MINUTES.fullmatch(body)
    if found and (found["degmark"] or " " in body):
        return _degrees_minutes(found), MINUTES
    if re.fullmatch(r"\d+[.,]", bare):
        raise NotUnderstood("The number stops at its decimal point. Type 2 or 2.0.")
    if ("." in body and "," in body) or re.search(r"[.,].*[.,]", bare):
        raise NotUnderstood("There is more than one decimal point or comma.")
    raise NotUnderstood(_not_understood(body, "-2.4, -2,4, 2.4 neg, 1°30' or 1 30"))


def _not_degrees_in_disguise(minutes: str) -> None:
    """1.30' is 1.3 minutes by its mark, but looks like one degree and thirty."""
    found = re.fullmatch(r"(\d)[.,]([0-5]\d)", minutes)
    if found:
        raise NotUnderstood(
            f"{minutes}' could be {found[1]}°{found[2]}' or {minutes} minutes. "
            f"Write {found[1]}°{found[2]}', or 0°{fixed(_number(minutes), 1):0>4}' for minutes."
        )


def _degrees_minutes(found: re.Match[str]) -> float:
    minutes_text, marked = found["min"], bool(found["minmark"])
    if found["sec"] is not None and not marked:
        raise NotUnderstood("Seconds need minutes in front of them: 1°30'15\".")
    if not marked and len(re.split(r"[.,]", minutes_text)[0]) < 2:
        raise NotUnderstood(
            f"{found.group().strip()} could be {found['deg']}°0{minutes_text}' or "
            f"{found['deg']}.{minutes_text}°. Write minutes with two digits, or with their mark."
        )
    minutes = _number(minutes_text)
    seconds = _number(found["sec"]) if found["sec"] is not None else 0.0
    if minutes >= 60 or seconds >= 60:
        raise NotUnderstood("Minutes and seconds run from 0 to 59. Is it decimal degrees?")
    return int(found["deg"]) + minutes / 60.0 + seconds / 3600.0


def _length_body(body: str, bare_unit: str | None) -> tuple[float, str] | None:
    """Millimetres of an unsigned length and its unit; None if it is no length."""
    found = re.fullmatch(r"(.+?)\s*(mm|cm|\"|inches|inch|in\.?)", body)
    if found:
        # 1°30'15" ends in the mark of inches but is an angle.
        if found[2] == '"' and ("°" in found[1] or "'" in found[1]):
            return None
        number, mark = found[1], found[2]
    elif bare_unit in (MILLIMETRES, INCHES) and "°" not in body and "'" not in body:
        number, mark = body, "mm" if bare_unit == MILLIMETRES else '"'
    elif "/" in body:
        raise NotUnderstood('A fraction needs a unit. Write 1/16" for inches.')
    else:
        return None
    if mark == "mm":
        return _plain_or_refused(number), MILLIMETRES
    if mark == "cm":
        return 10.0 * _plain_or_refused(number), MILLIMETRES
    return MM_PER_INCH * _with_fraction(number), INCHES


def _plain_or_refused(text: str) -> float:
    if "/" in text:
        raise NotUnderstood('A fraction needs inches. Write 1/16" or a decimal in millimetres.')
    if _NUMBER.fullmatch(text):
        return _number(text)
    raise NotUnderstood(_not_understood(text, "1.6 mm"))


def _with_fraction(text: str) -> float:
    if _NUMBER.fullmatch(text):
        return _number(text)
    found = _FRACTION.fullmatch(text)
    if not found:
        raise NotUnderstood(_not_understood(text, '1/16", 1 1/16" or 0.06"'))
    whole, over, under = int(found[1] or 0), int(found[2]), int(found[3])
    if under == 0:
        raise NotUnderstood("A fraction cannot be over nothing.")
    if over >= under:
        raise NotUnderstood(f'{text} is not less than one. Write the whole number apart: 1 1/16".')
    return whole + over / under


def _toe_of_length(millimetres: float, diameter_mm: float | None) -> float:
    if diameter_mm is None or diameter_mm <= 0:
        raise NotUnderstood("Toe as a length needs the diameter at which it was measured.")
    if millimetres >= diameter_mm:
        raise NotUnderstood(
            "This is more than the diameter at which it was measured. Is the unit right?"
        )
    return math.degrees(math.asin(millimetres / diameter_mm))


def _shim_pack(body: str) -> float:
    total = 0.0
    for piece in body.split("+"):
        found = re.fullmatch(r"\s*(\d+)\s*[x×*]\s*([\d.,]+)\s*(?:mm)?\s*", piece)
        if not found or not _NUMBER.fullmatch(found[2]):
            raise NotUnderstood(_not_understood(piece.strip(), "2 × 1.5 + 1 × 0.8"))
        total += int(found[1]) * _number(found[2])
    return total


def _count(text: str, typed: str) -> float:
    if _NUMBER.fullmatch(text):
        return _number(text)
    found = _FRACTION.fullmatch(text)
    if not found or int(found[3]) == 0:
        raise NotUnderstood(_not_understood(typed, "3 marks, 1 1/2 turns or 2 flats"))
    return int(found[1] or 0) + int(found[2]) / int(found[3])


def _checked_angle(degrees: float) -> float:
    if abs(degrees) >= LARGEST_ANGLE_DEG:
        raise NotUnderstood("No wheel stands at 90° or more. Is a decimal point missing?")
    return degrees + 0.0  # so that a minus in front of nothing leaves no negative zero


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _not_understood(text: str, ways: str) -> str:
    return f"“{text.strip()}” was not understood. Type it as {ways}."

"""Conditions of a measurement as people type them: pressures, temperatures, diameters for toe.

Pressures become bar, temperatures degrees Celsius, diameters and other lengths millimetres.
Refusals are ``units.NotUnderstood``, as everywhere.
"""

from __future__ import annotations

import math
import re

from alignment.geometry import units
from alignment.geometry.units import NotUnderstood, Understood
from common.numerals import fixed
from common.rims import specified_diameter_mm
from common.units import MM_PER_INCH

BAR, PSI, KILOPASCAL = "bar", "psi", "kPa"
BAR_OF = {BAR: 1.0, PSI: 0.0689475729, KILOPASCAL: 0.01}
CELSIUS, FAHRENHEIT = "C", "F"

#: Height of a J flange (mm): a rim's edge stands that far outside its specified diameter.
FLANGE_MM = 17.3
#: Diameters (mm) within which wheels of cars, and the diameters at which toe is read, lie.
SPANS_MM = {"rim": (250.0, 680.0), "tyre": (430.0, 1100.0), "stated": (200.0, 3000.0)}
#: A bare number up to this at a rim's edge is a rim's code in inches or a slip, never a length.
LARGEST_CODE = 26.0

_NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
_TYRE = re.compile(
    r"(?:P|LT)?\s*(\d{3})\s*/\s*(\d{2})\s*(?:Z?R|-)\s*(\d{2})(?:\s+.*)?", re.IGNORECASE
)


def parse_pressure(typed: str) -> Understood:
    """Tyre pressure in bar from ``2.4``, ``2,4 bar``, ``35 psi`` or ``240 kPa``; bare is bar."""
    found = re.fullmatch(rf"({_NUMBER})\s*(bar|psi|kpa)?\.?", _tidy(typed), re.IGNORECASE)
    if not found:
        raise NotUnderstood(f"“{typed.strip()}” was not understood. Type it as 2.4 bar or 35 psi.")
    unit = {"psi": PSI, "kpa": KILOPASCAL}.get((found[2] or "").lower(), BAR)
    value = _number(found[1]) * BAR_OF[unit]
    if value <= 0:
        raise NotUnderstood("A tyre pressure must be above zero.")
    if found[2] is None and value > 90:
        raise NotUnderstood(f"Say the unit: {found[1]} kPa, or the pressure in bar.")
    if value > 20:
        others = other_pressures(value) if found[2] is None else []
        asked = f"Was it {' or '.join(others)}?" if others else "Is the unit right?"
        raise NotUnderstood(f"{typed.strip()} is more than a tyre holds. {asked}")
    return Understood(typed, value, unit)


def other_pressures(number: float) -> list[str]:
    """Units other than bar in which a bare number would be an everyday pressure of a car."""
    return [
        f"{number:g} {unit}" for unit in (PSI, KILOPASCAL) if 1.2 <= number * BAR_OF[unit] <= 4.5
    ]


def parse_temperature(typed: str) -> Understood:
    """Degrees Celsius from ``18``, ``18 °C``, ``-3`` or ``64 °F``."""
    found = re.fullmatch(rf"({_NUMBER})\s*°?\s*([cf])?", _tidy(typed), re.IGNORECASE)
    if not found:
        raise NotUnderstood(f"“{typed.strip()}” was not understood. Type it as 18 °C.")
    unit = FAHRENHEIT if (found[2] or "").lower() == "f" else CELSIUS
    value = _number(found[1])
    if unit == FAHRENHEIT:
        value = (value - 32.0) / 1.8
    if not -40 <= value <= 60:
        raise NotUnderstood("Too hot or too cold to measure a car. If it is in °F, type 64 °F.")
    return Understood(typed, value, unit)


def parse_toe_diameter(typed: str, place: str) -> Understood:
    """Diameter (mm) at which a toe length was read; ``place`` is "rim", "tyre" or "stated".

    At the rim ``17"`` is the rim's code: its edge stands a flange outside the specified diameter
    on each side. At the tyre a size as ``225/45R17`` gives its design diameter (UN R30, 6.1.2).
    A bare number that could be a code or millimetres is refused.
    """
    text = typed.strip()
    size = _TYRE.fullmatch(text)
    if size:
        if place != "tyre":
            raise NotUnderstood(
                "That is a tyre's size. Say that toe was measured at the tyre's tread."
            )
        across = _tyre_diameter(*(int(part) for part in size.groups()))
        said = f"{text}: its tread → {units.format_mm(across, 0, signed=False)}"
        return Understood(typed, across, "mm", said)
    bare = re.fullmatch(_NUMBER, text)
    if bare and 8 <= _number(text) <= LARGEST_CODE:
        raise NotUnderstood(
            f'{text} could be inches or millimetres. Write {text}" for a rim of {text} inches, '
            f"or the diameter in millimetres, as {fixed(rim_edge_mm(_number(text)), 0)}."
        )
    length = units.parse_length(typed)
    if length.value <= 0:
        raise NotUnderstood("A diameter must be above zero.")
    if length.unit != units.INCHES:
        return _within(length, place)
    code = length.value / MM_PER_INCH
    across = rim_edge_mm(code)
    if place == "rim":
        said = f"{code:g} in rim: its edge → {units.format_mm(across, signed=False)}"
        return _within(Understood(typed, across, units.INCHES, said), place)
    said = f"{code:g} in → {units.format_mm(length.value, signed=False)}"
    if place == "stated" and code <= LARGEST_CODE:
        said += f"; the edge of a {code:g} in rim is at {units.format_mm(across, signed=False)}"
    return _within(Understood(typed, length.value, units.INCHES, said), place)


def _within(diameter: Understood, place: str) -> Understood:
    """The diameter, if a wheel can have it there; one that is plausible in centimetres says so."""
    low, high = SPANS_MM.get(place, SPANS_MM["stated"])
    if low <= diameter.value <= high:
        return diameter
    shown = units.format_mm(diameter.value, 0, signed=False)
    more = ""
    if diameter.unit == units.MILLIMETRES and low <= 10 * diameter.value <= high:
        more = f" Was it {diameter.value:g} cm? Then type {10 * diameter.value:g}."
    raise NotUnderstood(
        f"{shown} is no diameter there: it lies between {fixed(low, 0)} and {fixed(high, 0)} mm."
        f"{more}"
    )


def rim_edge_mm(code: float) -> float:
    """Diameter over the flanges of a rim of this code."""
    return specified_diameter_mm(code) + 2 * FLANGE_MM


def parse_toe_total(
    typed: str, *, bare_unit: str | None = None, diameter_mm: float | None = None
) -> Understood:
    """Total toe of an axle in degrees.

    A length is the difference across the axle, front to rear, at the diameter: both wheels turned
    alike by half the angle make it, so it is 2 asin(x / 2D).
    """
    read = units.parse_toe(typed, bare_unit=bare_unit, diameter_mm=diameter_mm)
    if read.unit not in (units.MILLIMETRES, units.INCHES):
        return read
    share = math.sin(math.radians(read.value)) / 2.0
    return Understood(typed, 2.0 * math.degrees(math.asin(share)), read.unit)


def _tyre_diameter(width: int, aspect: int, code: int) -> float:
    height = math.floor(width * aspect / 100.0 + 0.5)
    return math.floor(code * MM_PER_INCH + 0.5) + 2.0 * height


def _tidy(typed: str) -> str:
    text = typed.strip()
    for dash in "−–—":
        text = text.replace(dash, "-")
    if not text:
        raise NotUnderstood("Nothing was typed.")
    return text


def _number(text: str) -> float:
    return float(text.replace(",", "."))

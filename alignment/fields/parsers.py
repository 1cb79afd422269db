"""How each kind of field is read, and how what was understood is said."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial

from alignment.geometry import conditions, units
from alignment.geometry.units import Understood
from alignment.models import LENGTHS, Quantity, ToePlace
from common.numerals import whole
from shop.languages import figures, formatting
from shop.languages.figures import fixed, short

Reader = Callable[[str], Understood]


def reader_of(
    kind: str, toe_unit: str, diameter_mm: float | None, toe_place: str = ToePlace.STATED
) -> tuple[Reader, Callable[[float], str]]:
    """How a kind of field is read, and how what was understood is said."""
    if kind in (Quantity.TOE, Quantity.TOE_TOTAL):
        read = units.parse_toe if kind == Quantity.TOE else conditions.parse_toe_total
        return (
            partial(read, bare_unit=toe_unit, diameter_mm=diameter_mm),
            partial(units.say_toe, diameter_mm=diameter_mm),
        )
    if kind in CONDITIONS:
        return CONDITIONS[kind]
    if kind == "toe_diameter":
        return (
            partial(conditions.parse_toe_diameter, place=toe_place),
            partial(figures.format_mm, signed=False),
        )
    if kind == Quantity.CAMBER:
        return units.parse_angle, units.say_camber
    if kind == Quantity.CASTER:
        return units.parse_angle, units.say_caster
    if kind == "position":
        return units.parse_position, bare_number
    if kind == "change":
        return units.parse_length, figures.format_mm
    if kind in (*LENGTHS, "length"):
        return units.parse_length, partial(figures.format_mm, signed=False)
    return units.parse_angle, figures.format_degrees


def read_ratio(typed: str) -> Understood:
    """Turns of the steering wheel for one of the road wheels: ``15.5`` or ``15.5:1``."""
    number = units.parse_length(typed.strip().removesuffix(":1"))
    if not 4 <= number.value <= 40:
        raise units.NotUnderstood("A steering ratio lies between 4 and 40.")
    return Understood(typed, number.value, "ratio")


def read_mileage(typed: str) -> Understood:
    """Whole kilometres; spaces and points between thousands are taken, miles when said."""
    text = typed.strip().lower()
    scale = 1.609344 if text.endswith("mi") else 1.0
    text = text.removesuffix("km").removesuffix("mi").strip()
    digits = re.sub(r"[\s.,\u202f](?=\d{3}(?!\d))", "", text)
    count = whole(digits)
    if count is None or count > 3_000_000:
        raise units.NotUnderstood(f"“{typed.strip()}” was not understood. Type it as 61400 km.")
    return Understood(typed, round(count * scale), "km")


def say_mileage(value: float) -> str:
    return f"{formatting.number(value, 0)} km"


def bare_number(value: float) -> str:
    return figures.format_number(value, 2)


#: Conditions that are typed: how each is read, and how it is said.
CONDITIONS: dict[str, tuple[Reader, Callable[[float], str]]] = {
    str(Quantity.PRESSURE.value): (conditions.parse_pressure, lambda bar: f"{fixed(bar, 2)} bar"),
    "temperature": (conditions.parse_temperature, lambda celsius: f"{fixed(celsius, 0)} °C"),
    "mileage": (read_mileage, say_mileage),
    "ratio": (read_ratio, lambda ratio: f"{short(ratio)} : 1"),
}

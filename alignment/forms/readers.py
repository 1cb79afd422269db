"""How each kind of field is read, and how what was understood is said."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from alignment.geometry import units
from alignment.geometry.units import Understood
from alignment.models import LENGTHS, Quantity

Reader = Callable[[str], Understood]


def reader_of(
    kind: str, toe_unit: str, diameter_mm: float | None
) -> tuple[Reader, Callable[[float], str]]:
    """How a kind of field is read, and how what was understood is said."""
    if kind == Quantity.TOE:
        return (
            partial(units.parse_toe, bare_unit=toe_unit, diameter_mm=diameter_mm),
            partial(units.say_toe, diameter_mm=diameter_mm),
        )
    if kind == Quantity.CAMBER:
        return units.parse_angle, units.say_camber
    if kind == Quantity.CASTER:
        return units.parse_angle, units.say_caster
    if kind == "position":
        return units.parse_position, bare_number
    if kind == "change":
        return units.parse_length, units.format_mm
    if kind in (*LENGTHS, "length"):
        return units.parse_length, partial(units.format_mm, signed=False)
    return units.parse_angle, units.format_degrees


def bare_number(value: float) -> str:
    return units.format_number(value, 2)

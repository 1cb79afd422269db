"""Wheels, tyres, spacers and values that a search file lists."""

from __future__ import annotations

from decimal import Decimal
from math import isnan

from fitment.engine.checkfile import plausible
from fitment.engine.checkfile.reader import Node, Range, Table, show
from fitment.engine.checkfile.setting import read_tyre, read_wheel
from fitment.engine.model import Wheel
from fitment.engine.search.space import SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    SPEED_SYMBOL_KMH,
    BadSize,
    size_of,
)

#: Wheels or tyres, and values of one setting, that a file may list.
MOST_CHOICES, MOST_VALUES = 20_000, 500
MONEY = Range(0, 1e7)
LOAD_INDEX = Range(min(LOAD_INDEX_KG), max(LOAD_INDEX_KG))
#: Where a tyre's size cannot be read, its figures are held against this wheel.
ANY_WHEEL = Wheel(17.0, 8.0, 0.0)


def read_wheels(search: Table) -> tuple[WheelChoice, ...] | None:
    """The wheels of a list; None where there is none."""
    node = search.maybe("wheels")
    if node is None:
        return None
    names: set[str] = set()
    return tuple(_wheel(row, names) for row in node.rows(1, MOST_CHOICES))


def _wheel(row: Node, names: set[str]) -> WheelChoice:
    table = row.table()
    name, price = _name(table, names), _price(table)
    wheel = read_wheel(table)
    if wheel.spacer_mm:
        table.problem("spacer_mm", "belongs into spacers_mm of the search")
    return WheelChoice(name, wheel, price)


def read_tyres(search: Table) -> tuple[TyreChoice, ...] | None:
    """The tyres of a list; None where there is none."""
    node = search.maybe("tyres")
    if node is None:
        return None
    names: set[str] = set()
    return tuple(_tyre(row, names) for row in node.rows(1, MOST_CHOICES))


def _tyre(row: Node, names: set[str]) -> TyreChoice:
    table = row.table()
    name, price, rims = _name(table, names), _price(table), _rims(table)
    index, symbol = read_load_index(table), read_speed_symbol(table)
    tyre = read_tyre(table, _wheel_for(table))
    return TyreChoice(name, tyre, price, index, symbol, rims)


def _wheel_for(table: Table) -> Wheel:
    """A wheel that a tyre's figures can be held against: the one that its size is measured on."""
    text = table.content.get("size")
    try:
        size = size_of(text if isinstance(text, str) else "")
    except BadSize:
        return ANY_WHEEL
    return Wheel(size.rim_in, size.measuring_rim_in, 0.0)


def _rims(table: Table) -> tuple[float, float] | None:
    node = table.maybe("rim_in")
    if node is None:
        return None
    low, high = node.pair(plausible.RIM_WIDTH, plausible.RIM_WIDTH)
    if low > high:
        node.problem(f"begins at {low:g}, above where it ends, {high:g}")
    return low, high


def read_spacers(search: Table) -> tuple[SpacerChoice, ...]:
    """Thicknesses of spacers, a number or ``{"mm": 5, "price": 20}``; a bare number is free."""
    found: list[SpacerChoice] = []
    for row in search.rows("spacers_mm", 0, MOST_VALUES):
        if isinstance(row.value, dict):
            with row.table() as table:
                one = SpacerChoice(table.number("mm", plausible.SPACER), _price(table))
        else:
            one = SpacerChoice(row.number(plausible.SPACER))
        if any(other.mm == one.mm for other in found):
            row.problem(f"{one.mm:g} mm stands more than once")
        found.append(one)
    return tuple(found)


def read_values(search: Table, key: str, within: Range) -> list[float]:
    """Values of one setting, each once."""
    found: list[float] = []
    for row in search.rows(key, 0, MOST_VALUES):
        value = row.number(within)
        if value in found:
            row.problem(f"{value:g} stands more than once")
        found.append(value)
    return found


def read_load_index(table: Table) -> int | None:
    """A load index of the table of UN R30."""
    value = table.maybe_number("load_index", LOAD_INDEX)
    if value is None or isnan(value):
        return None
    if value != int(value):
        table.problem("load_index", f"{value:g} is not a whole number")
        return None
    return int(value)


def read_speed_symbol(table: Table) -> str:
    """A speed symbol of the table of UN R30; empty where there is none."""
    return table.choice("speed_symbol", tuple(SPEED_SYMBOL_KMH), default="")


def _name(table: Table, names: set[str]) -> str:
    """A name that no other entry of the list has."""
    name = table.text("name")
    if name in names:
        table.problem("name", f"{show(name)} stands more than once")
    elif name:
        names.add(name)
    return name


def _price(table: Table) -> Decimal | None:
    """Price of one; None where the file has none."""
    price = table.maybe_number("price", MONEY)
    return None if price is None or isnan(price) else Decimal(str(price))

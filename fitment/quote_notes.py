"""What a quote tells of ways to clear: the one that was chosen and those that were declined."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from fitment.bench import AXLES
from fitment.forms.bench import start_of
from fitment.models import RoomCheck, WaysSearch
from fitment.services.car import Car, car_of_order
from fitment.services.checks import check_state

if TYPE_CHECKING:
    from shop.models import WorkOrder

#: Figures of a set-up; the others are names.
FIGURES = ("spacer", "camber", "toe", "height", "packer")
NAMES = ("wheel", "tyre", "size", "by")
SAME = 1e-3


def ways_notes(order: WorkOrder) -> list[dict[str, Any]]:
    """By axle the set-up that is quoted and the other ways of the latest search, with prices.

    An axle that was never searched says nothing.
    """
    searches: dict[str, WaysSearch] = {}
    for search in WaysSearch.objects.filter(order=order):
        searches.setdefault(search.axle, search)
    if not searches:
        return []
    car, check = car_of_order(order), check_state(order).current
    notes = [_note(car, searches[axle], check) for axle in AXLES if axle in searches]
    return [note for note in notes if note["rows"]]


def _note(car: Car, search: WaysSearch, check: RoomCheck | None) -> dict[str, Any]:
    now = start_of(car, search.axle)
    chosen = next((way for way in search.found if same_set_up(way["put"], now)), None)
    rows = [_row("chosen", chosen)] if chosen else [_as_it_is(car, search, check)]
    rows += [_row("declined", way) for way in search.shown if way is not chosen]
    return {"axle": search.axle, "rows": rows}


def _row(choice: str, way: Mapping[str, Any]) -> dict[str, str]:
    return {
        "choice": choice,
        "words": way["words"],
        "verdict": way["verdict"],
        "price": way["price"] or "",
    }


def _as_it_is(car: Car, search: WaysSearch, check: RoomCheck | None) -> dict[str, str]:
    """The order's own set-up, where none of the ways was taken."""
    row = car.wheels.get(search.axle)
    price = ""
    if row is not None and row.wheel.price is not None and row.tyre.price is not None:
        price = str(2 * (row.wheel.price + row.tyre.price))
    return {
        "choice": "chosen",
        "words": str(row or "As it is"),
        "verdict": check.result if check else "not checked",
        "price": price,
    }


def same_set_up(one: Mapping[str, str], other: Mapping[str, str]) -> bool:
    """Whether two set-ups, as the bench writes them, are the same; empty is nothing."""

    def figure(put: Mapping[str, str], name: str) -> float:
        return float(put.get(name) or 0.0)

    return all((one.get(name) or "") == (other.get(name) or "") for name in NAMES) and all(
        abs(figure(one, name) - figure(other, name)) < SAME for name in FIGURES
    )

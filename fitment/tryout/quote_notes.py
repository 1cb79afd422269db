"""What a quote says of options: the one that was chosen and those that were declined."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from alignment.text.render import Reader, customer, render
from common.canonical_json import digest_of
from common.corners import AXLES, axle_of
from common.message import message
from common.verdicts import GateResult
from fitment.engine.search.prices import pair_price
from fitment.job.car import Car, car_of_order
from fitment.job.state import check_state
from fitment.models import ClearanceCheck, OptionSearch
from fitment.text.options import cautions_text, option_text
from fitment.tryout.services.trial import start_of
from shop.languages import speech_of
from shop.languages.formatting import capital

if TYPE_CHECKING:
    from shop.models import WorkOrder


#: Figures of a set-up; the others are names.
FIGURES = ("spacer", "camber", "toe", "height", "packer")
NAMES = ("wheel", "tyre", "size", "by", "lips")
SAME = 1e-3
#: Of the digest that names an option on a page.
KEY_DIGITS = 16


def options_notes(order: WorkOrder) -> list[dict[str, Any]]:
    """By axle the set-up that is quoted and the other options of the latest search, with prices.

    Without a search, the options beside the current clearance check stand for it; an axle
    without either says nothing, but for arch lips that are planned to be rolled.
    """
    found: dict[str, list[dict[str, Any]]] = {}
    check = check_state(order).current
    for corner, beside in (check.options if check else {}).items():
        found.setdefault(axle_of(corner), beside["found"])
    searched: set[str] = set()
    for search in OptionSearch.objects.filter(order=order):
        if search.axle not in searched:
            found[search.axle] = search.found
            searched.add(search.axle)
    car = car_of_order(order)
    rolled = {axle for axle, plan in car.plans.items() if plan.rolled_lips}
    axles = [axle for axle in AXLES if found.get(axle) or axle in rolled]
    return [
        {**_note(car, axle, found.get(axle, []), check), "rolled": axle in rolled} for axle in axles
    ]


def _note(
    car: Car, axle: str, found: list[dict[str, Any]], check: ClearanceCheck | None
) -> dict[str, Any]:
    reader, now = customer(speech_of(car.order)), start_of(car, axle)
    chosen = next((option for option in found if same_set_up(option["put"], now)), None)
    rows = [_row("chosen", chosen, reader)] if chosen else [_as_it_is(car, axle, check, reader)]
    rows += [
        _row("instead", option, reader)
        for option in found
        if option["shown"] and option is not chosen
    ]
    return {"axle": axle, "rows": rows}


def _row(choice: str, option: Mapping[str, Any], reader: Reader) -> dict[str, Any]:
    words = option_text(option, reader)
    return {
        "key": digest_of([words, option["verdict"]])[:KEY_DIGITS],
        "choice": choice,
        "words": words,
        "verdict": option["verdict"],
        "fails": cautions_text(option["cautions"], reader),
        "price": option["price"] or "",
    }


def _as_it_is(car: Car, axle: str, check: ClearanceCheck | None, reader: Reader) -> dict[str, Any]:
    """The order's own set-up, where none of the options was taken."""
    row = car.wheels.get(axle)
    price = None if row is None else pair_price(row.wheel.price, row.tyre.price)
    plan = car.plans.get(axle)
    rolled = plan is not None and plan.rolled_lips
    wheels = str(row) if row is not None else message("option.kept-as-is")
    told = message("option.as-is-rolled" if rolled else "option.as-is", wheels=wheels)
    return {
        "key": "",
        "fails": [],
        "choice": "chosen",
        "words": capital(render(told, reader)),
        "verdict": check.result if check else GateResult.NOT_CHECKED,
        "price": "" if price is None else str(price),
    }


def same_set_up(one: Mapping[str, str], other: Mapping[str, str]) -> bool:
    """Whether two set-ups, as the try-out writes them, are the same; empty is nothing."""

    def figure(put: Mapping[str, str], name: str) -> float:
        return float(put.get(name) or 0.0)

    return all((one.get(name) or "") == (other.get(name) or "") for name in NAMES) and all(
        abs(figure(one, name) - figure(other, name)) < SAME for name in FIGURES
    )

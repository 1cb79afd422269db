"""What the pages of options show."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.http import QueryDict
from django.urls import reverse
from django.utils.translation import gettext

from fitment.job.car import Car, car_of_car_model, car_of_order
from fitment.models import OptionSearch
from fitment.text.options import (
    Kept,
    aims_text,
    cautions_text,
    clearance_text,
    option_text,
    ruled_out_lines,
)
from fitment.tryout.option_forms import MAY
from fitment.tryout.page import Tryout, tryout_of
from fitment.tryout.services.results import told_of_all, told_of_one
from fitment.tryout.services.usual import usual_tyre, usual_wheel
from shop.languages.figures import format_number, short
from shop.models import Axle
from shop.templatetags.archroom import money

if TYPE_CHECKING:
    from shop.models import WorkOrder


def car_of_search(search: OptionSearch) -> Car:
    return car_of_order(search.order) if search.order else car_of_car_model(search.car_model)


def tryout_from(car: Car, query: dict[str, str]) -> Tryout:
    """A try-out from stored parameters."""
    data = QueryDict(mutable=True)
    data.update(query)
    return tryout_of(car, data)


def begun_from(tryout: Tryout) -> tuple[Tryout, str]:
    """The try-out with a wheel and a tyre to begin from where none is chosen, and a sentence that
    says which. Raises Refused where there is nothing to choose from.
    """
    query, car = dict(tryout.query), tryout.car
    if (query.get("wheel") and query.get("tyre")) or not car.measured(tryout.axle):
        return tryout, ""
    wheel = tryout.form.wheel_of(query.get("wheel", "")) or usual_wheel(car, tryout.axle)
    if not query.get("wheel"):
        query["wheel"] = str(wheel.pk)
    if not query.get("tyre"):
        tyre, size = usual_tyre(wheel)
        query["tyre"] = size if tyre is None else str(tyre.pk)
    begun = tryout_from(car, query)
    if begun.first_tried is None:
        return begun, ""
    set_up = begun.first_tried.set_up
    said = gettext("What was not chosen is left to the search, which begins from {wheel}, {tyre}.")
    return begun, said.format(wheel=set_up.wheel, tyre=set_up.tyre_words)


def start_query(tryout: Tryout) -> dict[str, str]:
    """The first set-up of a try-out as parameters; a second one is left aside."""
    names = ("axle", "use", *tryout.form.fields)
    return {name: tryout.query[name] for name in names if name in tryout.query}


def search_page(search: OptionSearch) -> dict[str, Any]:
    """Context of one search: how far it is, what it offers, and what fell."""
    order = search.order
    of_all = told_of_all(search.shown)
    options = [_option(search, row, of_all) for row in search.shown]
    return {
        "search": search,
        "order": order,
        "car_model": search.car_model,
        "axle_words": Axle(search.axle).label,
        "options": options,
        "cautions": cautions_text(of_all),
        "asked": asked_words(search.asked),
        "ruled_out": ruled_out_lines(search.ruled_out),
        "more": max(search.cleared - len(options), 0),
        "start_url": tryout_url(order, search, search.start),
        "again_url": options_url(order) + "?" + urlencode(_named(search, search.start)),
    }


def asked_words(asked: Mapping[str, Any]) -> list[str]:
    """What may change in a search, and within which limits, in words."""
    may = [str(label) for name, label in MAY if name in asked.get("may", ())]
    words = [gettext("May change: {what}.").format(what="; ".join(may))]
    low, high = asked.get("camber_from"), asked.get("camber_to")
    if low is not None and high is not None:
        words.append(
            gettext("Camber: {low}° to {high}°.").format(
                low=format_number(low, 2), high=format_number(high, 2)
            )
        )
    low, high = asked.get("diameter_from"), asked.get("diameter_to")
    if low is not None and high is not None:
        words.append(
            gettext("Overall diameter: {low} mm to {high} mm.").format(
                low=short(low), high=short(high)
            )
        )
    if asked.get("budget"):
        price = money(Decimal(asked["budget"]))
        words.append(gettext("Budget for the axle: {price}.").format(price=price))
    return words


def _option(search: OptionSearch, row: dict[str, Any], of_all: list[Kept]) -> dict[str, Any]:
    """One option; what is said of all of them is left out."""
    put = {"axle": search.axle, "use": search.use, **row["put"]}
    beside = {f"b-{name}": value for name, value in search.start.items()}
    return {
        **row,
        "words": option_text(row),
        "clearance": clearance_text(row),
        "caution": " ".join(cautions_text(told_of_one(row, of_all))),
        "price": None if row["price"] is None else Decimal(row["price"]),
        "for": aims_text(row["wins"]),
        "put": put,
        "tryout_url": tryout_url(search.order, search, put | beside),
        "can_put": bool(row["put"].get("tyre")),
    }


def tryout_url(order: WorkOrder | None, search: OptionSearch, query: dict[str, str]) -> str:
    base = reverse("order_tryout", args=[order.pk]) if order else reverse("tryout")
    return f"{base}?{urlencode(_named(search, query))}"


def options_url(order: WorkOrder | None) -> str:
    return reverse("order_options", args=[order.pk]) if order else reverse("tryout_options")


def _named(search: OptionSearch, query: dict[str, str]) -> dict[str, str]:
    return query if search.order_id else {"car_model": str(search.car_model_id), **query}

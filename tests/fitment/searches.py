"""Searches for options, for tests."""

from __future__ import annotations

from typing import Any

from fitment.job.car import car_of_order
from fitment.models import OptionSearch
from fitment.tryout.options_page import start_query, tryout_from
from fitment.tryout.search_job import search_begin, search_step
from shop.models import User, WorkOrder

ENQUIRY: dict[str, Any] = {
    "goal": "clear",
    "may": ["camber_method", "spacer", "tyre", "packer"],
    "camber_from": None,
    "camber_to": None,
    "diameter_from": None,
    "diameter_to": None,
    "budget": None,
}


def make_search(order: WorkOrder, by: User, **asked: Any) -> OptionSearch:
    """A search on an order's front axle of which no step is done."""
    car = car_of_order(order)
    tryout = tryout_from(car, {})
    assert tryout.form.set_up is not None
    return search_begin(
        car=car,
        set_up=tryout.form.set_up,
        use=tryout.use,
        start=start_query(tryout),
        asked=ENQUIRY | asked,
        by=by,
    )


def finished(search: OptionSearch) -> OptionSearch:
    """The same search with all its steps done."""
    assert search.order is not None
    car = car_of_order(search.order)
    set_up = tryout_from(car, search.start).form.set_up
    assert set_up is not None
    while not search.is_over:
        search_step(search=search, car=car, set_up=set_up, seconds=30)
    return search

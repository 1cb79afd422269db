"""Searches for ways to clear, for tests."""

from __future__ import annotations

from typing import Any

from fitment.clearance.car_document import car_of_order
from fitment.models import OptionSearch
from fitment.tryout.options_page import start_query, tryout_from
from fitment.tryout.search_job import search_begin
from shop.models import User, WorkOrder

ENQUIRY: dict[str, Any] = {
    "goal": "clear",
    "may": ["means", "spacer", "tyre", "packer"],
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

"""Searches for ways to clear, for tests."""

from __future__ import annotations

from typing import Any

from fitment.job.car import car_of_order
from fitment.models import WaysSearch
from fitment.tryout.options_page import bench_from, start_query
from fitment.tryout.search_job import search_begin
from shop.models import User, WorkOrder

ASKED: dict[str, Any] = {
    "wish": "clear",
    "may": ["means", "spacer", "tyre", "packer"],
    "camber_from": None,
    "camber_to": None,
    "diameter_from": None,
    "diameter_to": None,
    "budget": None,
}


def make_search(order: WorkOrder, by: User, **asked: Any) -> WaysSearch:
    """A search on an order's front axle of which no step is done."""
    car = car_of_order(order)
    bench = bench_from(car, {})
    assert bench.form.set_up is not None
    return search_begin(
        car=car,
        set_up=bench.form.set_up,
        use=bench.use,
        start=start_query(bench),
        asked=ASKED | asked,
        by=by,
    )

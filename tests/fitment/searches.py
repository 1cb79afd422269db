"""Searches for options, for tests."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from fitment.job.car import car_of_order
from fitment.models import OptionSearch
from fitment.tryout.options_page import start_query, tryout_from
from fitment.tryout.search_job import search_begin, search_through
from shop.background.services import Alone
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
    """A search on an order's front axle that waits for a worker."""
    return search_begin(**_question(order, asked), by=by)


def done_search(order: WorkOrder, by: User, **asked: Any) -> OptionSearch:
    """The same, searched at once."""
    return search_through(**_question(order, asked), by=by)


def _question(order: WorkOrder, asked: dict[str, Any]) -> dict[str, Any]:
    car = car_of_order(order)
    tryout = tryout_from(car, {})
    assert tryout.form.set_up is not None
    return {
        "car": car,
        "set_up": tryout.form.set_up,
        "use": tryout.use,
        "start": start_query(tryout),
        "asked": ENQUIRY | asked,
    }


class Stopping(Alone):
    """Work that is cancelled once so many parts are kept."""

    def __init__(self, subject: int, after_parts: int) -> None:
        super().__init__(subject)
        self._parts = after_parts

    @property
    def is_cancelled(self) -> bool:  # type: ignore[override]
        return self._parts <= 0

    def tell(self, done_share: float) -> bool:
        return not self.is_cancelled

    @contextmanager
    def keeping(self, done_share: float) -> Iterator[None]:
        with super().keeping(done_share):
            yield
        self._parts -= 1

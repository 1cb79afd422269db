"""How many questions each page asks the database; a change shows as a difference here.

Each page is opened twice: with few rows and with more. The count may not grow with the rows.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import (
    make_booking,
    make_car_model,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_vehicle,
)

pytestmark = [pytest.mark.database, pytest.mark.django_db]

PAGES: dict[str, tuple[str, Callable[[], Any]]] = {
    "order_list": ("order_list", make_order),
    "day_sheet": ("day_sheet", lambda: make_booking(make_order())),
    "customer_list": ("customer_list", make_customer),
    "vehicle_list": ("vehicle_list", make_vehicle),
    "car_model_list": ("car_model_list", make_car_model),
    "part_list": ("part_list", make_part),
    "comeback_list": ("comeback_list", make_order),
}


def asked(browser: Any, url: str) -> list[str]:
    with CaptureQueriesContext(
        connection,
    ) as queries:
        assert browser.get(url).status_code == 200
    return [query["sql"] for query in queries]


@pytest.mark.parametrize("page", sorted(PAGES))
def test_a_list_asks_no_more_for_more_rows(page: str, manager: Any, client_of: Any) -> None:
    name, make = PAGES[page]
    make_shop()
    browser = client_of(manager)
    for _ in range(2):
        make()
    asked(browser, reverse(name))  # the shop's clock and currency are remembered from here on
    few = asked(browser, reverse(name))
    for _ in range(5):
        make()
    many = asked(browser, reverse(name))
    assert len(many) <= len(few), "\n".join(many)
    assert len(many) <= 14, "\n".join(many)


def test_an_order_page_asks_no_more_for_more_lines(manager: Any, client_of: Any) -> None:
    make_shop()
    order = make_order()
    make_line(order)
    browser = client_of(manager)
    url = reverse("order", kwargs={"pk": order.pk})
    asked(browser, url)
    few = asked(browser, url)
    for _ in range(6):
        make_line(order)
    many = asked(browser, url)
    assert len(many) <= len(few), "\n".join(many)
    assert len(many) <= 40, "\n".join(many)

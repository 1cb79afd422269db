"""A change of mind at the counter, on a desk and on a phone: from the plan to the new approval."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse

from shop.models import Authorisation, Quote, State, WorkOrder
from shop.money.services import lines_fill, quote_send
from tests.browser.conftest import Opened
from tests.browser.looks import faults
from tests.browser.test_journey import fill, press
from tests.factories import make_deposit, make_shop, signed_before
from tests.fitment.factories import make_ready_order

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]


@pytest.mark.parametrize(("width", "touch"), [(1440, False), (360, True)])
def test_other_spacers_make_a_new_quote_with_its_difference(
    writer: Any, browser_as: Opened, width: int, touch: bool
) -> None:
    make_shop()
    order = make_ready_order(state="quoted")
    lines_fill(order=order, by=writer)
    first = quote_send(order=order, by=writer)
    signed_before(order)
    make_deposit(order, received=120, received_on="2026-11-02", received_how="card")
    card, link = order.get_absolute_url(), reverse("customer_order", args=[order.token])

    with browser_as(writer, width=width, touch=touch) as page:
        page.goto(f"{card}wheels/")
        fill(page, front_spacer_mm="8")
        press(page, "Save and see the clearance")
        page.goto(f"{card}cost/")
        assert "8 mm" in page.locator("[data-test=gap-missing]").inner_text()
        press(page, "Fill quote lines from the plan")
        assert page.locator("[data-test=gaps]").count() == 0
        # The price of what no record knows, and a discount in all.
        at = page.locator("input[value^='Wheel spacer']").get_attribute("name").split("-")[1]
        fill(page, **{f"lines__{at}__unit_price": "34,50 €", "discount": "10 %"})
        press(page, "Save quote lines")
        page.goto(f"{card}quote/")
        assert first.number in page.locator("[data-test=quote-differences]").inner_text()
        assert faults(page) == []
        page.locator("[name=note]").fill("As we spoke")
        press(page, "Preview")
        assert "As we spoke" in page.locator("[data-test=preview]").inner_text()
        page.check("[name=costs_nothing]")
        press(page, "Send quote")
        assert page.get_by_role("link", name="Quote as PDF").count() == 1
        # Cancelling instead names what has to be settled.
        page.goto(f"{card}move/?to=cancelled")
        assert "120" in page.locator("[data-test=settle]").inner_text()
        assert page.complaints == []

    with browser_as(None, width=width, touch=touch) as page:
        page.goto(link)
        told = page.locator("[data-test=quote-differences]").inner_text()
        assert re.search(r"10\s%", told)
        assert "34.50" in told
        fill(page, name="Nadir Quell")
        for tick in page.locator("main input[type=checkbox]").all():
            tick.check()
        press(page, "Authorise the work")
        page.get_by_text("Authorised by").first.wait_for()
        assert page.complaints == []
    assert WorkOrder.objects.get().state == State.APPROVED
    second = Quote.objects.get(number__endswith="-2")
    assert Authorisation.objects.get(quote=second).name == "Nadir Quell"

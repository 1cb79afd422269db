"""A form of which the answer was lost, and one form open in two places, as people meet them."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from shop.models import Customer
from tests.factories import make_customer

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_form_of_which_the_answer_was_lost_is_sent_again_and_makes_one(
    browser_as: Any, writer: Any
) -> None:
    with browser_as(writer) as page:
        page.goto(reverse("customer_new"))
        page.fill("[name=name]", "Nadir Quell")
        page.get_by_text("Draft on this device").wait_for()
        # It reaches the server, and the browser hears nothing of it.
        sent = page.evaluate(
            "Object.fromEntries(new FormData(document.querySelector('form[data-keep]')))"
        )
        page.context.request.post(page.url, form=sent, max_redirects=0)
        page.context.clear_cookies(name="archroom_saved")
        page.goto(reverse("customer_new"))
        page.get_by_text("Restored what you typed").wait_for()
        page.locator("button.primary").click()
        page.wait_for_url(lambda url: "new" not in url)
        page.get_by_text("This form had already been sent.").wait_for()
    assert Customer.objects.count() == 1


def test_a_form_open_in_two_places_joins_and_asks(browser_as: Any, writer: Any) -> None:
    customer = make_customer(name="Nadir Quell", phone="0700 1", address="Mill lane 3")
    url = reverse("customer_edit", args=[customer.pk])
    with browser_as(writer) as one:
        other = one.context.new_page()
        one.goto(url)
        other.goto(url)
        one.fill("[name=phone]", "0700 22")
        one.locator("button.primary").click()
        one.wait_for_url(lambda address: "edit" not in address)
        other.fill("[name=address]", "Kiln yard 9")
        other.fill("[name=phone]", "0700 33")
        other.locator("button.primary").click()
        other.get_by_text("Another person changed this to “0700 22”").first.wait_for()
        assert other.input_value("[name=phone]") == "0700 33"
        other.locator("button.primary").click()
        other.wait_for_url(lambda address: "edit" not in address)
        assert one.complaints == []
    saved = Customer.objects.get()
    assert (saved.phone, saved.address) == ("0700 33", "Kiln yard 9")

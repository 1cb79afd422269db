"""What was typed survives a reload and a lost connection, and goes once it is saved."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from shop.models import Customer

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_draft_comes_back_after_a_reload_and_can_be_discarded(
    browser_as: Any, writer: Any
) -> None:
    with browser_as(writer) as page:
        page.goto(reverse("customer_new"))
        page.fill("[name=name]", "Ada Example")
        page.get_by_text("Draft on this device").wait_for()
        page.reload()
        assert page.input_value("[name=name]") == "Ada Example"
        page.get_by_text("Restored what you typed").wait_for()
        page.get_by_role("button", name="Discard").click()
        assert page.input_value("[name=name]") == ""
        page.reload()
        assert page.input_value("[name=name]") == ""
        assert page.complaints == []


def test_without_a_connection_nothing_is_sent_and_nothing_is_lost(
    browser_as: Any, writer: Any
) -> None:
    with browser_as(writer) as page:
        page.goto(reverse("customer_new"))
        page.fill("[name=name]", "Ada Example")
        page.context.set_offline(True)
        page.locator("button.primary").click()
        page.get_by_text("No connection.").wait_for()
        assert page.input_value("[name=name]") == "Ada Example"
        page.context.set_offline(False)
        page.locator("button.primary").click()
        page.wait_for_url(lambda url: "new" not in url)
        page.goto(reverse("customer_new"))
        assert page.input_value("[name=name]") == "", "the draft went when it was saved"
    assert Customer.objects.filter(name="Ada Example").count() == 1


def test_a_refused_form_keeps_what_the_server_gave_back(browser_as: Any, writer: Any) -> None:
    with browser_as(writer) as page:
        page.goto(reverse("customer_new"))
        page.fill("[name=phone]", "0123")
        page.locator("button.primary").click()
        page.locator(".wrong-summary").wait_for()
        assert page.input_value("[name=phone]") == "0123"
        assert page.evaluate("document.activeElement.className") == "wrong-summary"


def test_another_user_of_the_same_tablet_sees_no_draft(
    browser_as: Any, writer: Any, manager: Any, client_of: Any, live_server: Any
) -> None:
    other = client_of(manager).cookies["sessionid"].value
    with browser_as(writer) as page:
        page.goto(reverse("customer_new"))
        page.fill("[name=name]", "Ada Example")
        page.get_by_text("Draft on this device").wait_for()
        page.context.add_cookies([{"name": "sessionid", "value": other, "url": live_server.url}])
        page.goto(reverse("customer_new"))
        assert page.input_value("[name=name]") == ""

"""The try-out answers a change by itself and keeps the cursor; a search goes on by itself."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from tests.browser.conftest import Opened
from tests.factories import make_shop
from tests.fitment.factories import make_rubbing_order
from tests.tasks import run_tasks_aside

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_change_answers_in_place_and_becomes_the_address(browser_as: Opened, writer: Any) -> None:
    make_shop()
    order = make_rubbing_order()
    with browser_as(writer) as page:
        page.goto(reverse("order_tryout", args=[order.pk]))
        page.locator("#tryout-verdict").get_by_text("contact").wait_for()
        page.select_option("[name=by]", "top_mount")
        page.wait_for_url("**by=top_mount**")
        page.locator("#tryout-verdict").get_by_text("doubtful").wait_for()
        page.fill("[name=camber]", "much")
        page.locator("#id_camber_slot").get_by_text("was not understood").wait_for()
        assert page.evaluate("document.activeElement.name") == "camber"
        assert page.input_value("[name=camber]") == "much"
        page.fill("[name=camber]", "-2.4")
        page.locator("#tryout-verdict").get_by_text("doubtful").wait_for()
        assert page.inner_text("#id_camber_slot").strip() == ""
        assert page.complaints == []


def test_two_set_ups_are_compared_and_the_second_is_put_on_the_order(
    browser_as: Opened, writer: Any
) -> None:
    make_shop()
    order = make_rubbing_order()
    with browser_as(writer) as page:
        page.goto(reverse("order_tryout", args=[order.pk]))
        page.get_by_role("link", name="Compare with a second trial").click()
        page.fill("[name=b-spacer]", "0")
        page.get_by_role("heading", name="Second trial, dashed").wait_for()
        assert page.locator("#tryout-answer figure svg").count() == 1
        page.select_option("[name=b-by]", "top_mount")
        page.get_by_text("so each is drawn by itself").wait_for()
        assert page.locator("#tryout-answer figure svg").count() == 2
        link = page.get_by_role("link", name="Link to this state").get_attribute("href")
        page.goto(link)
        assert page.input_value("[name=b-by]") == "top_mount"
        page.get_by_role("button", name="Use the second trial on the order").click()
        page.get_by_text("planned settings of the front axle are on the order").wait_for()
        assert page.complaints == []
    row = order.order_wheels.get(axle="front")
    assert row.spacer_mm == 0
    assert order.planned_settings.get(axle="front").camber_by == "top_mount"


def test_a_search_goes_on_by_itself_until_it_is_over(browser_as: Opened, writer: Any) -> None:
    make_shop()
    order = make_rubbing_order()
    with browser_as(writer) as page:
        page.goto(reverse("order_options", args=[order.pk]))
        page.locator("#main").get_by_role("button", name="Search").click()
        page.wait_for_url("**/options/*/")
        page.locator("#options [role=status]").get_by_text("Waiting to begin").wait_for()
        assert run_tasks_aside() == 1
        page.locator("#options [role=status]").get_by_text("out of").wait_for(timeout=90_000)
        page.get_by_role("button", name="Use on this order").first.wait_for()
        assert page.complaints == []

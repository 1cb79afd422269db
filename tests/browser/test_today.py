"""Today, the search of the head and help, by hand and by keyboard."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from tests.browser.looks import faults
from tests.factories import make_line, make_news, make_order, make_quote, make_vehicle

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]


def faults_of(page: Any, address: str) -> list[str]:
    page.goto(address)
    page.locator("[data-test=page-help] > summary").click()
    return faults(page)


@pytest.mark.parametrize("width", [360, 1440])
def test_an_empty_shop_fits_and_is_accessible(browser_as: Any, manager: Any, width: int) -> None:
    with browser_as(manager, width=width) as page:
        found = faults_of(page, reverse("home"))
        assert page.locator("[data-test=first-steps] li").count() == 6
    assert found == [], "\n".join(found)


@pytest.mark.parametrize("width", [360, 1440])
def test_today_and_the_search_fit_and_are_accessible(
    browser_as: Any, manager: Any, width: int
) -> None:
    vehicle = make_vehicle(plate="LG-TR 416")
    quoted = make_order(vehicle=vehicle, state="quoted")
    make_line(quoted)
    make_quote(quoted)
    make_news(order=quoted)
    make_order(state="on_lift", vehicle=vehicle)
    make_order(state="approved", waiting_for="parts", vehicle=vehicle)
    with browser_as(manager, width=width) as page:
        found = faults_of(page, reverse("home"))
        assert page.locator("[data-test^=today-]").count() == 4
        found += faults_of(page, f"{reverse('search')}?q=lg&all=1")
        assert page.locator("[data-test=found-orders] li").count() == 3
    assert found == [], "\n".join(found)


def test_a_slash_leads_to_the_search_but_for_who_is_typing(browser_as: Any, writer: Any) -> None:
    order = make_order(vehicle=make_vehicle(plate="LG-TR 416"))
    with browser_as(writer) as page:
        page.goto(reverse("order_list"))
        page.keyboard.press("/")
        assert page.evaluate("document.activeElement.id") == "find"
        page.keyboard.type("245/40")
        assert page.input_value("#find") == "245/40"
        page.fill("#find", "lgtr416")
        page.keyboard.press("Enter")
        page.wait_for_url(f"**{order.vehicle.get_absolute_url()}")


def test_a_word_is_explained_by_keyboard(browser_as: Any, manager: Any) -> None:
    with browser_as(manager) as page:
        page.goto(reverse("use_list"))
        word = page.locator("button.term").first
        word.focus()
        page.keyboard.press("Enter")
        said = page.locator(f"#{word.get_attribute('popovertarget')}")
        assert said.is_visible()
        page.keyboard.press("Escape")
        assert not said.is_visible()

"""The phone question as it is asked at the counter: pages, presses and fields are counted."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from tests.browser.conftest import Opened
from tests.factories import make_shop, make_vehicle
from tests.fitment.factories import (
    make_surveyed_car_model,
    make_tyre,
    make_wheel,
    make_wide_tyre,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PLATE, MOST_FIELDS, MOST_PAGES = "LG 17 IBV", 4, 1
#: What is counted: a field whose value was changed, a page that is a new path in the bar.
COUNT = """() => [...document.querySelectorAll('main input, main select')].filter(
    field => field.type == 'radio' || field.type == 'checkbox'
        ? field.checked != field.defaultChecked
        : field.value != field.defaultValue && field.type != 'hidden').length"""


@pytest.fixture
def counter(writer: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """A shop that measured a car; a busy machine may take its time to answer."""
    monkeypatch.setattr("fitment.tryout.services.widest.LONGEST_S", 300.0)
    make_shop()
    make_vehicle(car_model=make_surveyed_car_model(), plate=PLATE)
    make_wheel()
    make_tyre()
    make_wide_tyre()
    return writer


def answered(page: Any) -> str:
    answer = page.locator("[data-test=widest-answer]")
    answer.wait_for(timeout=60_000)
    return str(answer.inner_text())


def pages_since(page: Any) -> Any:
    """Paths that the bar shows from now on, each once."""
    paths: list[str] = []
    page.on("framenavigated", lambda frame: paths.append(frame.url.split("?")[0]))
    return lambda: len(dict.fromkeys(paths))


def test_a_caller_is_answered_on_one_page_by_keyboard_alone(
    browser_as: Opened, counter: Any
) -> None:
    with browser_as(counter, width=1440) as page:
        page.goto("/")
        pages = pages_since(page)
        page.get_by_role("link", name="Widest tyre").focus()
        page.keyboard.press("Enter")
        page.wait_for_url(f"**{reverse('widest')}")
        page.locator("[name=car]:focus").wait_for()
        for typed in (PLATE.replace(" ", "").lower(), "-15", "-2.0"):
            page.keyboard.type(typed)
            page.keyboard.press("Tab")
        assert page.evaluate(COUNT) <= MOST_FIELDS
        page.locator("[name=camber]").press("Enter")
        said = answered(page)
        assert "Next widest" in said
        assert pages() <= MOST_PAGES
        assert page.complaints == []


def test_a_caller_is_answered_on_a_phone(browser_as: Opened, counter: Any) -> None:
    with browser_as(counter, width=360, touch=True) as page:
        page.goto(reverse("widest"))
        pages = pages_since(page)
        page.fill("[name=car]", PLATE)
        page.fill("[name=height]", "-15")
        page.fill("[name=camber]", "-2.0")
        assert page.evaluate(COUNT) <= MOST_FIELDS
        page.get_by_role("button", name="Find the widest tyre").click()
        answered(page)
        assert pages() <= MOST_PAGES
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        assert page.complaints == []


def test_the_strips_follow_the_answer_by_themselves(browser_as: Opened, counter: Any) -> None:
    car_model = counter and make_vehicle(car_model=make_surveyed_car_model("linked")).car_model
    query = f"car_model={car_model.pk}&axle=rear&wheel=8.5x18+ET42&tyre=235/40R18"
    with browser_as(counter, width=360) as page:
        page.goto(f"{reverse('tryout')}?{query}")
        page.locator("[data-test=strip-offset] svg").wait_for(timeout=60_000)
        assert page.locator("[data-test=strip-width] svg").count() == 1
        page.fill("[name=tyre]", "255/35 ZR18 94Y")
        page.locator("#tryout-said").get_by_text("Rear axle").wait_for()
        page.locator("[data-test=strip-offset] svg").wait_for(timeout=60_000)
        assert page.evaluate("document.activeElement.name") == "tyre"
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        assert page.complaints == []

"""Readings typed while the connection is gone: kept, sent when it is back, never over others'."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from alignment.models import RackVisit
from tests.alignment.factories import make_visit
from tests.browser.conftest import Opened
from tests.browser.test_kept_pages import until_kept
from tests.factories import make_order

pytestmark = [pytest.mark.database, pytest.mark.browser, pytest.mark.django_db(transaction=True)]

BOTH = {("LF", "camber"): "-1.0", ("RF", "camber"): "-1.1"}


@pytest.fixture
def beside(client_of: Any, live_server: Any) -> Any:
    """``beside(page, user)``: another tablet in the same browser, with its own connection."""

    cookies: dict[int, str] = {}

    def sign_in(user: Any) -> None:
        cookies[user.pk] = client_of(user).cookies["sessionid"].value

    def opened(page: Any, user: Any) -> Any:
        other = page.context.browser.new_context(base_url=live_server.url)
        value = cookies[user.pk]
        other.add_cookies([{"name": "sessionid", "value": value, "url": live_server.url}])
        return other.new_page()

    opened.sign_in = sign_in  # type: ignore[attr-defined]
    return opened


def save(page: Any) -> None:
    page.get_by_role("button", name="Save readings").click()


def test_readings_saved_without_a_connection_are_sent_when_it_is_back(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    with browser_as(technician) as page:
        page.goto(reverse("visit_new", args=[order.pk]) + "?stage=before")
        page.context.set_offline(True)
        page.get_by_label("Camber, front left").fill("2,5 neg")
        save(page)
        page.get_by_text("is queued on this device").wait_for()
        page.get_by_label("Camber, front right").fill("-2.4")
        page.get_by_label("Camber, front right").press("Tab")
        assert page.get_by_text("Connection lost").count() == 0
        page.context.set_offline(False)
        page.get_by_role("heading", name="Readings before the work").wait_for()
        assert page.get_by_text("is queued on this device").count() == 0
        page.goto(reverse("visit_new", args=[order.pk]) + "?stage=before")
        assert page.get_by_label("Camber, front left").input_value() == ""
    visit = RackVisit.objects.get(order=order)
    assert visit.values() == {("LF", "camber"): -2.5, ("RF", "camber"): -2.4}


def test_a_tablet_that_was_closed_meanwhile_sends_from_the_next_page_that_it_opens(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    with browser_as(technician) as page:
        page.goto(reverse("visit_new", args=[order.pk]) + "?stage=before")
        page.context.set_offline(True)
        page.get_by_label("Camber, front left").fill("-1.5")
        save(page)
        page.get_by_text("is queued on this device").wait_for()
        context = page.context
        page.close()
        context.set_offline(False)
        other = context.new_page()
        other.goto(reverse("home"))
        other.locator("#outbox").get_by_text("Sent").wait_for()
        other.locator("#outbox a").click()
        other.get_by_role("heading", name="Readings before the work").wait_for()
    assert RackVisit.objects.get(order=order).values() == {("LF", "camber"): -1.5}


def test_a_reload_without_a_connection_loses_nothing(technician: Any, browser_as: Opened) -> None:
    order = make_order()
    with browser_as(technician) as page:
        address = reverse("visit_new", args=[order.pk]) + "?stage=before"
        page.goto(address)
        until_kept(page, address)
        key = page.locator("[name=entry_key]").input_value()
        page.context.set_offline(True)
        page.get_by_label("Camber, front left").fill("-1.5")
        page.get_by_text("stored on this device").wait_for()
        page.reload()
        page.get_by_text("Restored what you typed").wait_for()
        assert page.locator("[name=entry_key]").input_value() == key
        page.context.set_offline(False)
        page.goto(address)
        page.get_by_text("Restored what you typed").wait_for()
        assert page.get_by_label("Camber, front left").input_value() == "-1.5"
        assert page.locator("[name=entry_key]").input_value() == key
        save(page)
        page.get_by_role("heading", name="Readings before the work").wait_for()
    assert RackVisit.objects.filter(order=order).count() == 1


def test_what_two_people_changed_apart_is_joined_when_the_connection_is_back(
    technician: Any, manager: Any, browser_as: Opened, beside: Any
) -> None:
    visit = make_visit(numbers=BOTH)
    beside.sign_in(manager)
    address = reverse("visit_edit", args=[visit.pk])
    with browser_as(technician) as page:
        other = beside(page, manager)
        page.goto(address)
        page.context.set_offline(True)
        page.get_by_label("Camber, front left").fill("-1.2")
        save(page)
        page.get_by_text("is queued on this device").wait_for()
        other.goto(address)
        other.get_by_label("Camber, front right").fill("-1.3")
        save(other)
        other.get_by_role("heading", name="Readings before the work").wait_for()
        page.context.set_offline(False)
        page.get_by_role("heading", name="Readings before the work").wait_for()
        page.get_by_text("saved meanwhile: Camber, front right").wait_for()
    visit.refresh_from_db()
    assert visit.values() == {("LF", "camber"): -1.2, ("RF", "camber"): -1.3}


def test_what_both_changed_is_shown_and_nothing_is_overwritten_unseen(
    technician: Any, manager: Any, browser_as: Opened, beside: Any
) -> None:
    visit = make_visit(numbers=BOTH)
    beside.sign_in(manager)
    address = reverse("visit_edit", args=[visit.pk])
    with browser_as(technician) as page:
        other = beside(page, manager)
        page.goto(address)
        page.context.set_offline(True)
        page.get_by_label("Camber, front left").fill("-1.2")
        save(page)
        page.get_by_text("is queued on this device").wait_for()
        other.goto(address)
        other.get_by_label("Camber, front left").fill("-1.4")
        save(other)
        other.get_by_role("heading", name="Readings before the work").wait_for()
        page.context.set_offline(False)
        page.get_by_text("was not accepted").wait_for()
        other.reload()
        assert other.get_by_text("−1.40").first.is_visible()
        page.get_by_role("link", name="Open", exact=True).click()
        page.get_by_text("on record -1.4, yours -1.2").wait_for()
        assert page.get_by_label("Camber, front left").input_value() == "-1.4"
        page.get_by_role("button", name="Use mine").click()
        save(page)
        page.get_by_role("heading", name="Readings before the work").wait_for()
        assert page.get_by_text("was not accepted").count() == 0
    visit.refresh_from_db()
    assert visit.values()["LF", "camber"] == -1.2


def test_two_people_on_one_visit_see_each_others_values(
    technician: Any, manager: Any, browser_as: Opened, beside: Any
) -> None:
    visit = make_visit(numbers=BOTH)
    beside.sign_in(manager)
    address = reverse("visit_edit", args=[visit.pk])
    with browser_as(technician) as page:
        other = beside(page, manager)
        page.clock.install()
        page.goto(address)
        page.get_by_label("Camber, front left").fill("-1.2")
        other.goto(address)
        other.get_by_label("Camber, front left").fill("-1.5")
        other.get_by_label("Toe, rear left").fill("0.10")
        save(other)
        other.get_by_role("heading", name="Readings before the work").wait_for()
        page.clock.fast_forward("00:10")  # the page asks what others saved every ten seconds
        page.get_by_text("Added to the form: Toe, rear left.").wait_for()
        page.get_by_text("theirs -1.5, yours -1.2").wait_for()
        assert page.get_by_label("Toe, rear left").input_value() == "0.10"
        assert page.get_by_label("Camber, front left").input_value() == "-1.2"
        assert page.complaints == []

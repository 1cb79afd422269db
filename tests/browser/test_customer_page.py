"""The customer's page on the demo's fullest order: its measures, and the three answers, with
scripts off, on desk and phone; and the slider that moves a wheel past the body."""

from __future__ import annotations

import re
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.models import OptionSearch
from shop.models import CustomerAnswer, State, User, WorkOrder
from shop.money.services import options_of, quote_send
from tests.browser.conftest import Opened
from tests.browser.looks import faults
from tests.fitment.factories import make_rubbing_order

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHONE = (360, 780)
#: One screen, and four, of a phone.
FIRST, ALL = 780, 4 * 780


def fullest_order() -> WorkOrder:
    """The demo's story order, whose check, class and options fill a quote, without the spacer that
    bars it from being approved."""
    call_command("demo_shop", stdout=StringIO())
    order = WorkOrder.objects.get(number="W0001")
    order.order_wheels.filter(axle="front").update(spacer_mm=0)
    writer = User.objects.get(username="writer")
    check_run(order=order, by=writer)
    return quoted_with_options(order, writer)


def quoted_with_options(order: WorkOrder, writer: User) -> WorkOrder:
    """The order with a quote on which the writer ticked every option."""
    order = WorkOrder.objects.get(pk=order.pk)
    offered = {row["key"] for note in options_of(order) for row in note["rows"]}
    quote_send(order=order, by=writer, options=offered)
    return order


def bottom(page: Any, selector: str) -> float:
    box = page.locator(selector).first.bounding_box()
    return float(box["y"] + box["height"])


def test_three_answers_on_desk_and_phone_within_their_measures(browser_as: Opened) -> None:
    order = fullest_order()
    link = reverse("customer_order", args=[order.token])
    for width in (1440, PHONE[0]):
        with browser_as(None, width=width) as page:
            page.set_viewport_size({"width": width, "height": PHONE[1]})
            page.goto(link)
            assert page.locator("script[src]").count() == 0
            height = page.evaluate("document.documentElement.scrollHeight")
            if width == PHONE[0]:
                assert height <= ALL
                for shown in ("[data-test=price]", "[data-test=fit]", "[data-test=problem] figure"):
                    assert bottom(page, shown) <= FIRST, shown
            # No option of this car meets its class, so none is offered as a button.
            assert page.locator("[data-test=option-B]").count() == 1
            assert page.locator("[data-test=option-B] button").count() == 0
            assert faults(page) == []
            assert page.complaints == []
    # Raced under no class and searched anew, an option fails nothing and can be chosen.
    WorkOrder.objects.filter(pk=order.pk).update(class_record=None, class_rules="")
    OptionSearch.objects.filter(order=order).delete()
    order, writer = WorkOrder.objects.get(pk=order.pk), User.objects.get(username="writer")
    check_run(order=order, by=writer)
    order = quoted_with_options(order, writer)
    for width in (1440, PHONE[0]):
        CustomerAnswer.objects.all().delete()
        with browser_as(None, width=width) as page:
            page.set_viewport_size({"width": width, "height": PHONE[1]})
            page.goto(link)
            assert faults(page) == []
            page.locator("[data-test=option-B] button").click()
            page.locator("[data-test=chosen]").wait_for()
            page.locator("[data-test=ask] summary").click()
            page.locator("[data-test=ask] textarea").fill("Does it rub with four people?")
            page.locator("[data-test=ask] button").click()
            page.get_by_text("Does it rub with four people?").wait_for()
            page.locator("[data-test=decline] summary").click()
            page.locator("[data-test=decline] textarea").fill("Too dear")
            page.locator("[data-test=decline] button").click()
            page.locator("[data-test=declined]").wait_for()
            assert page.complaints == []
        kinds = set(CustomerAnswer.objects.values_list("kind", flat=True))
        assert kinds == {"asked", "chose", "declined"}
    with browser_as(None, width=PHONE[0]) as page:
        page.goto(link)
        page.locator("#answer [name=name]").fill("Ilka Brandvold")
        for tick in page.locator("#answer input[type=checkbox]").all():
            tick.check()
        page.locator("#answer .btn.primary").click()
        page.get_by_text("Authorised by Ilka Brandvold").wait_for()
        assert faults(page) == []
    order.refresh_from_db()
    assert order.state == State.APPROVED


def test_a_spot_pointed_at_is_chosen_in_the_road_tests_form(
    technician: Any, browser_as: Opened
) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=technician)
    WorkOrder.objects.filter(pk=order.pk).update(state=State.ROAD_TEST)
    with browser_as(technician, width=360, touch=True) as page:
        page.goto(reverse("road_test", args=[order.pk]))
        page.locator("details.pick > summary").click()
        page.locator("[data-pick-corner=LF] [data-pick='arch lip']").click()
        assert page.locator("[name=marks-0-corner]").input_value() == "LF"
        assert page.locator("[name=marks-0-place]").input_value() == "arch lip"
        assert page.locator("[name=marks-0-contact]").is_checked()
        page.locator("[data-pick-corner=LF] path[data-spot='inner panel']").first.dispatch_event(
            "click"
        )
        assert page.locator("[name=marks-1-place]").input_value() == "inner panel"
        assert "arch lip" not in page.locator("[data-picked]").inner_text()
        assert faults(page) == []
        assert page.complaints == []


def test_the_slider_moves_both_drawings_by_keys_and_says_where_it_is(
    technician: Any, browser_as: Opened
) -> None:
    from playwright.sync_api import expect

    check = check_run(order=make_rubbing_order(), by=technician)
    address = reverse("clearance_poses", args=[check.pk, "LF"])
    for width in (1440, 360):
        with browser_as(technician, width=width) as page:
            page.goto(address)
            said = page.locator("#pose-said")
            before, drawn = said.inner_text(), page.locator("#pose svg").first.inner_html()
            page.locator("#slider-travel").focus()
            page.keyboard.press("Home")
            expect(said).not_to_have_text(before)
            assert re.search(r"mm into droop.*: [+−][\d.]+ mm at the ", said.inner_text())
            assert page.locator("#pose svg").first.inner_html() != drawn
            assert page.locator("#pose svg").count() == 2
            assert said.get_attribute("aria-live") == "polite"
            assert page.evaluate("document.activeElement.id") == "slider-travel"
            assert faults(page) == []
            assert page.complaints == []

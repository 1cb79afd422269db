"""The pages of mounting in a real browser: they fit, are accessible, and the console is silent."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from fitment.catalogue.tyre_pools import measurement_add
from fitment.catalogue.wheel_pools import wheel_measurement_add
from fitment.clearance.services import check_run
from fitment.models import MountingCheck
from fitment.mounting.law import law_take_over
from shop.money.services import quote_send
from tests.browser.conftest import Opened
from tests.browser.looks import AT_NIGHT, faults_as_opened, faults_of_all
from tests.browser.waiting import shows
from tests.factories import make_line, make_part, make_shop
from tests.fitment.factories import make_rubbing_order
from tests.fitment.test_guides import make_guide
from tests.fitment.test_mounting import an_order_that_suits

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]


@pytest.fixture
def addresses(writer: Any) -> list[str]:
    """An order that a table promises to fit and that rubs, with a measured tyre and a law."""
    make_shop()
    law_take_over(preset="eu-cover")
    order = make_rubbing_order()
    tyre = order.order_wheels.get().tyre
    values = {"rim_in": 9.0, "width_mm": 260.0, "diameter_mm": 635.0}
    measurement_add(tyre=tyre, by=writer, values=values)
    wheel = order.order_wheels.get().wheel
    wheel_measurement_add(wheel=wheel, by=writer, values={"width_mm": 229.1, "back_mm": 166.5})
    row = make_guide(order.vehicle.car_model)
    check_run(order=order, by=writer)
    make_line(order)
    quote = quote_send(order=order, by=writer)
    check = MountingCheck.objects.get()
    plain = ["law", "guide_list", "guide_new", "tyre_import", "wheel_import", "tyre_list"]
    plain.append("wheel_list")
    return [
        *(reverse(name) for name in plain),
        reverse("order", args=[order.pk]),
        reverse("order_mounting", args=[order.pk]),
        reverse("tyre_edit", args=[tyre.pk]),
        reverse("tyre_measure", args=[tyre.pk]),
        reverse("wheel_edit", args=[wheel.pk]),
        reverse("wheel_measure", args=[wheel.pk]),
        check.get_absolute_url(),
        quote.get_absolute_url(),
        *(reverse(f"guide{rest}", args=[row.guide_id]) for rest in ("", "_edit", "_revise")),
        reverse("guide_row_new", args=[row.guide_id]),
        reverse("guide_row_edit", args=[row.pk]),
        reverse("car_model_edit", args=[order.vehicle.car_model_id]),
    ]


def unfolded(page: Any) -> None:
    for more in page.query_selector_all("details.more > summary"):
        more.click()


def test_pages_of_mounting_fit_and_are_accessible(
    browser_as: Opened, manager: Any, addresses: list[str]
) -> None:
    with browser_as(manager) as page:
        found = faults_of_all(page, addresses, unfolded)
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(("width", "dark"), AT_NIGHT)
def test_pages_of_mounting_opened_at_this_size_fit_and_are_accessible(
    browser_as: Opened, manager: Any, addresses: list[str], width: int, dark: bool
) -> None:
    with browser_as(manager, width=width, dark=dark) as page:
        found = [line for at in addresses for line in faults_as_opened(page, at, unfolded)]
    assert found == [], "\n".join(found)


def test_a_writer_meets_the_gate_and_a_manager_decides(
    browser_as: Opened, writer: Any, manager: Any
) -> None:
    """A rim too narrow for its tyre: checked, quoted, stopped, decided, and stale again."""
    make_shop()
    law_take_over(preset="eu-cover")
    order = an_order_that_suits(rim_min_in=9.5, rim_max_in=11)
    make_line(order, kind="part", part=make_part(), description="Wheels")
    page_of = order.get_absolute_url()
    with browser_as(writer) as page:
        page.goto(page_of)
        shows(page, "#mounting", "Save to order parts or book")
        page.click("#mounting button:has-text('Check the mounting')")
        shows(page, "#mounting", "too narrow")
        page.click("#mounting .answer-links a[href$='/mounting/checks/']")
        shows(page, "main .sentence", "of")
        shows(page, "main table", "too narrow")
        page.goto(f"{page_of}clearance/")
        page.click("button:has-text('Check clearance')")
        page.goto(f"{page_of}quote/")
        page.click("button:has-text('Send quote')")
        shows(page, ".quote-paper", "too narrow")
        page.goto(f"{page_of}sign/")
        page.check("input[name=signed_warning]")
        page.check("input[name=agree]")
        page.fill("input[name=name]", "Ilka Brandvold")
        page.click("form.signature button[type=submit]")
        shows(page, "main", "a manager's reason")
        assert page.complaints == []
    with browser_as(manager) as page:
        page.goto(page_of)
        page.click("text=Override and continue")
        shows(page, "main", "Rim width (front and rear)")
        page.fill("textarea", "The tyre's maker approves it in a letter.")
        page.click("button:has-text('Override and continue')")
        shows(page, "main", "approves it in a letter")
        assert page.locator("text=Order parts").count()
        assert page.complaints == []

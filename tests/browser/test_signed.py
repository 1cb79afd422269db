"""Nothing is signed unseen and nothing mounts that cannot: the four people, in a browser."""

from __future__ import annotations

from typing import Any

import pytest

from fitment.clearance.services import check_run
from fitment.mounting.services.record import mounting_keep
from shop.models import State, WorkOrder
from tests.browser.conftest import Opened
from tests.browser.test_journey import dry_fit, fill, moved, overridden, press
from tests.factories import make_bay, make_line, make_part, make_shop
from tests.fitment.test_mounting import an_order_that_suits

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]

CUSTOMER = "Ilka Brandvold"


def an_order() -> WorkOrder:
    """Wheels of another circle than the hub's, checked; everything else suits."""
    make_shop(name="Lindgrove Chassis Works")
    order = an_order_that_suits()
    make_line(order, description="Fit and set up")
    part = make_part(name="Toe link", torque_nm=82, axle="front", moves_wheel=True)
    make_line(order, kind="part", part=part, description="Toe link", axle="front")
    wheel = order.order_wheels.first().wheel
    type(wheel).objects.filter(pk=wheel.pk).update(bolt_circle_mm=100.0)
    type(order).objects.filter(pk=order.pk).update(kind="install")
    order = WorkOrder.objects.select_related("vehicle__car_model").get(pk=order.pk)
    check_run(order=order, by=None)
    mounting_keep(order=order, by=None)
    return order


def signed(page: Any) -> None:
    fill(page, name=CUSTOMER)
    for tick in page.locator("main input[type=checkbox]").all():
        tick.check()
    press(page, "Authorise the work")


def test_what_is_signed_is_what_was_read_and_what_mounts_is_what_fits(
    writer: Any, technician: Any, manager: Any, browser_as: Opened
) -> None:
    row = an_order()
    bay = make_bay(has_rack=True)
    order, wheel = row.get_absolute_url(), row.order_wheels.first().wheel_id
    link = f"/c/{row.token}/"

    with browser_as(manager, width=1440) as page:
        page.goto(order)
        page.get_by_text("cannot be mounted").first.wait_for()
        assert page.get_by_role("link", name="Override and continue").count() == 0
        # Nor is there a way by its address: it leads back to the order.
        page.goto(f"{order}override/")
        assert page.url.endswith(order) or page.locator("[name=reason]").count() == 1
        assert page.complaints == []

    with browser_as(writer, width=1440) as page:
        page.goto(f"/wheels/{wheel}/")
        fill(page, bolt_circle_mm="116")
        press(page, "Save wheel")
        page.get_by_text("Enter why this is corrected").first.wait_for()
        fill(page, why="Read off the wheel: typed wrong")
        press(page, "Save wheel")
        page.goto(f"/wheels/{wheel}/")
        assert page.locator("[data-test=corrections] del").text_content() == "100.0"
        page.goto(order)
        press(page, "Check the mounting again")
        assert page.get_by_text("cannot be mounted").count() == 0
        page.goto(f"{order}quote/")
        press(page, "Send quote")
        assert page.complaints == []

    with browser_as(writer, width=820) as desk:
        desk.goto(order)
        page = desk.context.browser.new_context(viewport={"width": 360, "height": 780}).new_page()
        page.goto(desk.evaluate("location.origin") + link)
        page.get_by_role("button", name="Authorise the work").wait_for()
        # While the customer reads, the shop sends another quote of the same sum.
        desk.goto(f"{order}lines/")
        desk.locator("[name$=-description]").first.fill("Other work than before")
        press(desk, "Save quote lines")
        desk.goto(f"{order}quote/")
        press(desk, "Send quote")
        signed(page)
        changed = page.locator("[data-test=quote-changed]")
        changed.wait_for()
        assert "Other work than before" in changed.inner_text()
        assert page.locator("[name=name]").input_value() == CUSTOMER
        assert not page.locator("[name=agree]").is_checked()
        signed(page)
        page.get_by_text("Authorised by").first.wait_for()
        assert desk.complaints == []
    row.refresh_from_db()
    assert row.state == State.APPROVED
    assert row.quotes.order_by("-pk").first().authorisation.name == CUSTOMER

    if row.clearance_checks.first().verdict == "doubtful":
        with browser_as(manager, width=820) as page:
            overridden(page, order)
    with browser_as(writer, width=820) as page:
        page.goto(f"{order}book/?day=2090-05-04")
        fill(page, day="2090-05-04", starts="09:00", ends="12:00", bay=str(bay.pk))
        fill(page, technician=str(technician.pk))
        press(page, "Book this time")
        # After booking a spacer is added: the page says so and offers the new quote.
        page.goto(f"{order}wheels/")
        fill(page, front_spacer_mm="1")
        press(page, "Save and see the clearance")
        press(page, "Check again")
        page.goto(order)
        page.locator("[data-test=changed-since-quote]").wait_for()
        assert page.complaints == []
    row.refresh_from_db()
    assert row.state == State.BOOKED

    with browser_as(technician, width=820) as page:
        moved(page, order, "on_lift")
        assert page.locator(".wrong-summary").count() == 1
    row.refresh_from_db()
    assert row.state == State.BOOKED
    doubtful = row.clearance_checks.first().verdict == "doubtful"

    with browser_as(writer, width=820) as page:
        page.goto(f"{order}quote/")
        press(page, "Send quote")
    with browser_as(None, width=360) as page:
        page.goto(link)
        signed(page)
        page.get_by_text("Authorised by").first.wait_for()
    if doubtful:
        with browser_as(manager, width=820) as page:
            overridden(page, order)

    with browser_as(technician, width=820) as page:
        moved(page, order, "on_lift")
        page.goto(f"{order}torque/")
        assert "crosswise" in page.locator("[data-test=wheel-nut-steps]").inner_text()
        with page.expect_navigation():
            page.get_by_role("link", name="Record as fitted").click()
        press(page, "Record part")
        for axle in ("front", "rear"):
            dry_fit(page, order, axle)
        # A figure outside is asked about, and nothing of the form is taken.
        page.goto(f"{order}torque/")
        fill(page, tool="Wrench 2")
        for tick in page.locator("main input[type=checkbox]").all():
            tick.check()
        page.locator("[name=torque_wheel-LF]").fill("5")
        press(page, "Sign ticked torques")
        assert "is outside" in page.locator(".wrong-summary").inner_text()
        page.locator("[name=torque_wheel-LF]").fill("120")
        press(page, "Sign ticked torques")
        moved(page, order, "road_test")
        page.goto(f"{order}move/?to=on_lift")
        fill(page, reason="It touches the liner")
        with page.expect_navigation():
            page.locator("main form button[type=submit]").first.click()
        page.goto(f"{order}torque/")
        assert page.locator("[data-test=due-wheel-LF]").get_by_text("open").count() == 1
        assert "It touches the liner" in page.locator("[data-test=due-wheel-LF]").inner_text()
        assert page.complaints == []
    row.refresh_from_db()
    assert row.state == State.ON_LIFT

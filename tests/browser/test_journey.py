"""One real job in a real browser, each of the four people doing their part of it."""

from __future__ import annotations

import re
from typing import Any

import pytest

from fitment.models import ClearanceCheck
from shop.models import State, WorkOrder
from tests.browser.conftest import Opened
from tests.factories import make_bay, make_part, make_shop
from tests.fitment.factories import make_surveyed_car_model, make_tyre, make_wheel, make_wide_tyre

pytestmark = [
    pytest.mark.database,
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]

CUSTOMER = "Ilka Brandvold"


def fill(page: Any, **values: str) -> None:
    """Fill or choose fields that people see, by their names."""
    for name, value in values.items():
        field = page.locator(f"[name={name.replace('__', '-')}]:not([type=hidden])").first
        if field.evaluate("node => node.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)


def press(page: Any, name: str) -> None:
    """Press the page's button of this name and wait for the page that follows."""
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).first.click()


def order_opened(page: Any, car_model: Any) -> str:
    """The writer takes down the customer, the car and the request; path of the new order."""
    page.goto("/orders/new/")
    page.get_by_role("link", name="New customer").click()
    fill(page, name=CUSTOMER)
    press(page, "Save customer")
    fill(page, description="2017 small coupé", plate="LG 17 IBV", mileage_km="61400")
    fill(page, car_model=str(car_model.pk), market="other")
    press(page, "Save vehicle")
    fill(page, kind="install", request_text="Wider wheels and more camber in front")
    for use in page.locator("[name=use]").all():
        use.set_checked(use.get_attribute("value") == "autocross")
    fill(page, mileage_km="61400")
    page.locator("[name=moves_wheel_or_height]").check()
    press(page, "Open order")
    return re.sub(r"^https?://[^/]+", "", page.url)


def planned(page: Any, order: str, camber_method: str) -> None:
    page.goto(f"{order}plan/")
    fill(page, front_camber="2,4 neg", front_camber_by=camber_method, front_toe="0.05")
    fill(page, rear_toe="0.10")
    press(page, "Save planned settings")


def wheels_chosen(page: Any, order: str, wheel: Any, tyre: Any, spacer: str) -> None:
    page.goto(f"{order}wheels/")
    for axle in ("front", "rear"):
        fill(page, **{f"{axle}_wheel": str(wheel.pk), f"{axle}_tyre": str(tyre.pk)})
    fill(page, front_spacer_mm=spacer, rear_spacer_mm="0")
    press(page, "Save and see the clearance")


def moved(page: Any, order: str, state: str) -> None:
    page.goto(f"{order}move/?to={state}")
    with page.expect_navigation():
        page.locator("main form button[type=submit]").first.click()


def dry_fit(page: Any, order: str, axle: str) -> None:
    """One wheel of an axle is offered up, and nothing touches."""
    page.goto(f"{order}dry-fit/")
    page.locator(f"[name=axle][value={axle}]").check()
    for name in ("brake", "hardware", "sensor", "lock"):
        page.locator(f"[name={name}][value=clears]").check()
    press(page, "Record the dry fit")


def overridden(page: Any, order: str) -> None:
    """The manager goes on in spite of a doubt, with a reason."""
    page.goto(f"{order}override/")
    fill(page, reason="Looked at again at the dry fit")
    press(page, "Override and continue")


def test_one_job_from_the_enquiry_to_the_hand_over_in_a_browser(
    writer: Any, technician: Any, manager: Any, browser_as: Opened
) -> None:
    make_shop(name="Lindgrove Chassis Works")
    car_model, bay = make_surveyed_car_model(), make_bay(has_rack=True)
    wheel, narrow, wide = make_wheel(), make_tyre(), make_wide_tyre()
    part = make_part(name="Camber top mount", torque_nm=47, price=265)

    with browser_as(writer, width=1440) as page:
        order = order_opened(page, car_model)
        # As first asked for it rubs, and the page says where before anything is booked.
        planned(page, order, "lower_arm")
        wheels_chosen(page, order, wheel, wide, "5")
        press(page, "Check clearance")
        page.locator(".sentence", has_text="arch lip").first.wait_for()
        assert page.locator(".sentence").first.inner_text().count("overlaps") >= 1
        assert page.locator("figure.drawing svg").count() >= 2
        # The same camber by the top mount, a narrower tyre and no spacer.
        planned(page, order, "top_mount")
        wheels_chosen(page, order, wheel, narrow, "0")
        assert page.get_by_text("out of date").count() or page.get_by_text("changed").count()
        press(page, "Check again")
        assert "overlaps" not in page.locator(".sentence").first.inner_text()
        page.goto(f"{order}lines/")
        fill(page, lines__0__kind="labour", lines__0__quantity="3,5")
        fill(page, lines__0__description="Fit and set up")
        fill(page, lines__1__kind="part", lines__1__part=str(part.pk), lines__1__quantity="2")
        press(page, "Save quote lines")
        page.goto(f"{order}quote/")
        press(page, "Send quote")
        page.goto(order)
        link = page.locator("a[href*='/c/']").first.get_attribute("href")
        assert page.complaints == []
    row = WorkOrder.objects.get()
    assert row.state == State.QUOTED
    verdicts = list(ClearanceCheck.objects.order_by("pk").values_list("verdict", flat=True))
    assert verdicts[0] == "contact"
    assert verdicts[-1] in ("clear", "tight", "doubtful")
    assert link is not None
    link = re.sub(r"^https?://[^/]+", "", link)

    with browser_as(None, width=360) as page:
        page.goto(link)
        page.get_by_text("Lindgrove Chassis Works").first.wait_for()
        fill(page, name=CUSTOMER)
        for tick in page.locator("main input[type=checkbox]").all():
            tick.check()
        press(page, "Authorise the work")
        page.get_by_text("Authorised by").first.wait_for()
        assert page.complaints == []
    row.refresh_from_db()
    assert row.state == State.APPROVED

    if verdicts[-1] == "doubtful":
        with browser_as(manager, width=1440) as page:
            overridden(page, order)
    with browser_as(writer, width=820) as page:
        page.goto(f"{order}book/?day=2090-05-04")
        fill(page, day="2090-05-04", starts="09:00", ends="12:00", bay=str(bay.pk))
        fill(page, technician=str(technician.pk))
        press(page, "Book this time")
        assert page.complaints == []
    row.refresh_from_db()
    assert row.state == State.BOOKED

    with browser_as(technician, width=820) as page:
        moved(page, order, "on_lift")
        page.goto(f"{order}readings/new/?stage=before")
        fill(page, camber_LF="-1.1", camber_RF="-1.0", toe_LF="0.08", toe_RF="0.10")
        press(page, "Save readings")
        page.goto(f"{order}readings/new/?stage=after")
        fill(page, camber_LF="-2.4", camber_RF="-2.45", toe_LF="0.05", toe_RF="0.05")
        press(page, "Save readings")
        page.goto(f"{order}torque/")
        with page.expect_navigation():
            page.get_by_role("link", name="Record as fitted").click()
        fill(page, serial="TM-0077", removed="Top mounts", removed_to="given to the customer")
        press(page, "Record part")
        for axle in ("front", "rear"):
            dry_fit(page, order, axle)
        page.goto(f"{order}torque/")
        fill(page, tool="Wrench 2")
        for tick in page.locator("main input[type=checkbox]").all():
            tick.check()
        press(page, "Sign ticked torques")
        moved(page, order, "road_test")
        page.goto(f"{order}road-test/")
        for name in ("lock_left", "lock_right", "dip"):
            page.locator(f"[name={name}][value=quiet]").check()
        page.locator("[name=loaded][value=not_done]").check()
        fill(page, marks__0__corner="LF", marks__0__place="arch lip", marks__0__gap_mm="9,5")
        press(page, "Record road test")
        page.goto(f"{order}hand-over/")
        press(page, "Hand over")
        assert page.complaints == []
    row.refresh_from_db()
    assert row.state == State.HANDED_OVER

    with browser_as(None, width=360) as page:
        page.goto(link)
        sheet = page.locator("a[href$='sheet.pdf']").first.get_attribute("href")
        answer = page.request.get(sheet)
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.body().startswith(b"%PDF")

    with browser_as(manager, width=1440) as page:
        page.goto(order)
        page.get_by_text("Handed over").first.wait_for()
        page.goto("/comebacks/")
        page.get_by_role("heading", name="Comebacks").first.wait_for()
        assert page.complaints == []

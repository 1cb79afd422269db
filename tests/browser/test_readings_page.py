"""Entering readings on a tablet: what is understood appears at once, and nothing gets lost."""

from __future__ import annotations

from typing import Any

import pytest

from alignment.models import RackVisit
from tests.browser.conftest import Opened
from tests.factories import make_order

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_readings_are_read_back_kept_and_saved(technician: Any, browser_as: Opened) -> None:
    order = make_order()
    with browser_as(technician) as page:
        page.goto(f"/orders/{order.pk}/readings/new/?stage=before")
        page.get_by_label("Camber, front left").fill("2,4 neg")
        page.get_by_label("Camber, front right").fill("-2°24'")
        page.get_by_label("Toe, front left").fill("0°03'")
        page.locator("#id_camber_LF_read", has_text="−2.40° = −2°24′ top inboard").wait_for()
        page.locator("#id_toe_LF").press("Tab")
        page.locator("#id_toe_LF_read", has_text="toe-in").wait_for()
        page.get_by_text("Draft on this device, not saved yet.").wait_for()
        assert page.complaints == []

        page.reload()
        assert page.get_by_label("Camber, front left").input_value() == "2,4 neg"

        page.get_by_role("button", name="Save readings").click()
        page.get_by_role("heading", name="Readings: Before the work").wait_for()
        assert page.get_by_text("−2.40").first.is_visible()
        assert page.complaints == []
    assert RackVisit.objects.get(order=order).values()["LF", "camber"] == -2.4


def test_a_refused_field_takes_the_focus_to_the_summary(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    with browser_as(technician, width=360, dark=True) as page:
        page.goto(f"/orders/{order.pk}/readings/new/")
        page.get_by_label("Camber, front left").fill("1 3")
        page.get_by_role("button", name="Save readings").click()
        summary = page.locator(".wrong-summary")
        summary.get_by_text("could be 1°03").wait_for()
        assert summary.evaluate("node => node === document.activeElement")
        summary.get_by_role("link", name="Camber, front left").click()
        assert page.evaluate("document.activeElement.id") == "id_camber_LF"
        assert page.get_by_label("Camber, front left").get_attribute("aria-invalid") == "true"
    assert not RackVisit.objects.exists()

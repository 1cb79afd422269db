"""A whole visit on a tablet with nothing but the number pad, the keys beside it, and a finger."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from alignment.models import RackVisit
from tests.alignment.factories import make_visit
from tests.browser.conftest import Opened
from tests.factories import make_order

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

#: In the order in which Enter leads through the form; a minus stands for the key beside it.
WALK = (
    ("Tyre pressure, front left", "2.4"),
    ("Tyre pressure, front right", "2.4"),
    ("Ride height, front left", "352"),
    ("Ride height, front right", "351"),
    ("Tyre pressure, rear left", "2.3"),
    ("Tyre pressure, rear right", "2.3"),
    ("Ride height, rear left", "348"),
    ("Ride height, rear right", "347"),
    ("Camber, front left", "-2.45"),
    ("Camber, front right", "-2.35"),
    ("Caster, front left", "6.5"),
    ("Caster, front right", "6.4"),
    ("Steering axis inclination, front left", "12.1"),
    ("Steering axis inclination, front right", "12.3"),
    ("Toe, front left", "-0.05"),
    ("Toe, front right", "-0.06"),
    ("Toe, total, front axle", ""),
    ("Camber, rear left", "-1.6"),
    ("Camber, rear right", "-1.55"),
    ("Toe, rear left", "0.1"),
    ("Toe, rear right", "0.12"),
)


def test_a_visit_is_typed_with_the_number_pad_alone(technician: Any, browser_as: Opened) -> None:
    order = make_order()
    make_visit(order, fuel="half a tank, boot empty", mileage_km=61_400, rack_name="North")
    with browser_as(technician, touch=True) as page:
        page.goto(reverse("visit_new", args=[order.pk]) + "?stage=after")
        offered = page.locator("#known_fuel option").first.get_attribute("value")
        assert offered == "half a tank, boot empty"
        assert page.locator("#known_mileage option").first.get_attribute("value") == "61400"
        page.get_by_label("Steering wheel straight ahead and held").check()
        page.get_by_label(WALK[0][0], exact=True).tap()
        for label, typed in WALK:
            field = page.locator("input:focus")
            assert field.evaluate("(one) => one.labels[0].textContent.trim()") == label
            assert field.get_attribute("inputmode") == "decimal", label
            if typed.startswith("-"):
                page.get_by_role("button", name=f"Change sign: {label}", exact=True).tap()
            assert field.evaluate("(one) => one === document.activeElement"), "the pad stays open"
            page.keyboard.type(typed.removeprefix("-"))
            page.keyboard.press("Enter")
        assert "new" in page.url, "Enter sends nothing"
        page.get_by_text("−2.45° = −2°27′ top inboard").wait_for()
        page.get_by_role("button", name="Save readings").tap()
        page.get_by_role("heading", name="Readings after the work").wait_for()
        assert page.complaints == []
    visit = RackVisit.objects.get(stage="after")
    assert visit.steering_ahead
    assert len(visit.values()) == len(WALK) - 1
    assert visit.values()["LF", "camber"] == -2.45
    assert visit.values()["RF", "toe"] == -0.06


def test_the_sign_turns_both_ways_and_all_keys_are_remembered(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    with browser_as(technician, touch=True) as page:
        page.goto(reverse("visit_new", args=[order.pk]))
        camber = page.get_by_label("Camber, front left", exact=True)
        sign = page.get_by_role("button", name="Change sign: Camber, front left", exact=True)
        assert sign.bounding_box()["height"] >= 44
        camber.fill("1.5")
        for expected in ("-1.5", "1.5", "-1.5"):
            sign.tap()
            assert camber.input_value() == expected
        page.get_by_text("Draft on this device").wait_for()
        page.get_by_label("Toe without a unit is in").evaluate("(one) => { one.value = 'in'; }")
        page.get_by_label("Toe without a unit is in").dispatch_event("change")
        toe = page.get_by_label("Toe, front left", exact=True)
        assert toe.get_attribute("inputmode") == "text", "a fraction needs its stroke"
        assert camber.get_attribute("inputmode") == "decimal"
        page.get_by_label("All keys").check()
        assert camber.get_attribute("inputmode") == "text"
        page.reload()
        assert camber.get_attribute("inputmode") == "text"
        assert camber.input_value() == "-1.5"


def test_with_a_keyboard_nothing_stands_beside_the_fields(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    with browser_as(technician, width=1440) as page:
        page.goto(reverse("visit_new", args=[order.pk]))
        assert page.get_by_role("button", name="Change sign").count() == 0
        page.get_by_label("Camber, front left", exact=True).fill("-1")
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "id_camber_RF"

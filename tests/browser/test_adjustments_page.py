"""From readings to moves, to hands on the car, and back to readings, on a tablet."""

from __future__ import annotations

from typing import Any

import pytest

from alignment.models import AcceptedAdjustments
from shop.models import LogEntry, WorkOrder
from tests.alignment.adjustments_orders import mount_part
from tests.browser.conftest import Opened
from tests.factories import make_line, make_order, make_vehicle
from tests.fitment.factories import make_order_wheels, make_plan, make_surveyed_car_model

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]

SIDES = {"LF": "front left", "RF": "front right"}
BEFORE = {
    "Camber": ("-1.60", "-1.45"),
    "Caster": ("5.1", "5.0"),
    "Toe, per wheel": ("0.20", "0.15"),
    "Top mount inboard": ("0 marks", "0 marks"),
    "Toe link": ("0 mm", "0 mm"),
}


def an_order() -> WorkOrder:
    order = make_order(vehicle=make_vehicle(car_model=make_surveyed_car_model()), state="on_lift")
    make_line(order, kind="part", part=mount_part(), axle="front")
    make_plan(order, "front", camber_deg=-2.2, adjusters={})
    make_order_wheels(order, "front")
    return order


def typed_in(page: Any, rows: dict[str, tuple[str, str]]) -> None:
    for name, texts in rows.items():
        for side, text in zip(SIDES.values(), texts, strict=True):
            label = f"{name.split(',')[0]}, {side}"
            page.get_by_label(label, exact=True).fill(text)
    page.get_by_label("Steering wheel straight ahead and held").check()
    with page.expect_navigation(url=lambda url: "/new/" not in url):
        page.get_by_role("button", name="Save readings").click()


def section(page: Any, corner: str) -> Any:
    return page.locator(f"section[aria-labelledby=corner-{corner}]")


def after_moves(page: Any, corner: str, quantity: str) -> float:
    """What the page says that the rack should read."""
    row = section(page, corner).locator("tr", has=page.get_by_role("rowheader", name=quantity))
    return float(row.first.locator("td").nth(2).inner_text().replace("−", "-"))


def test_moves_are_read_accepted_made_and_read_again(technician: Any, browser_as: Opened) -> None:
    order = an_order()
    url = f"/orders/{order.pk}/adjustments/"
    with browser_as(technician) as page:
        page.goto(url)
        page.get_by_role("link", name="Enter readings before the work").click()
        typed_in(page, BEFORE)

        page.goto(url)
        left = section(page, "LF")
        assert "mm inboard, to mark" in left.locator("ol.adjustments").inner_text()
        assert left.get_by_text("After these adjustments: The tyre clears").is_visible()
        assert left.get_by_role("radio", name="Make these adjustments").is_checked()
        told = {
            (corner, name): after_moves(page, corner, name)
            for corner in SIDES
            for name in ("Camber", "Toe")
        }
        with page.expect_navigation():
            page.get_by_role("button", name="Accept these adjustments").click()
        assert section(page, "RF").get_by_text("Accepted", exact=False).first.is_visible()
        assert page.get_by_role("button", name="Accept these adjustments").count() == 0

        page.get_by_role("link", name="Enter the next readings").click()
        camber = (f"{told['LF', 'Camber'] - 0.14:.2f}", f"{told['RF', 'Camber']:.2f}")
        toe = (f"{told['LF', 'Toe']:.2f}", f"{told['RF', 'Toe']:.2f}")
        typed_in(page, {"Camber": camber, "Toe, per wheel": toe})

        page.goto(url)
        assert section(page, "LF").get_by_text("Not as predicted: camber").is_visible()
        assert section(page, "LF").get_by_text("−0.14").first.is_visible()
        assert (
            section(page, "RF").get_by_text("As predicted: no significant difference").is_visible()
        )
        assert section(page, "LF").get_by_text("Not recorded since adjustments").is_visible()
        assert page.complaints == []
    rows = {row.corner: row for row in AcceptedAdjustments.objects.of_order(order)}
    assert set(rows) == {"LF", "RF"}
    assert rows["LF"].predicted["camber"] == pytest.approx(told["LF", "Camber"], abs=0.006)
    assert rows["LF"].clearance["clearance_mm"] > 0
    assert LogEntry.objects.filter(order=order, what="Adjustments accepted").count() == 1


@pytest.mark.parametrize(("width", "dark"), [(360, True), (820, False), (1440, True)])
def test_the_page_keeps_to_its_width_and_can_be_pressed(
    technician: Any, browser_as: Opened, width: int, dark: bool
) -> None:
    from tests.alignment.adjustments_orders import an_order as a_read_order

    order = a_read_order()
    with browser_as(technician, width=width, dark=dark) as page:
        page.goto(f"/orders/{order.pk}/adjustments/")
        wide = "document.documentElement.scrollWidth - window.innerWidth"
        assert page.evaluate(wide) <= 0
        for control in page.locator("main button, main .btn, main fieldset label").all():
            box = control.bounding_box()
            assert box is not None
            assert box["height"] >= 43.5
        # Bar and page share the first screen of a phone.
        bar = page.locator(".actions").bounding_box()
        assert bar is not None
        assert bar["height"] <= 180
        with page.expect_navigation():
            page.get_by_role("button", name="Accept these adjustments").click()
        assert page.evaluate(wide) <= 0
        assert page.complaints == []

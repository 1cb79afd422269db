"""The pages of mounting in a real browser: they fit, are accessible, and the console is silent."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from fitment.services.checks import check_run
from fitment.services.law import law_take_over
from fitment.services.measurements import measurement_add
from tests.browser.test_pages import SMALL, SMALLEST_TARGET_PX
from tests.factories import make_shop
from tests.fitment.factories import make_rubbing_order
from tests.fitment.test_guides import make_guide

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]


@pytest.fixture
def addresses(writer: Any, starting_rows: None) -> list[str]:
    """An order that a table promises to fit and that rubs, with a measured tyre and a law."""
    make_shop()
    law_take_over(preset="eu-cover")
    order = make_rubbing_order()
    tyre = order.order_wheels.get().tyre
    values = {"rim_in": 9.0, "width_mm": 260.0, "diameter_mm": 635.0}
    measurement_add(tyre=tyre, by=writer, values=values)
    row = make_guide(order.vehicle.pattern)
    check_run(order=order, by=writer)
    plain = ["law", "guide_list", "guide_new", "tyre_import", "wheel_import", "tyre_list"]
    return [
        *(reverse(name) for name in plain),
        reverse("order", args=[order.pk]),
        reverse("order_mounting", args=[order.pk]),
        reverse("tyre_edit", args=[tyre.pk]),
        reverse("tyre_measure", args=[tyre.pk]),
        *(reverse(f"guide{rest}", args=[row.guide_id]) for rest in ("", "_edit", "_revise")),
        reverse("guide_row_new", args=[row.guide_id]),
        reverse("guide_row_edit", args=[row.pk]),
        reverse("pattern_edit", args=[order.vehicle.pattern_id]),
    ]


@pytest.mark.parametrize(("width", "dark"), [(360, False), (820, True), (1920, False)])
def test_pages_of_mounting_fit_and_are_accessible(
    browser_as: Any, manager: Any, addresses: list[str], width: int, dark: bool
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    found: list[str] = []
    with browser_as(manager, width=width, dark=dark) as page:
        for address in addresses:
            page.complaints.clear()
            page.goto(address)
            for more in page.query_selector_all("details.more > summary"):
                more.click()
            if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                found.append(f"{address}: overflows sideways")
            if width < 1000:
                small = page.evaluate(SMALL % SMALLEST_TARGET_PX)
                found += [f"{address}: under 44 px: {target}" for target in small]
            found += [
                f"{address}: {violation['id']}: {violation['nodes'][0]['html'][:90]}"
                for violation in Axe().run(page).response["violations"]
            ]
            found += [f"{address}: {said}" for said in page.complaints]
    assert found == [], "\n".join(found)

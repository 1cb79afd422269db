"""Every kind of page in a real browser: it fits, it is accessible, and its console is silent."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from fitment.clearance.run import check_run
from fitment.surveys.sessions import session_open
from shop.money.quotes import quote_send
from tests.alignment.factories import make_visit
from tests.factories import (
    make_bay,
    make_booking,
    make_car_model,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_vehicle,
)
from tests.fitment.factories import make_ready_order

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]

SMALLEST_TARGET_PX = 43.5
SMALL = """() => [...document.querySelectorAll('a,button,input,select,textarea,summary')]
  .filter(e => e.type != 'hidden' && e.getClientRects().length
    && getComputedStyle(e).visibility != 'hidden'
    && !(e.tagName == 'A' && getComputedStyle(e).display == 'inline'))
  .filter(e => {
    const box = (e.closest('label') || e).getBoundingClientRect();
    return box.height < %s && box.width && !e.classList.contains('skip');
  })
  .map(e => e.outerHTML.slice(0, 90))"""


@pytest.fixture
def addresses(writer: Any, starting_rows: None) -> list[str]:
    """A shop with one order of everything, and the addresses of its pages."""
    make_shop()
    make_part()
    make_bay()
    order = make_ready_order()
    make_line(order)
    check = check_run(order=order, by=writer)
    quote = quote_send(order=order, by=writer)
    visit = make_visit(order)
    booked = make_booking(make_order())
    of_order = ["order", "order_edit", "order_lines", "plan_edit", "order_wheels", "room"]
    plain = ["home", "order_list", "order_new", "day_sheet", "customer_list", "car_model_list"]
    plain += ["wheel_list", "tyre_list", "part_list", "use_list", "comeback_list"]
    plain += ["bay_list", "staff", "shop_settings", "password"]
    car_model = order.vehicle.car_model_id
    measured = session_open(car_model=order.vehicle.car_model, corner="LF", by=writer)
    other = make_car_model(name="Estate")
    unmeasured = other.pk
    visit_order = make_order(kind="survey_visit", vehicle=make_vehicle(car_model=other))
    return [
        *(reverse(name) for name in plain),
        *(reverse(name, kwargs={"pk": order.pk}) for name in of_order),
        reverse("order", kwargs={"pk": booked.order_id}),
        reverse("booking_new", kwargs={"pk": booked.order_id}),
        reverse("quote", kwargs={"pk": quote.pk}),
        reverse("clearance_check", kwargs={"pk": check.pk}),
        reverse("visit", kwargs={"pk": visit.pk}),
        reverse("visit_edit", kwargs={"pk": visit.pk}),
        reverse("vehicle_readings", kwargs={"pk": order.vehicle_id}),
        reverse("readings_import", kwargs={"pk": order.pk}),
        reverse("import_layout_new"),
        reverse("car_model", kwargs={"pk": car_model}),
        reverse("survey", kwargs={"pk": car_model, "corner": "LF"}),
        reverse("survey_edit", kwargs={"pk": car_model, "corner": "LF"}),
        reverse("survey_measure", kwargs={"pk": car_model, "corner": "LF"}),
        reverse("survey_measure", kwargs={"pk": car_model, "corner": "RF"}),
        f"{measured.get_absolute_url()}?steps=straightedge%7Cfender+lip%7Cstanding%7C-60%7C",
        f"{measured.get_absolute_url()}?steps=hub_bar%7Cbrake+caliper%7Changing%7C%7C",
        f"{measured.get_absolute_url()}?form=joint",
        reverse("survey_session", kwargs={"pk": measured.pk}),
        *(
            reverse(name, kwargs={"pk": unmeasured, "corner": "LF"})
            for name in ("survey", "survey_measure", "survey_copy", "survey_import")
        ),
        reverse("car_model", kwargs={"pk": unmeasured}),
        reverse("order", kwargs={"pk": visit_order.pk}),
        reverse("vehicle", kwargs={"pk": order.vehicle_id}),
        reverse("customer", kwargs={"pk": order.customer_id}),
        reverse("customer_order", kwargs={"token": order.token}),
        "/no/such/page/",
    ]


@pytest.mark.parametrize(("width", "dark"), [(360, False), (820, True), (1920, False)])
def test_every_page_fits_and_is_accessible(
    browser_as: Any, manager: Any, addresses: list[str], width: int, dark: bool
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    found: list[str] = []
    with browser_as(manager, width=width, dark=dark) as page:
        for address in addresses:
            page.complaints.clear()
            page.goto(address)
            if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                found.append(f"{address}: overflows sideways")
            if width < 1000:
                small = page.evaluate(SMALL % SMALLEST_TARGET_PX)
                found += [f"{address}: under 44 px: {target}" for target in small]
            found += [
                f"{address}: {violation['id']}: {violation['nodes'][0]['html'][:90]}"
                for violation in Axe().run(page).response["violations"]
            ]
            noise = [said for said in page.complaints if "404" not in said]
            found += [f"{address}: {said}" for said in noise]
    assert found == [], "\n".join(found)

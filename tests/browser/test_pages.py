"""Every kind of page in a real browser: it fits, it is accessible, and its console is silent."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.surveys.sessions import session_open
from shop.money.services import quote_send
from tests.alignment.factories import make_visit
from tests.browser.conftest import Opened
from tests.browser.looks import AT_NIGHT, faults_as_opened, faults_of_all
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


@pytest.fixture
def addresses(writer: Any) -> list[str]:
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
    of_order = ["order", "order_edit", "order_lines", "plan_edit", "order_wheels", "clearance"]
    of_order += ["order_cost", "order_when", "order_done", "order_held", "order_log", "job_sheet"]
    of_order += ["order_mounting_checks", "order_guides", "order_earlier_jobs", "order_readings"]
    of_order += ["order_class_rules"]
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
        f"{measured.get_absolute_url()}?steps=straightedge%7Carch+lip%7Cstanding%7C-60%7C",
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


def test_every_page_fits_and_is_accessible(
    browser_as: Opened, manager: Any, addresses: list[str]
) -> None:
    with browser_as(manager) as page:
        found = faults_of_all(page, addresses)
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(("width", "dark"), AT_NIGHT)
def test_every_page_opened_at_this_size_fits_and_is_accessible(
    browser_as: Opened, manager: Any, addresses: list[str], width: int, dark: bool
) -> None:
    with browser_as(manager, width=width, dark=dark) as page:
        found = [fault for address in addresses for fault in faults_as_opened(page, address)]
    assert found == [], "\n".join(found)

"""The clearance page in a real browser: effects unfold, curves and maps are chosen in place."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.models import PresentCorner
from tests.browser.conftest import Opened
from tests.browser.looks import AT_NIGHT, faults, faults_as_opened, faults_of_all
from tests.fitment.factories import make_rubbing_order

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def room(technician: Any) -> str:
    order = make_rubbing_order()
    check_run(order=order, by=technician)
    return reverse("clearance", kwargs={"pk": order.pk})


def test_effects_curves_and_map_open_in_their_place(
    technician: Any, browser_as: Opened, room: str
) -> None:
    with browser_as(technician) as page:
        page.goto(room)
        assert page.locator("section.corner > .cols svg.scene").count() == 2
        effects = page.locator("details.effects").first
        assert not effects.get_by_role("table").is_visible()
        effects.locator("summary").click()
        assert effects.get_by_text("3 mm less spacer", exact=True).is_visible()

        page.locator("details.curves > summary").click()
        curves = page.locator("#curves-LF")
        curves.get_by_role("link", name="Toe", exact=True).click()
        page.locator("#curves-LF svg.scene").wait_for()
        page.locator("#curves-LF [aria-current]", has_text="Toe").wait_for()
        page.locator("#curves-LF").get_by_role("link", name="Camber over lock").click()
        page.locator("#curves-LF [aria-current]", has_text="Camber over lock").wait_for()
        assert page.locator("#curves-LF svg.scene").count() == 1

        page.locator("details.maps > summary").click()
        page.locator("#map-LF").get_by_role("link", name="Inner panel").click()
        page.locator("#map-LF svg.scene").wait_for()
        page.locator("#map-LF summary").click()
        assert page.locator("#map-LF").get_by_role("table").is_visible()
        assert page.url.endswith(room)
        assert page.complaints == []


@pytest.mark.parametrize(("width", "dark"), [(360, False), (1440, True)])
def test_everything_unfolded_fits_and_is_accessible(
    technician: Any, browser_as: Opened, room: str, width: int, dark: bool
) -> None:
    with browser_as(technician, width=width, dark=dark) as page:
        page.goto(room)
        unfold(page)
        page.locator("#curves-LF").get_by_role("link", name="Camber", exact=True).click()
        page.locator("#curves-LF svg.scene").wait_for()
        page.locator("#map-LF").get_by_role("link", name="Arch lip").click()
        page.locator("#map-LF svg.scene").wait_for()
        assert faults(page) == []
        assert page.complaints == []


def unfold(page: Any) -> None:
    page.evaluate("document.querySelectorAll('main details').forEach(d => { d.open = true })")


@pytest.fixture
def of_a_car(technician: Any) -> list[str]:
    """Addresses of pages on which is entered or shown what was read on one car."""
    order = make_rubbing_order()
    check = check_run(order=order, by=technician)
    wheels = order.order_wheels.get()
    PresentCorner.objects.create(
        order=order, corner="LF", wheel=wheels.wheel, tyre=wheels.tyre, toe_deg=0.1, by=technician
    )
    car_model = order.vehicle.car_model_id
    return [
        *(reverse("gaps", kwargs={"pk": order.pk, "corner": corner}) for corner in ("LF", "RF")),
        *(
            reverse(name, kwargs={"pk": check.pk, "corner": "LF"})
            for name in ("clearance_curves", "clearance_map", "clearance_tyre")
        ),
        reverse("clearance_car", kwargs={"pk": check.pk}),
        *(
            reverse(name, kwargs={"pk": car_model, "corner": "LF"})
            for name in ("travel_sheet", "joint_fit", "survey_edit")
        ),
    ]


def test_what_is_read_on_a_car_is_entered_on_pages_that_fit(
    technician: Any, browser_as: Opened, of_a_car: list[str]
) -> None:
    with browser_as(technician) as page:
        found = faults_of_all(page, of_a_car, unfold)
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(("width", "dark"), AT_NIGHT)
def test_pages_of_what_is_read_opened_at_this_size_fit(
    technician: Any, browser_as: Opened, of_a_car: list[str], width: int, dark: bool
) -> None:
    with browser_as(technician, width=width, dark=dark) as page:
        found = [line for at in of_a_car for line in faults_as_opened(page, at, unfold)]
    assert found == [], "\n".join(found)

"""The pages of fitment as the people of the shop see them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from common.corners import CORNERS
from fitment.clearance.gate import clearance_gate
from fitment.clearance.services import check_run
from fitment.demo.surveys import STRUT_FRONT
from fitment.models import ClearanceCheck
from shop.models import Comeback
from shop.orders.services.gates import gate_override
from tests.factories import make_line, make_order, make_part, make_vehicle
from tests.fitment.factories import (
    make_order_wheels,
    make_plan,
    make_ready_order,
    make_rubbing_order,
    make_survey,
    make_surveyed_car_model,
    make_tyre,
)
from tests.pdf import text_of_pdf

pytestmark = pytest.mark.django_db
CHANGED = {**STRUT_FRONT, "limits": {**STRUT_FRONT["limits"], "bump_mm": 50}}
Browsers = Callable[[Any], Client]


def page(browser: Client, name: str, *args: Any, **query: str) -> str:
    response = browser.get(reverse(name, args=args), query)
    assert response.status_code == 200
    return response.content.decode()


# The clearance of an order


def test_the_writer_checks_the_clearance_and_reads_the_verdict(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = make_ready_order(), client_of(writer)
    assert "Check clearance" in page(browser, "clearance", order.pk)
    answer = browser.post(reverse("clearance_run", args=[order.pk]), follow=True)
    text = answer.content.decode()
    assert "clears" in text
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="scene"' in text
    assert "style=" not in text
    assert ClearanceCheck.objects.get().by == writer


def test_two_corners_that_are_alike_are_shown_once(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order(axles="front rear")
    check_run(order=order, by=writer)
    text = page(client_of(writer), "clearance", order.pk)
    assert text.count('<section class="corner"') == 2
    assert text.count('class="scene"') == 6, "in section, from the side, and what was looked at"
    assert "Front left and front right" in text


def test_a_corner_that_rubs_shows_what_else_makes_the_same_camber(
    client_of: Browsers, writer: Any
) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=writer)
    text = page(client_of(writer), "clearance", order.pk)
    assert "Options" in text
    assert "The same −2.40° with nothing else changed" in text
    assert "set with the top mount" in text or "by the top mount" in text
    assert reverse("plan_edit", args=[order.pk]) in text
    assert reverse("order_wheels", args=[order.pk]) in text


def test_what_is_out_of_reach_says_by_how_much(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order()
    part = make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=6)
    make_line(order, kind="part", part=part, axle="front")
    check_run(order=order, by=writer)
    text = page(client_of(writer), "clearance", order.pk)
    assert "Out of reach." in text
    assert "the parts allow 0.0 to +6.0 mm" in text


def test_a_stale_check_is_shown_as_what_it_was_and_offers_to_check_again(
    client_of: Browsers, writer: Any
) -> None:
    order = make_ready_order()
    check_run(order=order, by=writer)
    order.order_wheels.update(spacer_mm=2.0)
    text = page(client_of(writer), "clearance", order.pk)
    assert "Check again" in text
    assert "The last check, before the changes" in text


def test_every_problem_is_listed_with_its_link(client_of: Browsers, writer: Any) -> None:
    order = make_order(vehicle=make_vehicle(car_model=make_surveyed_car_model()))
    make_order_wheels(order)
    make_plan(order, "rear", camber_by="lower_arm")
    text = page(client_of(writer), "clearance", order.pk)
    assert "front axle has wheels but no planned settings" in text
    assert "rear axle has planned settings but no wheels" in text
    refused = client_of(writer).post(reverse("clearance_run", args=[order.pk]), follow=True)
    assert "Nothing was checked" in refused.content.decode()
    assert not ClearanceCheck.objects.exists()


def test_an_unmeasured_car_leads_the_writer_to_a_survey_visit(
    client_of: Browsers, writer: Any
) -> None:
    order = make_order(vehicle=make_vehicle(car_model=None))
    make_order_wheels(order)
    make_plan(order)
    text = page(client_of(writer), "clearance", order.pk)
    assert "Book a survey visit" in text
    assert "kind=survey_visit" in text


def test_an_override_stands_on_the_page_with_its_reason(client_of: Browsers, manager: Any) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=manager)
    digest = clearance_gate(order).digest
    gate_override(order=order, by=manager, reason="A trial fit comes first", digest=digest)
    assert "A trial fit comes first" in page(client_of(manager), "clearance", order.pk)


def test_an_old_check_stays_as_it_was(client_of: Browsers, writer: Any) -> None:
    order = make_rubbing_order()
    old = check_run(order=order, by=writer)
    order.order_wheels.update(tyre=make_tyre(), spacer_mm=0)
    order.planned_settings.update(camber_by="top_mount")
    check_run(order=order, by=writer)
    browser = client_of(writer)
    assert reverse("clearance_check", args=[old.pk]) in page(browser, "clearance", order.pk)
    text = page(browser, "clearance_check", old.pk)
    assert "contact" in text
    assert "by the lower arm" in text
    assert 'class="scene"' in text


def test_the_check_of_a_closed_order_stays_what_it_was(
    client_of: Browsers, writer: Any, stranger: Client
) -> None:
    order = make_ready_order()
    check_run(order=order, by=writer)
    make_survey(order.vehicle.car_model, "LF", version=2, document={**CHANGED})
    type(order).objects.filter(pk=order.pk).update(state="handed_over")
    for text in (
        page(client_of(writer), "clearance", order.pk),
        page(client_of(writer), "order", order.pk),
        page(stranger, "customer_order", order.token),
    ):
        assert "clears the" in text
        assert "out of date" not in text


def test_dampers_of_unknown_travel_leave_the_corner_unmeasured_by_name(
    client_of: Browsers, writer: Any
) -> None:
    order = make_ready_order()
    make_line(order, kind="part", part=make_part(name="Long damper", kind="damper"))
    check_run(order=order, by=writer)
    text = page(client_of(writer), "clearance", order.pk)
    assert "Long damper is not the damper of the survey" in text
    assert "how far the wheel can go into bump is not known" in text.lower()
    assert "Enter the travel of Long damper" in text
    assert clearance_gate(order).result == "unmeasured"


def test_dampers_of_known_travel_bring_their_own_stops(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order()
    known = {"bump_mm": 50, "droop_mm": 40, "height_by": "body"}
    make_line(order, kind="part", part=make_part(kind="coilover", axle="front", **known))
    check = check_run(order=order, by=writer)
    # the car is lowered by 15 mm, and the body of the damper takes its stops along
    assert check.inputs["corners"]["LF"]["limits"]["bump_mm"] == 65
    assert check.inputs["corners"]["LF"]["limits"]["droop_mm"] == 25
    assert "takes them along" in page(client_of(writer), "clearance", order.pk)


# The order page and the customer's


def test_the_order_page_asks_the_same_number_of_questions_however_much_was_checked(
    client_of: Browsers, writer: Any, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    browser = client_of(writer)
    counts = []
    for times in (1, 4):
        order = make_ready_order(axles="front rear")
        for spacer in range(times):
            order.order_wheels.update(spacer_mm=float(spacer))
            check_run(order=order, by=writer)
        page(browser, "order", order.pk)
        with django_assert_max_num_queries(60) as captured:
            page(browser, "order", order.pk)
        counts.append(len(captured.captured_queries))
    assert counts[0] == counts[1]


def test_the_order_page_shows_wheels_and_clearance(client_of: Browsers, writer: Any) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=writer)
    text = page(client_of(writer), "order", order.pk)
    assert "Wide tyre 265/35R18, 5 mm spacer" in text
    assert "overlaps the arch lip" in text


def test_the_customer_reads_whole_millimetres(stranger: Client) -> None:
    order = make_ready_order()
    check_run(order=order, by=None)
    text = page(stranger, "customer_order", order.token)
    assert 'id="clearance"' in text
    assert 'data-test="fit"' in text
    assert text.count('class="scene"') >= 3  # from the side, the spot in section, the whole of it


def test_a_survey_visit_lists_the_corners_to_measure(client_of: Browsers, technician: Any) -> None:
    vehicle = make_vehicle(car_model=make_surveyed_car_model(corners="LF"))
    order = make_order(kind="survey_visit", vehicle=vehicle)
    text = page(client_of(technician), "order", order.pk)
    assert all(f'data-test="answer-survey-{corner}"' in text for corner in CORNERS)
    assert "Version 1, measured" in text


def test_the_sheet_holds_wheels_verdict_and_drawing(client_of: Browsers, writer: Any) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=writer)
    answer = client_of(writer).get(reverse("order_sheet", args=[order.pk]))
    text = text_of_pdf(answer.content)
    assert "Wide tyre 265/35R18" in text
    assert "overlaps the arch lip" in text
    assert "hub face" in text


# Comebacks


def test_a_comeback_stands_beside_what_was_predicted_and_decided(
    client_of: Browsers, manager: Any
) -> None:
    first = make_rubbing_order()
    check_run(order=first, by=manager)
    digest = clearance_gate(first).digest
    gate_override(order=first, by=manager, reason="He insists", digest=digest)
    for place in ("Arch lip", "arch lip", "mud flap"):
        order = make_order(kind="comeback", vehicle=first.vehicle, first_order=first)
        Comeback.objects.create(
            order=order, first_order=first, corner="LF", place=place, happens="dip"
        )
    bare = make_order()
    order = make_order(kind="comeback", vehicle=bare.vehicle, first_order=bare)
    Comeback.objects.create(
        order=order, first_order=bare, corner="RR", place="liner", happens="dip"
    )
    answer = client_of(manager).get(reverse("comeback_list"))
    text = answer.content.decode()
    assert "He insists" in text
    assert answer.context["places"][0] == ("arch lip", 2)
    assert dict(answer.context["causes"]) == {
        "went on in spite of “contact”": 3,
        "no clearance check was made": 1,
    }
    predicted = {row.place: row.predicted for row in answer.context["rows"]}
    assert predicted["Arch lip"].verdict == "contact"
    assert predicted["mud flap"] is None


def test_the_list_of_comebacks_asks_a_fixed_number_of_questions(
    client_of: Browsers, manager: Any, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    browser, car_model = client_of(manager), make_surveyed_car_model()
    for _ in range(3):
        first = make_ready_order(car_model=car_model)
        check_run(order=first, by=manager)
        order = make_order(kind="comeback", vehicle=first.vehicle, first_order=first)
        Comeback.objects.create(
            order=order, first_order=first, corner="LF", place="arch lip", happens="dip"
        )
    with django_assert_max_num_queries(9):
        page(browser, "comeback_list")


def test_no_comebacks_say_what_to_do(client_of: Browsers, manager: Any) -> None:
    assert "Nothing has come back" in page(client_of(manager), "comeback_list")


def test_a_corner_of_no_car_is_not_there(client_of: Browsers, writer: Any) -> None:
    car_model = make_survey(make_surveyed_car_model(corners="RF"), "LF").car_model
    assert client_of(writer).get(f"/car-models/{car_model.pk}/surveys/XX/").status_code == 404

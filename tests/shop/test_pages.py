"""Lists and pages: what they find, how often they ask the database, what they keep."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from shop.extensions.points import BOOKING_GATES, CUSTOMER_PANELS, ORDER_ANSWERS
from shop.models import CarModel, State, User
from tests.factories import (
    make_bay,
    make_booking,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_quote,
    make_shop,
    make_user,
    make_vehicle,
    tomorrow_at,
)
from tests.shop import gates_for_tests

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture(autouse=True)
def _alone(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)
    swap_plugs(ORDER_ANSWERS)
    swap_plugs(CUSTOMER_PANELS)
    make_shop()


def queries(client, url: str) -> int:
    client.get(url)
    with CaptureQueriesContext(connection) as captured:
        assert client.get(url).status_code == 200
    return len(captured)


def full_order() -> None:
    order = make_order(state=State.BOOKED)
    make_line(order, kind="part", part=make_part())
    make_line(order)
    make_booking(order)


@pytest.mark.parametrize(
    "name", ["order_list", "customer_list", "vehicle_list", "car_model_list", "day_sheet"]
)
def test_a_list_asks_no_more_for_thirty_orders_than_for_three(name, writer, client_of) -> None:
    client = client_of(writer)
    for _ in range(3):
        full_order()
    few = queries(client, reverse(name))
    for _ in range(27):
        full_order()
    assert queries(client, reverse(name)) == few


def test_an_order_page_asks_no_more_with_many_rows(writer, client_of) -> None:
    client = client_of(writer)
    order = make_order(state=State.ON_LIFT)
    url = reverse("order", args=[order.pk])

    def add_rows(count: int) -> None:
        for _ in range(count):
            make_line(order, kind="part", part=make_part(torque_nm=Decimal(50)))
            make_quote(order)
            make_booking(order)
            order.installed.create(description="Top mount", by=writer)
            order.torques.create(what="Nut", torque_nm=50, tool="Wrench", by=writer)
            order.log.create(by=writer, who="W", what="Act")
            test = order.road_tests.create(by=writer)
            test.marks.create(corner="LF", place="lip", gap_mm=3)

    add_rows(2)
    few = queries(client, url)
    add_rows(6)
    for _ in range(10):
        full_order()
    assert queries(client, url) == few


@pytest.mark.parametrize("name", ["order_list", "customer_list", "vehicle_list", "order_new"])
def test_a_search_finds_by_customer_and_by_plate_and_nothing_else(name, writer, client_of) -> None:
    client = client_of(writer)
    wanted = make_vehicle(customer=make_customer(name="Ilka Brandvold"), plate="LG 17 IBV")
    make_order(vehicle=wanted)
    make_order(vehicle=make_vehicle(customer=make_customer(name="Jonas Pettigrue")))
    for words in ("brandvold", "ilka lg 17"):
        page = client.get(reverse(name), {"q": words}).content.decode()
        assert "Ilka Brandvold" in page
        assert "Jonas Pettigrue" not in page
    assert "contains all of these words" in client.get(reverse(name), {"q": "zzz"}).content.decode()


def test_lists_come_in_pages(writer, client_of) -> None:
    for _ in range(30):
        make_order()
    client = client_of(writer)
    first = client.get(reverse("order_list")).content.decode()
    assert "Page 1 of 2" in first
    assert "Page 2 of 2" in client.get(reverse("order_list"), {"page": 2}).content.decode()
    assert "Page 2 of 2" in client.get(reverse("order_list"), {"page": "99"}).content.decode()


def test_home_lists_open_orders_with_the_next_act(technician, client_of) -> None:
    booked = make_order(state=State.BOOKED)
    make_booking(booked, starts_at=timezone.now())
    make_order(state=State.HANDED_OVER, number="T-DONE")
    page = client_of(technician).get(reverse("home")).content.decode()
    assert "Put the car on the lift" in page
    assert "T-DONE" not in page


def test_the_order_page_has_one_primary_action_for_those_who_may_act(
    writer, technician, client_of
) -> None:
    order = make_order()
    make_line(order)
    url = reverse("order", args=[order.pk])
    page = client_of(writer).get(url).content.decode()
    assert page.count("btn primary") == 1
    assert "Send quote" in page
    page = client_of(technician).get(url).content.decode()
    assert page.count("btn primary") == 0
    assert "Waiting for a service writer" in page


def test_lines_with_a_mistake_name_the_field_and_keep_what_was_typed(writer, client_of) -> None:
    order = make_order()
    data = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "part",
        "lines-0-axle": "any",
        "lines-0-description": "A special bracket",
        "lines-0-quantity": "many",
    }
    page = client_of(writer).post(reverse("order_lines", args=[order.pk]), data).content.decode()
    assert "Line 1, Quantity" in page
    assert 'value="A special bracket"' in page
    assert 'value="many"' in page
    assert "Enter the unit price." in page
    assert not order.lines.exists()


def test_lines_of_another_order_cannot_be_reached(writer, client_of) -> None:
    mine, other = make_order(), make_order()
    line = make_line(other, description="Theirs")
    data = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "1",
        "lines-0-id": str(line.pk),
        "lines-0-kind": "labour",
        "lines-0-axle": "any",
        "lines-0-description": "Mine now",
    }
    client_of(writer).post(reverse("order_lines", args=[mine.pk]), data)
    line.refresh_from_db()
    assert (line.order, line.description) == (other, "Theirs")


def test_a_refused_booking_keeps_the_form_and_names_the_bay(writer, client_of) -> None:
    bay, technician = make_bay(name="Bay by the door"), make_user("technician")
    make_booking(make_order(), bay=bay)
    order = make_order(kind="survey_visit")
    data = {
        "day": tomorrow_at(9).date().isoformat(),
        "starts": "10:00",
        "ends": "11:00",
        "bay": bay.pk,
        "technician": technician.pk,
    }
    page = client_of(writer).post(reverse("booking_new", args=[order.pk]), data).content.decode()
    assert "Bay by the door is booked" in page
    assert 'value="10:00"' in page


def test_the_day_sheet_is_a_list_per_bay_with_free_time_between(technician, client_of) -> None:
    bay = make_bay(name="Bay by the door")
    booking = make_booking(make_order(), bay=bay)
    day = booking.starts_at.date()
    page = client_of(technician).get(reverse("day_sheet", args=[day.isoformat()])).content.decode()
    assert "Bay by the door" in page
    for times in ("08:00–09:00", "09:00–11:00", "11:00–18:00"):
        assert times in page
    mine = client_of(technician).get(reverse("day_sheet", args=[day.isoformat()]), {"mine": "yes"})
    assert booking.order.number not in mine.content.decode()


@pytest.mark.parametrize("date", ["never", "2026-13-40", "0001-01-01", "9999-12-31"])
def test_a_day_that_is_none_is_not_found(date, technician, client_of) -> None:
    assert client_of(technician).get(reverse("day_sheet", args=[date])).status_code == 404


def test_a_technician_sees_no_form_of_the_desk(technician, client_of) -> None:
    order = make_order(state=State.APPROVED)
    page = client_of(technician).get(reverse("order", args=[order.pk])).content.decode()
    for name in ("order_lines", "quote_send", "booking_new", "order_edit"):
        assert reverse(name, args=[order.pk]) not in page


def test_a_survey_visit_can_be_opened_from_a_link(writer, client_of) -> None:
    first = make_order()
    url = (
        f"{reverse('order_new')}?vehicle={first.vehicle_id}&kind=survey_visit"
        f"&first_order={first.pk}"
    )
    client = client_of(writer)
    assert 'value="survey_visit" selected' in client.get(url).content.decode()
    answer = client.post(url, {"kind": "survey_visit", "use": "street", "request_text": "Measure"})
    order = first.follow_ups.get()
    assert answer.url == order.get_absolute_url()
    assert not order.needs_check


def test_a_survey_visit_of_another_car_is_not_tied(writer, client_of) -> None:
    vehicle, other = make_vehicle(), make_order()
    url = f"{reverse('order_new')}?vehicle={vehicle.pk}&kind=other&first_order={other.pk}"
    client_of(writer).post(url, {"kind": "other", "use": "street"})
    assert not other.follow_ups.exists()


# The manager's pages


def test_a_manager_adds_a_person_who_can_sign_in(manager, client_of) -> None:
    data = {
        "username": "newcomer",
        "display_name": "A Newcomer",
        "role": "writer",
        "is_active": "on",
        "password": "a long enough sentence",
    }
    assert client_of(manager).post(reverse("staff_new"), data).status_code == 302
    person = User.objects.get(username="newcomer")
    assert person.check_password("a long enough sentence")
    assert person.role == "writer"


def test_a_weak_password_is_refused(manager, client_of) -> None:
    data = {"username": "newcomer", "role": "writer", "is_active": "on", "password": "short"}
    page = client_of(manager).post(reverse("staff_new"), data).content.decode()
    assert "too short" in page
    assert not User.objects.filter(username="newcomer").exists()


def test_managers_cannot_lock_themselves_out(manager, client_of) -> None:
    data = {"username": manager.username, "role": "technician", "password": ""}
    page = client_of(manager).post(reverse("staff_edit", args=[manager.pk]), data)
    assert "disable your own account" in page.content.decode()
    manager.refresh_from_db()
    assert manager.is_active
    assert manager.role == "manager"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"currency": "E1"}, "three letters"),
        ({"retorque_km_to": "10"}, "less than the start"),
        ({"tax_rate": "120"}, "100"),
        ({"timezone": "Nowhere/Town"}, "valid choice"),
    ],
)
def test_senseless_settings_are_refused_with_the_reason(change, words, manager, client_of) -> None:
    data = {
        "name": "Shop",
        "currency": "EUR",
        "hourly_rate": "90,50",
        "tax_rate": "20",
        "retorque_km_from": "50",
        "retorque_km_to": "100",
        "next_check_km": "1000",
        "sheet_size": "a4",
    }
    client = client_of(manager)
    assert client.post(reverse("shop_settings"), data).status_code == 302
    page = client.post(reverse("shop_settings"), data | change)
    assert page.status_code == 200
    assert words in page.content.decode()


def test_a_part_that_sets_something_moves_the_wheel(writer, client_of) -> None:
    data = {
        "number": "P-1",
        "name": "Mount",
        "kind": "top mount",
        "axle": "front",
        "price": "10",
        "adjuster": "top_mount_in_mm",
        "reach_min": "12",
        "reach_max": "0",
    }
    page = client_of(writer).post(reverse("part_new"), data).content.decode()
    assert "moves the wheel" in page
    assert "less than the start of the range" in page


def test_a_car_model_that_is_missing_is_added_on_the_way_to_a_vehicle(writer, client_of) -> None:
    client, customer = client_of(writer), make_customer()
    url = f"{reverse('vehicle_new')}?customer={customer.pk}&for=order"
    assert 'name="detour" value="car_model"' in client.get(url).content.decode()
    way = client.post(url, {"detour": "car_model"}).headers["Location"]
    sent = client.post(way, {"name": "Hatch, struts in front"})
    back = client.get(sent.headers["Location"])
    assert back.context["form"]["car_model"].value() == CarModel.objects.get().pk
    assert f"customer={customer.pk}&for=order" in sent.headers["Location"]

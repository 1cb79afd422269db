"""One order from the enquiry to the hand-over, each step by the person whose step it is."""

from decimal import Decimal

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from shop.extensions.points import BOOKING_GATES, CUSTOMER_PANELS, ORDER_ANSWERS, SHEET_SECTIONS
from shop.models import InstalledPart, LogEntry, Quote, State, WorkOrder
from shop.orders.services.torques import torques_due
from tests.factories import (
    as_read,
    make_bay,
    make_car_model,
    make_customer,
    make_part,
    make_shop,
    make_user,
)
from tests.pdf import text_of_pdf
from tests.shop import gates_for_tests
from tests.shop.gates_for_tests import say

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture(autouse=True)
def _told_gate(swap_plugs):
    """A gate that the test tells what to say, and no pages of other apps."""
    swap_plugs(BOOKING_GATES, gates_for_tests.told_gate)
    for point in (ORDER_ANSWERS, CUSTOMER_PANELS, SHEET_SECTIONS):
        swap_plugs(point)
    say(result="clear", sentence="Clears everywhere, by 9 mm at the least.")
    make_shop(name="Lindgrove Chassis Works")


def lines_data(part) -> dict[str, str]:
    data = {
        "lines-TOTAL_FORMS": "4",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "labour",
        "lines-0-axle": "any",
        "lines-0-description": "Fit and set up",
        "lines-0-quantity": "2,5",
        "lines-1-kind": "part",
        "lines-1-axle": "any",
        "lines-1-part": str(part.pk),
        "lines-1-quantity": "2",
    }
    for row in (2, 3):
        data |= {f"lines-{row}-kind": "labour", f"lines-{row}-axle": "any"}
    return data


def test_an_order_travels_from_the_enquiry_to_the_hand_over(
    writer, technician, manager, client_of
) -> None:
    desk, floor, office = client_of(writer), client_of(technician), client_of(manager)
    car_model, bay = make_car_model(), make_bay(has_rack=True)
    part = make_part(name="Camber top mount", torque_nm=Decimal("47.0"), price=Decimal("265.00"))

    # The writer takes down the customer, the car and the request.
    speech = {"language": "en-gb", "units": "mm", "angles": "decimal"}
    answer = desk.post(f"{reverse('customer_new')}?for=order", {"name": "Ilka Brandvold", **speech})
    answer = desk.post(
        answer.url,
        {
            "description": "2017 coupé",
            "car_model": car_model.pk,
            "market": "other",
            "mileage_km": 61400,
        },
    )
    answer = desk.post(
        answer.url,
        {
            "kind": "install",
            "request_text": "More camber in front",
            "use": "autocross",
            "class_rules": "street class",
            "mileage_km": "61400",
            "moves_wheel_or_height": "on",
        },
    )
    order = WorkOrder.objects.get()
    page = reverse("order", args=[order.pk])
    assert answer.url == page
    assert order.number == "W0001"
    assert "Add quote lines" in desk.get(page).content.decode()

    # Lines: what is left empty is filled in from the part, the rate and the tax.
    desk.post(reverse("order_lines", args=[order.pk]), lines_data(part))
    assert order.totals.net == Decimal("730.00")
    assert order.totals.total == Decimal("876.00")

    # The quote carries what the gate says, and the word on the class.
    desk.post(reverse("quote_send", args=[order.pk]), {"note": "Valid for a month."})
    quote = Quote.objects.get()
    assert quote.total == Decimal("876.00")
    assert "street class" in quote.class_caution
    order.refresh_from_db()
    assert order.state == State.QUOTED
    address = reverse("customer_order", args=[order.token])
    assert f"{settings.SITE_URL}{address}" in desk.get(quote.get_absolute_url()).content.decode()

    # The customer reads it on the link and authorises it.
    customer = Client()
    link = reverse("customer_order", args=[order.token])
    shown = customer.get(link).content.decode()
    assert "€876.00" in shown
    assert "street class" in shown
    sign = reverse("customer_authorise", args=[order.token])
    answer = customer.post(sign, as_read(quote) | {"name": "Ilka Brandvold", "agree": "on"})
    assert answer.url == link
    assert "Authorised by" in customer.get(link).content.decode()
    order.refresh_from_db()
    assert order.state == State.APPROVED

    # Parts wait while the check is stale, and are ordered when it is not.
    say(result="stale", sentence="The wheels have changed since the check.")
    answer = desk.post(reverse("parts_order", args=[order.pk]))
    assert "The wheels have changed since the check." in answer.content.decode()
    say(result="clear", sentence="Clears everywhere, by 9 mm at the least.")
    desk.post(reverse("parts_order", args=[order.pk]))
    order.refresh_from_db()
    assert order.waiting_for == "parts"
    desk.post(reverse("order_wait", args=[order.pk]), {"waiting_for": ""})

    # A bay with the rack, and a technician.
    booking = {
        "day": "2090-05-04",
        "starts": "09:00",
        "ends": "12:00",
        "bay": bay.pk,
        "technician": technician.pk,
        "needs_rack": "on",
    }
    desk.post(reverse("booking_new", args=[order.pk]), booking)
    order.refresh_from_db()
    assert order.state == State.BOOKED
    sheet = floor.get(reverse("day_sheet", args=["2090-05-04"])).content.decode()
    assert "W0001" in sheet
    assert "09:00" in sheet

    # On the lift: part, torques, road test.
    move = reverse("order_move", args=[order.pk])
    floor.post(move, {"to": "on_lift"})
    line = order.lines.get(part=part)
    floor.post(
        reverse("installed_new", args=[order.pk]),
        {
            "line": line.pk,
            "corner_or_axle": "front",
            "serial": "TM-0077",
            "removed": "Top mounts",
            "removed_to": "given to the customer",
        },
    )
    assert InstalledPart.objects.get().part == part
    refused = floor.post(move, {"to": "road_test"})
    assert "Torque not signed" in refused.content.decode()
    due = torques_due(order)
    assert len(due) == 6, "two mounts and four wheels"
    floor.post(
        reverse("torque_sign", args=[order.pk]),
        {"tool": "Wrench 2"}
        | {f"done_{one.key}": "on" for one in due}
        | {f"torque_{one.key}": str(one.torque_nm) for one in due},
    )
    floor.post(move, {"to": "road_test"})
    test = {"lock_left": "quiet", "lock_right": "quiet", "dip": "quiet", "loaded": "not_done"}
    marks = {
        "marks-TOTAL_FORMS": "4",
        "marks-INITIAL_FORMS": "0",
        "marks-0-corner": "LF",
        "marks-0-place": "arch lip",
        "marks-0-gap_mm": "9,5",
    }
    floor.post(reverse("road_test", args=[order.pk]), test | marks)
    assert order.road_tests.get().marks.get().gap_mm == 9.5
    floor.post(reverse("hand_over", args=[order.pk]), {"reason": ""})
    order.refresh_from_db()
    assert order.state == State.HANDED_OVER

    # The customer has the sheet; the log has every step.
    answer = customer.get(reverse("customer_sheet", args=[order.token]))
    text = text_of_pdf(answer.content)
    assert "TM-0077" in text
    assert "Wrench 2" in text
    assert "61 450 to 61 500 km" in " ".join(text.split())
    moves = LogEntry.objects.filter(order=order, what__contains="→").order_by("pk")
    assert [entry.what for entry in moves] == [
        "Enquiry → Quoted",
        "Quoted → Approved",
        "Approved → Booked",
        "Booked → On the lift",
        "On the lift → Road test",
        "Road test → Handed over",
    ]
    assert [entry.who for entry in moves][1] == "Ilka Brandvold"
    assert office.get(page).status_code == 200


def test_a_contact_is_booked_only_after_the_manager_and_the_customer(
    writer, manager, client_of
) -> None:
    desk, office = client_of(writer), client_of(manager)
    sentence = "Rubs the arch lip: 4 mm too little."
    say(result="contact", sentence=sentence, digest="abc")
    order = _asked_with_a_line(desk)
    desk.post(reverse("quote_send", args=[order.pk]))
    sign = reverse("customer_authorise", args=[order.token])
    yes = as_read(order.quotes.get()) | {"name": "Ilka Brandvold", "agree": "on"}
    refused = Client().post(sign, yes).content.decode()
    assert "tick that you have read the warning" in refused
    assert 'value="Ilka Brandvold"' in refused
    Client().post(sign, yes | {"signed_warning": "on"})
    page = reverse("order", args=[order.pk])
    assert "a manager&#x27;s reason" in desk.get(page).content.decode()
    override = reverse("gate_override", args=[order.pk])
    assert sentence in office.get(override).content.decode()
    office.post(override, {"digest": "stale one", "reason": "The lip is rolled"})
    assert not order.overrides.exists()
    office.post(override, {"digest": "abc", "reason": "The lip is rolled"})
    assert order.overrides.get().reason == "The lip is rolled"
    technician, bay = make_user("technician"), make_bay()
    booking = {
        "day": "2090-05-04",
        "starts": "09:00",
        "ends": "12:00",
        "bay": bay.pk,
        "technician": technician.pk,
    }
    desk.post(reverse("booking_new", args=[order.pk]), booking)
    order.refresh_from_db()
    assert order.state == State.BOOKED


def _asked_with_a_line(desk) -> WorkOrder:
    customer = make_customer(name="Ilka Brandvold")
    vehicle = customer.vehicles.create(description="2017 coupé")
    desk.post(
        f"{reverse('order_new')}?vehicle={vehicle.pk}",
        {
            "kind": "install",
            "use": "street",
            "request_text": "Wheels",
            "moves_wheel_or_height": "on",
        },
    )
    order = WorkOrder.objects.get()
    data = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "labour",
        "lines-0-axle": "any",
        "lines-0-description": "Fit",
    }
    desk.post(reverse("order_lines", args=[order.pk]), data)
    return order

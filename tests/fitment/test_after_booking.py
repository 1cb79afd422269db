"""After booking the gate still holds: what changes closes the lift until it is approved anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from alignment.models import PlannedSetting
from fitment.clearance.services import check_run
from fitment.models import OrderWheels
from fitment.mounting.services.dry_fits import dry_fit_add
from shop.extensions.points import BOOKING_GATES
from shop.models import Authorisation, State, WorkOrder
from shop.money.services import lines_change, quote_authorise, quote_send
from shop.orders.services.standing import standing_of
from shop.orders.services.states import order_move
from shop.site.refusals import Refused
from tests.factories import (
    as_read,
    make_booking,
    make_line,
    make_part,
    make_shop,
    make_user,
    sign_torques,
)
from tests.fitment.factories import make_ready_order, make_wheel
from tests.shop import gates_for_tests

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


@pytest.fixture(autouse=True)
def _told_gate(swap_plugs: Any) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.told_gate)
    gates_for_tests.say(result="clear", digest="a")


def again(order: WorkOrder) -> WorkOrder:
    return WorkOrder.objects.select_related("customer", "vehicle__car_model").get(pk=order.pk)


def approve(order: WorkOrder, writer: Any) -> None:
    quote = quote_send(order=order, by=writer)
    quote_authorise(
        quote=quote,
        **as_read(quote),
        name="Ilka Brandvold",
        via=Authorisation.Via.LINK,
        signed_warning=quote.signature_needed,
    )


def booked(writer: Any) -> WorkOrder:
    make_shop()
    order = make_ready_order()
    make_line(order, kind="part", part=make_part(torque_nm=None), description="Wheels")
    approve(order, writer)
    make_booking(order)
    order = again(order)
    order_move(order=order, to=State.BOOKED, by=writer)
    return again(order)


def other_wheels(order: WorkOrder) -> None:
    OrderWheels.objects.filter(order=order, axle="front").update(wheel=make_wheel(name="Other"))


def other_spacer(order: WorkOrder) -> None:
    OrderWheels.objects.filter(order=order).update(spacer_mm=7.0)


def other_tyre(order: WorkOrder) -> None:
    row = OrderWheels.objects.filter(order=order).first()
    assert row is not None
    type(row.tyre).objects.filter(pk=row.tyre_id).update(size="255/35R18")


def other_settings(order: WorkOrder) -> None:
    PlannedSetting.objects.filter(order=order).update(toe_deg=0.21)


def other_lines(order: WorkOrder) -> None:
    make_line(order, description="Two hours more")


def other_parts(order: WorkOrder) -> None:
    order.lines.filter(kind="part").update(description="Cheaper wheels")


CHANGES = {
    "wheels": other_wheels,
    "spacer": other_spacer,
    "tyre": other_tyre,
    "settings": other_settings,
    "lines": other_lines,
    "parts": other_parts,
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_changed_after_booking_closes_the_lift_until_approved_anew(
    change: str, writer: Any, technician: Any, client_of: Browsers
) -> None:
    order = booked(writer)
    assert standing_of(order).holds
    CHANGES[change](order)
    order = again(order)
    with pytest.raises(Refused, match="Changed since the customer approved"):
        order_move(order=order, to=State.ON_LIFT, by=technician)
    page = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert "Changed since the customer approved" in page
    assert 'data-test="changed-since-quote"' in page
    assert reverse("quote_send", args=[order.pk]) in page
    # The new quote leaves state and time, and the lift waits for its approval.
    quote = quote_send(order=order, by=writer)
    order = again(order)
    assert (order.state, order.bookings.count()) == (State.BOOKED, 1)
    with pytest.raises(Refused, match=r"waits for the customer.s approval"):
        order_move(order=order, to=State.ON_LIFT, by=technician)
    page = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert reverse("quote_sign", args=[order.pk]) in page
    Client().post(
        reverse("customer_authorise", args=[order.token]),
        as_read(quote) | {"name": "Ilka Brandvold", "agree": "on"},
    )
    order = again(order)
    assert order.state == State.BOOKED
    order_move(order=order, to=State.ON_LIFT, by=technician)


@pytest.mark.parametrize("result", ["stale", "not checked", "cannot be mounted", "contact"])
def test_a_gate_that_closes_after_booking_closes_the_lift(
    result: str, writer: Any, technician: Any, manager: Any, client_of: Browsers
) -> None:
    order = booked(writer)
    gates_for_tests.say(result=result, digest="b", sentence="The job is another now.")
    for person in (technician, manager):
        with pytest.raises(Refused, match="The job is another now"):
            order_move(order=again(order), to=State.ON_LIFT, by=person)
    page = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert "The job is another now." in page


def test_the_same_finding_after_a_new_check_needs_no_new_quote(
    writer: Any, technician: Any
) -> None:
    """A survey that was refined and still says clear is nothing that the customer has to read."""
    order = booked(writer)
    gates_for_tests.say(result="clear", digest="b", sentence="Clears by 8 mm.")
    order_move(order=again(order), to=State.ON_LIFT, by=technician)


def test_a_finding_that_the_customer_never_read_needs_a_new_quote(
    writer: Any, technician: Any
) -> None:
    order = booked(writer)
    gates_for_tests.say(result="tight", digest="b", sentence="4 mm at the lip.")
    with pytest.raises(Refused, match="Changed since the customer approved"):
        order_move(order=again(order), to=State.ON_LIFT, by=technician)


def test_on_the_lift_and_on_the_road_the_gate_holds_too(writer: Any, technician: Any) -> None:
    order = booked(writer)
    order_move(order=order, to=State.ON_LIFT, by=technician)
    other_wheels(order)
    for axle in ("front", "rear"):
        row = again(order).order_wheels.filter(axle=axle).first()
        if row is not None:
            dry_fit_add(order=order, by=technician, axle=axle, values={"on_car": True})
    order.installed.create(line=order.lines.get(kind="part"), description="Wheels", by=technician)
    sign_torques(order, technician)
    with pytest.raises(Refused, match="Changed since"):
        order_move(order=again(order), to=State.ROAD_TEST, by=technician)
    approve(again(order), writer)
    order = again(order)
    assert order.state == State.ON_LIFT
    order_move(order=order, to=State.ROAD_TEST, by=technician)
    order.road_tests.create(by=technician, lock_left="quiet", lock_right="quiet")
    other_spacer(order)
    with pytest.raises(Refused, match="Changed since"):
        order_move(order=again(order), to=State.HANDED_OVER, by=technician)
    approve(again(order), writer)
    order_move(order=again(order), to=State.HANDED_OVER, by=technician)


@pytest.mark.parametrize(
    "state", [state for state in State if state not in (State.HANDED_OVER, State.CANCELLED)]
)
def test_the_new_quote_is_reachable_from_every_open_state(
    state: str, writer: Any, client_of: Browsers
) -> None:
    order = booked(writer)
    WorkOrder.objects.filter(pk=order.pk).update(state=state)
    url = reverse("quote_send", args=[order.pk])
    assert f'href="{url}"' in client_of(writer).get(order.get_absolute_url()).content.decode()
    client_of(writer).post(url, {"note": ""})
    assert order.quotes.count() == 2


@pytest.mark.parametrize("state", [State.HANDED_OVER, State.CANCELLED])
def test_a_closed_order_is_not_quoted(state: str, writer: Any) -> None:
    order = booked(writer)
    WorkOrder.objects.filter(pk=order.pk).update(state=state)
    with pytest.raises(Refused, match="closed"):
        quote_send(order=again(order), by=writer)


def test_wheels_that_changed_before_booking_are_quoted_anew(writer: Any) -> None:
    make_shop()
    order = make_ready_order()
    make_line(order)
    approve(order, writer)
    other_wheels(order)
    from shop.calendar.services import booking_make
    from tests.factories import make_bay, tomorrow_at

    with pytest.raises(Refused, match="Changed since the customer approved: Wheels and tyres"):
        booking_make(
            order=again(order),
            by=writer,
            bay=make_bay(),
            technician=make_user("technician"),
            starts_at=tomorrow_at(9),
            ends_at=tomorrow_at(11),
        )


def test_a_quote_from_before_jobs_were_kept_compares_its_lines_alone(
    writer: Any, technician: Any
) -> None:
    order = booked(writer)
    quote = order.quotes.get()
    quote.document = quote.document | {"job": None}
    quote.save()
    other_wheels(order)
    assert standing_of(again(order)).holds
    lines_change(order=order, by=writer, lines=[], gone=list(order.lines.all()))
    assert not standing_of(again(order)).holds


def test_the_real_check_closes_the_lift_when_wheels_change(
    writer: Any, technician: Any, swap_plugs: Any
) -> None:
    from fitment.clearance.gate import clearance_gate
    from fitment.mounting.gate import mounting_gate

    swap_plugs(BOOKING_GATES, clearance_gate, mounting_gate)
    make_shop()
    order = make_ready_order()
    check_run(order=order, by=writer)
    make_line(order)
    approve(again(order), writer)
    WorkOrder.objects.filter(pk=order.pk).update(state=State.BOOKED)
    make_booking(order)
    other_spacer(order)
    with pytest.raises(Refused, match="out of date"):
        order_move(order=again(order), to=State.ON_LIFT, by=technician)

"""A plain alignment on a car that was never measured: no check, no signature, no reason."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from alignment.plans.services.plans import AxlePlan, plan_save
from common.verdicts import GateResult
from fitment.clearance.gate import clearance_gate
from fitment.mounting.services.wheels import order_wheels_choose
from shop.calendar.services import booking_make
from shop.models import Authorisation, Line, OrderKind, WorkOrder
from shop.money.services import lines_change
from shop.orders.services.changes import order_create
from shop.orders.services.gates import gates_ask
from tests.alignment.factories import make_target
from tests.factories import (
    make_bay,
    make_line,
    make_part,
    make_quote,
    make_user,
    make_vehicle,
    tomorrow_at,
)
from tests.fitment.factories import make_order_wheels

pytestmark = pytest.mark.django_db


def alignment_order(**values: Any) -> WorkOrder:
    vehicle = values.pop("vehicle", None) or make_vehicle()
    return order_create(
        by=make_user("writer"),
        customer=vehicle.customer,
        vehicle=vehicle,
        kind=OrderKind.ALIGNMENT,
        moves_wheel_or_height=True,  # as the form's tick stands unless it is taken away
        **values,
    )


def plan(order: WorkOrder, **values: Any) -> None:
    plan_save(order=order, by=make_user("writer"), axles={"front": AxlePlan(**values)})
    order.refresh_from_db()


def test_every_gate_is_open_to_a_writer_on_an_unmeasured_car() -> None:
    order = alignment_order()
    plan(order, toe_deg=0.05)
    assert not order.needs_check
    for verdict in gates_ask(order):
        assert verdict.answer.result == GateResult.NOT_NEEDED
        assert verdict.is_open
        assert not verdict.needs_signature
        assert not verdict.wants_override


def test_it_is_booked_by_a_writer_without_a_reason() -> None:
    order, writer = alignment_order(), make_user("writer")
    make_line(order)
    quote = make_quote(order, sent_by=writer)
    WorkOrder.objects.filter(pk=order.pk).update(state="approved")

    Authorisation.objects.create(quote=quote, name="A. Customer", amount=quote.total)
    order.refresh_from_db()
    booking_make(
        order=order,
        by=writer,
        bay=make_bay(has_rack=True),
        technician=make_user("technician"),
        starts_at=tomorrow_at(9),
        ends_at=tomorrow_at(10),
        needs_rack=True,
    )
    assert order.bookings.count() == 1
    assert not order.overrides.exists()


def test_camber_inside_the_makers_range_is_plain_and_outside_is_not() -> None:
    vehicle = make_vehicle()
    make_target(
        {("front", "camber"): (-0.8, 0.5), ("front", "toe"): (0.1, 0.1)},
        car_model=vehicle.car_model,
        kind="maker",
    )
    inside, outside = alignment_order(vehicle=vehicle), alignment_order(vehicle=vehicle)
    plan(inside, toe_deg=0.1, camber_deg=-1.3, camber_by="top_mount")
    assert clearance_gate(inside).result == GateResult.NOT_NEEDED
    plan(outside, toe_deg=0.1, camber_deg=-1.31, camber_by="top_mount")
    assert outside.needs_check
    assert clearance_gate(outside).result == GateResult.UNMEASURED
    assert "range" in outside.log.get(what="Needs a clearance check").detail


@pytest.mark.parametrize(
    "values",
    [
        {"camber_deg": -1.0, "camber_by": "top_mount"},
        {"adjusters": {"ride_height_mm": -5.0}},
        {"rolled_lips": True},
    ],
)
def test_what_is_more_than_plain_needs_its_check(values: dict[str, Any]) -> None:
    """Camber without the maker's range on record, a height, a rolled lip."""
    order = alignment_order()
    plan(order, toe_deg=0.05, **values)
    assert order.needs_check


def test_toe_outside_the_makers_range_needs_its_check() -> None:
    vehicle = make_vehicle()
    make_target({("front", "toe"): (0.1, 0.05)}, car_model=vehicle.car_model, kind="maker")
    order = alignment_order(vehicle=vehicle)
    plan(order, toe_deg=0.4)
    assert order.needs_check


def test_wheels_and_parts_that_move_a_wheel_bring_the_check_back() -> None:
    with_wheels, with_part = alignment_order(), alignment_order()
    choice = make_order_wheels(alignment_order())
    order_wheels_choose(order=with_wheels, choices={"front": choice}, by=make_user("writer"))
    line = Line(kind="part", part=make_part(), description="Top mount", unit_price=Decimal(9))
    lines_change(order=with_part, by=make_user("writer"), lines=[line])
    for order in (with_wheels, with_part):
        order.refresh_from_db()
        assert order.needs_check


def test_the_form_offers_the_kind(client_of: Any, writer: Any) -> None:
    vehicle = make_vehicle()
    page = f"{reverse('order_new')}?vehicle={vehicle.pk}&kind=alignment"
    browser = client_of(writer)
    assert 'value="alignment" selected' in browser.get(page).content.decode()
    sent = {"kind": "alignment", "use": "street", "moves_wheel_or_height": "on"}
    assert browser.post(page, sent).status_code == 302
    assert not WorkOrder.objects.get().needs_check

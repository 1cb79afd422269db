"""Ordering parts, and all that is recorded while the car is here."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from shop.calendar.services import CHANGED_LINES
from shop.models import (
    ContactMark,
    InstalledPart,
    LineKind,
    RoadTest,
    State,
    TorqueSign,
    User,
    WaitingFor,
    WorkOrder,
)
from shop.money.quotes import authorisation_of, lines_differ, quote_latest
from shop.orders.gates import gate_pass
from shop.orders.log import log_write
from shop.orders.refusals import NotYours, Refused
from shop.orders.services import order_lock

WORK_STATES = (State.ON_LIFT, State.ROAD_TEST)


@transaction.atomic
def parts_order(*, order: WorkOrder, by: User) -> None:
    """Record that the parts were ordered; the gates are asked first.

    A customer who races under class rules has to have read that the parts may move the car
    out of its class: the caution must stand on the quote that was authorised.
    """
    if not by.may_write_orders:
        raise NotYours("A service writer orders parts.")
    row = order_lock(order)
    if row.parts_ordered_at is not None:
        raise Refused("The parts are ordered already.")
    if row.state not in (State.APPROVED, State.BOOKED, State.ON_LIFT):
        raise Refused("Parts are ordered after the customer has agreed.")
    if not row.lines.filter(kind=LineKind.PART).exists():
        raise Refused("No parts are on this order.")
    quote = quote_latest(row)
    if authorisation_of(quote) is None:
        raise Refused("The customer has not authorised the latest quote.")
    if lines_differ(row):
        raise Refused(CHANGED_LINES)
    if row.class_rules and row.needs_check and quote and not quote.class_caution:
        raise Refused(
            "Class rules were added after the quote: send it again, so that the customer reads "
            "what the parts may do to the car's class."
        )
    gate_pass(order=row, act="Ordering parts", by=by)
    row.parts_ordered_at = timezone.now()
    row.parts_ordered_by = by
    row.waiting_for = WaitingFor.PARTS
    row.save(update_fields=["parts_ordered_at", "parts_ordered_by", "waiting_for"])
    log_write(order=row, by=by, what="Parts ordered")


def _on_the_lift(order: WorkOrder, by: User, *states: str) -> WorkOrder:
    if not by.may_work_on_cars:
        raise NotYours("A technician records the work.")
    row = order_lock(order)
    if row.state not in (states or WORK_STATES):
        raise Refused("The work is recorded while the car is on the lift or on its road test.")
    return row


@transaction.atomic
def installed_add(*, order: WorkOrder, by: User, values: dict[str, Any]) -> InstalledPart:
    row = _on_the_lift(order, by)
    line = values.get("line")
    if line is not None:
        if line.order_id != row.pk:
            raise Refused("This line belongs to another order.", field="line")
        values = {**values, "part": line.part}
        values["description"] = values.get("description") or line.description
    if not values.get("description"):
        raise Refused("Say which part was fitted.", field="description")
    installed = InstalledPart.objects.create(order=row, by=by, **values)
    log_write(
        order=row,
        by=by,
        what="Part installed",
        detail=f"{installed.description}, {installed.get_corner_or_axle_display().lower()}",
    )
    return installed


@transaction.atomic
def torque_add(*, order: WorkOrder, by: User, what: str, torque_nm: Decimal, tool: str) -> None:
    row = _on_the_lift(order, by)
    sign = TorqueSign.objects.create(order=row, by=by, what=what, torque_nm=torque_nm, tool=tool)
    log_write(order=row, by=by, what="Torque signed", detail=f"{sign} with {tool}")


@transaction.atomic
def road_test_add(
    *, order: WorkOrder, by: User, values: dict[str, Any], marks: Sequence[dict[str, Any]]
) -> RoadTest:
    """Record one road test with the places looked at; earlier tests stay as they were."""
    row = _on_the_lift(order, by, State.ROAD_TEST)
    test = RoadTest.objects.create(order=row, by=by, **values)
    ContactMark.objects.bulk_create(ContactMark(road_test=test, **mark) for mark in marks)
    touched = [f"{m['corner']} {m['place']}" for m in marks if m["contact"]]
    log_write(
        order=row,
        by=by,
        what="Road test",
        detail=f"Contact: {', '.join(touched)}" if touched else "No contact mark",
    )
    return test

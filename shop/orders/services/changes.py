"""Opening work orders, and changing what stands on them."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import (
    Comeback,
    Counter,
    NewsKind,
    OrderKind,
    State,
    User,
    Vehicle,
    WaitingFor,
    WorkOrder,
)
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.news import news_tell
from shop.orders.services.standing import AFTER_BOOKING
from shop.site.refusals import NotYours, Refused

#: What the log says when an order starts or stops waiting.
WAITING = {
    WaitingFor.PARTS: gettext_lazy("Waiting for parts"),
    WaitingFor.CUSTOMER: gettext_lazy("Waiting for the customer"),
    WaitingFor.NOTHING: gettext_lazy("No longer waiting"),
}


#: What the number of an order begins with.
ORDER_LETTER = "W"


def order_number(count: int) -> str:
    """The number of the order with this count: ``W0013``."""
    return f"{ORDER_LETTER}{count:04d}"


def order_number_next() -> str:
    """The next number. No form holds the counter, and no two orders get one number."""
    return order_number(Counter.take(Counter.ORDERS))


@transaction.atomic
def order_create(*, by: User, **values: Any) -> WorkOrder:
    """Open an order in the state *enquiry*; ``values`` are the fields of WorkOrder."""
    vehicle = values["vehicle"]
    if vehicle.customer_id != values["customer"].pk:
        raise Refused(_("This vehicle belongs to another customer."), field="vehicle")
    if values.get("kind") == OrderKind.ALIGNMENT:
        values["moves_wheel_or_height"] = False  # until a part, a wheel or a plan says otherwise
    order = WorkOrder.objects.create(number=order_number_next(), **values)
    _carry_mileage(order)
    log_write(order=order, by=by, what=gettext_lazy("Opened"), detail=order.request_text)
    return order


def _carry_mileage(order: WorkOrder) -> None:
    """The vehicle's mileage follows the newest order, and never runs backwards by itself."""
    if order.mileage_km is None:
        return
    behind = Q(mileage_km__isnull=True) | Q(mileage_km__lt=order.mileage_km)
    vehicles = Vehicle.objects.filter(behind, pk=order.vehicle_id)
    if vehicles.update(mileage_km=order.mileage_km, version=F("version") + 1):
        order.vehicle.mileage_km = order.mileage_km


@transaction.atomic
def order_change(*, order: WorkOrder, by: User, values: dict[str, Any]) -> WorkOrder:
    """Change fields of an order. Taking away the need of a clearance check is a manager's act."""
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("This order is closed and cannot be changed."))
    _check_lowering(row, by, values)
    _check_quoted(row, values)
    names = []
    for name, value in values.items():
        if getattr(row, name) != value:
            setattr(row, name, value)
            names.append(name)
    if names:
        row.save(update_fields=names)
        _carry_mileage(row)
        words = [str(getattr(WorkOrder._meta.get_field(n), "verbose_name", n)) for n in names]
        log_write(order=row, by=by, what=gettext_lazy("Changed"), detail=", ".join(words))
    return row


def _check_lowering(row: WorkOrder, by: User, values: dict[str, Any]) -> None:
    """Refuse changes that would let a job slip past the gate."""
    moves = values.get("moves_wheel_or_height", row.moves_wheel_or_height)
    kind = values.get("kind", row.kind)
    to_visit = kind == OrderKind.SURVEY_VISIT and row.kind != kind
    if not to_visit and (moves or not row.moves_wheel_or_height):
        return
    field = "kind" if to_visit else "moves_wheel_or_height"
    if row.lines.filter(part__moves_wheel=True).exists():
        raise Refused(
            _("A part on this order moves the wheel, so this cannot be changed."), field=field
        )
    if row.needs_check and not by.is_manager:
        raise NotYours(_("Only a manager can mark this job as not moving a wheel."), field=field)


def _check_quoted(row: WorkOrder, values: dict[str, Any]) -> None:
    """Refuse to make work that has to be quoted out of a visit that was booked without."""
    now = WorkOrder(kind=values.get("kind", row.kind))
    if row.state not in AFTER_BOOKING or row.needs_quote or not now.needs_quote:
        return
    if not row.quotes.exists():
        raise Refused(_("This job must be quoted and approved before it is booked."), field="kind")


@transaction.atomic
def order_moves_wheel(*, order: WorkOrder, by: User, because: str) -> None:
    """Note that the job moves a wheel after all: from now on clearance has to be checked."""
    row = order_lock(order)
    if not row.moves_wheel_or_height:
        row.moves_wheel_or_height = True
        row.save(update_fields=["moves_wheel_or_height"])
        log_write(order=row, by=by, what=gettext_lazy("Needs a clearance check"), detail=because)
    order.moves_wheel_or_height = True


@transaction.atomic
def order_wait(*, order: WorkOrder, waiting_for: str, by: User) -> None:
    """Say what an open order waits for; an empty text when it waits no longer."""
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("This order is closed."))
    if row.waiting_for == waiting_for:
        return
    row.waiting_for = waiting_for
    row.save(update_fields=["waiting_for"])
    log_write(order=row, by=by, what=WAITING[WaitingFor(waiting_for)])
    order.waiting_for = waiting_for


@transaction.atomic
def notes_change(*, order: WorkOrder, by: User, notes: str) -> None:
    row = order_lock(order)
    if row.technician_notes != notes:
        row.technician_notes = notes
        row.save(update_fields=["technician_notes"])
        log_write(order=row, by=by, what=gettext_lazy("Notes changed"))


@transaction.atomic
def comeback_open(*, first_order: WorkOrder, by: User, values: dict[str, Any]) -> WorkOrder:
    """Open the work order of a comeback, tied to the order that it comes back from.

    Looking at a car moves nothing, so the order starts without need of a clearance check; parts,
    wheels or settings planned later bring the need.
    """
    if first_order.state != State.HANDED_OVER:
        raise Refused(_("A comeback can be opened only after the hand-over."))
    order = order_create(
        by=by,
        kind=OrderKind.COMEBACK,
        customer=first_order.customer,
        vehicle=first_order.vehicle,
        first_order=first_order,
        mileage_km=values.pop("mileage_km", None),
        request_text=values.get("description", ""),
        use=first_order.use,
        further_uses=first_order.further_uses,
        class_rules=first_order.class_rules,
        class_record=first_order.class_record,
        moves_wheel_or_height=False,
    )
    Comeback.objects.create(order=order, first_order=first_order, **values)
    log_write(order=first_order, by=by, what=gettext_lazy("Comeback"), detail=order.number)
    news_tell(order=order, kind=NewsKind.COMEBACK, detail=order.request_text, by=by)
    return order

"""Ordering parts line by line, and taking in what arrives; each act is logged."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.languages import speech_of_shop
from shop.models import Arrival, LineKind, PartOrder, State, Supplier, User, WorkOrder
from shop.money.services import check_as_quoted
from shop.orders.services.gates import gate_pass
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.part_orders import LineDue, lines_due, parts_settle
from shop.parts.data import booked_too_early
from shop.site.refusals import NotYours, Refused


@dataclass(frozen=True)
class Bought:
    """Where the pieces of a line were ordered, and when they are to come."""

    supplier: Supplier | None = None
    supplier_number: str = ""
    promised_on: dt.date | None = None


@dataclass(frozen=True)
class Arrived:
    """Pieces of a part order that arrived on a day."""

    part_order: PartOrder
    quantity: Decimal
    on: dt.date


def _plain(quantity: Decimal) -> str:
    return f"{quantity.normalize():f}"


def _words(quantity: Decimal, made: PartOrder) -> str:
    """One part order in the log: pieces, part, supplier, its number and the promised day."""
    speech = speech_of_shop()
    said = [f"{_plain(quantity)} × {made.description}"]
    if made.supplier:
        said.append(" ".join(filter(None, (made.supplier.name, made.supplier_number))))
    elif made.supplier_number:
        said.append(made.supplier_number)
    if made.promised_on:
        said.append(
            speech.say(gettext_lazy("promised for {day}"), day=speech.day(made.promised_on))
        )
    return ", ".join(said)


@transaction.atomic
def parts_order(
    *,
    order: WorkOrder,
    by: User,
    bought: Mapping[int, Bought] | None = None,
    later: Collection[int] = (),
) -> list[PartOrder]:
    """Record that parts were ordered; the gates are asked first.

    Every line with missing pieces is ordered, except those whose keys are in ``later``; ``bought``
    says where, by the key of the line. A customer who races under class rules has to have read
    that the parts may move the car out of its class: the caution must stand on the quote that was
    authorised. Raises Refused or GateClosed.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can order parts."))
    row = order_lock(order)
    if row.state not in (State.APPROVED, State.BOOKED, State.ON_LIFT):
        raise Refused(_("Parts can be ordered after the customer has approved the quote."))
    if not row.lines.filter(kind=LineKind.PART).exists():
        raise Refused(_("No parts on this order."))
    every = lines_due(row)
    if not every:
        raise Refused(_("The parts are already ordered."))
    now = [due for due in every if due.line.pk not in later]
    if not now:
        raise Refused(_("Every part is set aside for later. Leave at least one to be ordered now."))
    _check_quote(row)
    gate_pass(order=row, not_yet=_("Parts cannot be ordered yet."), by=by)
    made = [_ordered(row, due, (bought or {}).get(due.line.pk, Bought()), by) for due in now]
    parts_settle(row)
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Parts ordered"),
        detail="\n".join(_words(one.quantity, one) for one in made),
    )
    return made


def _check_quote(row: WorkOrder) -> None:
    quote = quote_latest(row)
    if authorisation_of(quote) is None:
        raise Refused(_("The customer has not authorised the latest quote."))
    check_as_quoted(row)
    if row.class_rules and row.needs_check and quote and not quote.class_caution:
        raise Refused(
            _(
                "Class rules were added after the quote. Send a new quote, so that the "
                "customer reads how the parts may affect the car's class."
            )
        )


def _ordered(row: WorkOrder, due: LineDue, bought: Bought, by: User) -> PartOrder:
    return PartOrder.objects.create(
        order=row,
        line=due.line,
        part=due.line.part,
        description=due.line.description,
        quantity=due.quantity,
        supplier=bought.supplier,
        supplier_number=bought.supplier_number,
        promised_on=bought.promised_on,
        ordered_at=timezone.now(),
        ordered_by=by,
    )


@transaction.atomic
def parts_change(
    *, order: WorkOrder, by: User, changed: Sequence[PartOrder], arrived: Sequence[Arrived]
) -> str:
    """Save other suppliers, numbers and promised days, and take in what arrived.

    Answers a sentence where an appointment now lies before a promised day, else an empty text.
    """
    row = order_lock(order)
    for made in changed:
        made.save()
        log_write(
            order=row,
            by=by,
            what=gettext_lazy("Part order changed"),
            detail=_words(made.quantity, made),
        )
    for one in arrived:
        _take_in(row, one, by)
    if arrived:
        parts_settle(row)
    return booked_too_early(row) if changed else ""


def _take_in(row: WorkOrder, one: Arrived, by: User) -> None:
    made = PartOrder.objects.prefetch_related("arrivals").get(pk=one.part_order.pk)
    if one.quantity <= 0:
        raise Refused(_("Must be more than zero."))
    if one.on > timezone.localdate():
        raise Refused(_("{part}: the day of arrival lies ahead.").format(part=made.description))
    if one.quantity > made.outstanding:
        raise Refused(
            _("{part}: {outstanding} still to come, not {quantity}.").format(
                part=made.description,
                outstanding=_plain(made.outstanding),
                quantity=_plain(one.quantity),
            )
        )
    Arrival.objects.create(part_order=made, quantity=one.quantity, arrived_on=one.on, by=by)
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Part arrived"),
        detail=f"{_plain(one.quantity)} × {made.description}, {speech_of_shop().day(one.on)}",
    )


@transaction.atomic
def parts_arrive_all(*, order: WorkOrder, by: User) -> int:
    """Take in all that is still to come, today; answers how many part orders that were."""
    row = order_lock(order)
    made = [one for one in row.part_orders.prefetch_related("arrivals") if one.outstanding]
    if not made:
        raise Refused(_("All parts of this order have arrived."))
    for one in made:
        _take_in(row, Arrived(one, one.outstanding, timezone.localdate()), by)
    parts_settle(row)
    return len(made)


@transaction.atomic
def arrival_undo(*, arrival: Arrival, by: User) -> WorkOrder:
    """Take an arrival back that was recorded by mistake."""
    row = order_lock(arrival.part_order.order)
    found = Arrival.objects.filter(pk=arrival.pk)
    words = f"{_plain(arrival.quantity)} × {arrival.part_order.description}"
    if not found.delete()[0]:
        raise Refused(_("This arrival has already been undone."))
    log_write(order=row, by=by, what=gettext_lazy("Arrival undone"), detail=words)
    parts_settle(row)
    return row


@transaction.atomic
def part_order_undo(*, part_order: PartOrder, by: User) -> WorkOrder:
    """Take a part order back of which no piece has arrived: the part is to be ordered again."""
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can undo an order of parts."))
    row = order_lock(part_order.order)
    made = PartOrder.objects.filter(pk=part_order.pk).first()
    if made is None:
        raise Refused(_("This has already been undone."))
    if made.arrivals.exists():
        raise Refused(_("Pieces of it have arrived. Undo their arrival first."))
    words = _words(made.quantity, made)
    made.delete()
    log_write(order=row, by=by, what=gettext_lazy("Order of parts undone"), detail=words)
    parts_settle(row, had_orders=True)
    return row

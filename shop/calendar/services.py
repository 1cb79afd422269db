"""Booking a bay and a technician: never two jobs at one time in one bay or with one person."""

from __future__ import annotations

import datetime as dt

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import Bay, Booking, Role, State, User, WorkOrder
from shop.money.services import check_as_quoted
from shop.orders.services.gates import gate_pass
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.states import order_move
from shop.site.refusals import NotYours, Refused

LONGEST_BLOCK = dt.timedelta(hours=14)


def may_be_booked(order: WorkOrder) -> bool:
    """Whether the state of the order lets blocks of time be added."""
    if order.state == State.ENQUIRY:
        return not order.needs_quote
    return order.state in (State.APPROVED, State.BOOKED, State.ON_LIFT)


def _shown(moment: dt.datetime) -> str:
    return timezone.localtime(moment).strftime("%d.%m.%Y %H:%M")


def _check_times(starts_at: dt.datetime, ends_at: dt.datetime) -> None:
    if ends_at <= starts_at:
        raise Refused(_("Must be after the start."), field="ends")
    if ends_at - starts_at > LONGEST_BLOCK:
        raise Refused(_("An appointment lasts at most 14 hours. Book several."), field="ends")
    if ends_at <= timezone.now():
        raise Refused(_("This time has passed."), field="day")


def _check_free(bay: Bay, technician: User, starts_at: dt.datetime, ends_at: dt.datetime) -> None:
    taken = Booking.objects.overlapping(starts_at, ends_at).select_related("order")
    in_bay = taken.filter(bay=bay).first()
    if in_bay:
        raise Refused(
            _("{bay} is booked for {order} from {start} to {end}.").format(
                bay=bay.name,
                order=in_bay.order.number,
                start=_shown(in_bay.starts_at),
                end=_shown(in_bay.ends_at),
            ),
            field="bay",
        )
    with_technician = taken.filter(technician=technician).first()
    if with_technician:
        raise Refused(
            _("{name} is booked for {order} from {start} to {end}.").format(
                name=technician.shown_name,
                order=with_technician.order.number,
                start=_shown(with_technician.starts_at),
                end=_shown(with_technician.ends_at),
            ),
            field="technician",
        )


@transaction.atomic
def booking_make(
    *,
    order: WorkOrder,
    bay: Bay,
    technician: User,
    starts_at: dt.datetime,
    ends_at: dt.datetime,
    by: User,
    needs_rack: bool = False,
) -> Booking:
    """Book one block of time, and move the order to *booked* with its first block.

    Raises Refused with the field at fault, GateClosed when a check closes the gate.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can book."))
    row = order_lock(order)
    if not may_be_booked(row):
        raise Refused(_("This order cannot be booked before the customer has approved the quote."))
    check_as_quoted(row)
    gate_pass(order=row, not_yet=_("The job cannot be booked yet."), by=by)
    # Always bay before person: two bookings can then never wait for each other.
    bay = Bay.objects.select_for_update().get(pk=bay.pk)
    technician = User.objects.select_for_update().get(pk=technician.pk)
    if not bay.in_use:
        raise Refused(_("{bay} is not in use.").format(bay=bay.name), field="bay")
    if needs_rack and not bay.has_rack:
        raise Refused(
            _("This job needs the alignment rack. {bay} has none.").format(bay=bay.name),
            field="bay",
        )
    if not technician.is_active or not technician.has_role(Role.TECHNICIAN):
        raise Refused(
            _("{name} is not a technician.").format(name=technician.shown_name), field="technician"
        )
    _check_times(starts_at, ends_at)
    _check_free(bay, technician, starts_at, ends_at)
    try:
        with transaction.atomic():
            booking = Booking.objects.create(
                order=row,
                bay=bay,
                technician=technician,
                starts_at=starts_at,
                ends_at=ends_at,
                needs_rack=needs_rack,
            )
    except IntegrityError as error:
        raise Refused(_("This time has just been booked by another user."), field="bay") from error
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Appointment booked"),
        detail=f"{bay.name}, {technician.shown_name}, {_shown(starts_at)} – {_shown(ends_at)}",
    )
    if row.state in (State.ENQUIRY, State.APPROVED):
        order_move(order=row, to=State.BOOKED, by=by)
    order.state, order.state_since = row.state, row.state_since
    return booking


@transaction.atomic
def booking_cancel(*, booking: Booking, by: User) -> WorkOrder:
    """Take a block back; without any block left the order is no longer booked."""
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can cancel appointments."))
    row = order_lock(booking.order)
    if row.state not in (State.BOOKED, State.ON_LIFT):
        raise Refused(_("The work is done, so the appointment stays on record."))
    if row.state == State.ON_LIFT and row.bookings.count() == 1:
        raise Refused(_("The car is on the lift, so its last appointment cannot be cancelled."))
    words = f"{booking.bay.name}, {_shown(booking.starts_at)} – {_shown(booking.ends_at)}"
    booking.delete()
    log_write(order=row, by=by, what=gettext_lazy("Appointment cancelled"), detail=words)
    if row.state == State.BOOKED and not row.bookings.exists():
        back_to = State.APPROVED if row.quotes.exists() else State.ENQUIRY
        order_move(order=row, to=back_to, by=by)
    return row

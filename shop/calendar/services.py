"""Booking a bay and a technician, moving and ending appointments.

Never two jobs at one time in one bay or with one person.
"""

from __future__ import annotations

import datetime as dt

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.calendar.opening import opening
from shop.models import Bay, Booking, BookingEnd, Role, State, User, WorkOrder
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


def _check_open(starts_at: dt.datetime, ends_at: dt.datetime, reason: str) -> None:
    """A time outside the opening hours wants a reason."""
    if reason or opening().covers(starts_at, ends_at):
        return
    day = timezone.localtime(starts_at).date()
    hours = opening().hours(day)
    if hours is None:
        words = _("The shop is closed on this day. Choose another, or give a reason.")
    else:
        words = _(
            "The shop is open from {opens} to {closes} on this day. "
            "Choose another time, or give a reason."
        ).format(opens=_clock(hours[0]), closes=_clock(hours[1]))
    raise Refused(words, field="outside_reason")


def _clock(moment: dt.datetime) -> str:
    return timezone.localtime(moment).strftime("%H:%M")


def _check_free(
    bay: Bay,
    technician: User,
    starts_at: dt.datetime,
    ends_at: dt.datetime,
    moved: Booking | None = None,
) -> None:
    taken = Booking.objects.overlapping(starts_at, ends_at).select_related("order")
    if moved is not None:
        taken = taken.exclude(pk=moved.pk)
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


def _lock_both(bay: Bay, technician: User, needs_rack: bool) -> tuple[Bay, User]:
    """Bay and technician under a lock, or Refused where they cannot do the job.

    Always bay before person: two bookings can then never wait for each other.
    """
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
    return bay, technician


def _words(booking: Booking) -> str:
    """A block as the log says it."""
    times = f"{_shown(booking.starts_at)} – {_shown(booking.ends_at)}"
    words = f"{booking.bay.name}, {booking.technician.shown_name}, {times}"
    return f"{words}. {booking.outside_reason}" if booking.outside_reason else words


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
    outside_reason: str = "",
) -> Booking:
    """Book one block of time, and move the order to *booked* with its first block.

    A time outside the opening hours wants ``outside_reason``. Raises Refused with the field at
    fault, GateClosed when a check closes the gate.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can book."))
    row = order_lock(order)
    if not may_be_booked(row):
        raise Refused(_("This order cannot be booked before the customer has approved the quote."))
    check_as_quoted(row)
    gate_pass(order=row, not_yet=_("The job cannot be booked yet."), by=by)
    bay, technician = _lock_both(bay, technician, needs_rack)
    _check_times(starts_at, ends_at)
    _check_open(starts_at, ends_at, outside_reason)
    _check_free(bay, technician, starts_at, ends_at)
    booking = Booking(
        order=row,
        bay=bay,
        technician=technician,
        starts_at=starts_at,
        ends_at=ends_at,
        needs_rack=needs_rack,
        outside_reason=outside_reason,
    )
    _keep(booking)
    log_write(order=row, by=by, what=gettext_lazy("Appointment booked"), detail=_words(booking))
    if row.state in (State.ENQUIRY, State.APPROVED):
        order_move(order=row, to=State.BOOKED, by=by)
    order.state, order.state_since = row.state, row.state_since
    return booking


def _keep(booking: Booking) -> None:
    """Save a block; Refused where another one took the time at this moment."""
    try:
        with transaction.atomic():
            booking.save()
    except IntegrityError as error:
        raise Refused(_("This time has just been booked by another user."), field="bay") from error


@transaction.atomic
def booking_move(
    *,
    booking: Booking,
    bay: Bay,
    technician: User,
    starts_at: dt.datetime,
    ends_at: dt.datetime,
    by: User,
    needs_rack: bool = False,
    outside_reason: str = "",
) -> Booking:
    """Give a block another time, bay or technician in one step; the order keeps its state.

    Raises Refused with the field at fault: the old time stands then.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can move appointments."))
    row = order_lock(booking.order)
    if row.state not in (State.BOOKED, State.ON_LIFT):
        raise Refused(_("The work is done, so the appointment stays on record."))
    kept = _standing(booking)
    before = _words(kept)
    kept.bay, kept.technician = _lock_both(bay, technician, needs_rack)
    _check_times(starts_at, ends_at)
    _check_open(starts_at, ends_at, outside_reason)
    _check_free(kept.bay, kept.technician, starts_at, ends_at, moved=kept)
    kept.starts_at, kept.ends_at = starts_at, ends_at
    kept.needs_rack, kept.outside_reason = needs_rack, outside_reason
    kept.changes += 1
    _keep(kept)
    detail = f"{before} → {_words(kept)}"
    log_write(order=row, by=by, what=gettext_lazy("Appointment moved"), detail=detail)
    return kept


def _standing(booking: Booking) -> Booking:
    """A block under a lock; Refused where it was cancelled meanwhile."""
    rows = Booking.objects.select_for_update(of=("self",)).select_related("bay", "technician")
    kept = rows.filter(pk=booking.pk).first()
    if kept is None:
        raise Refused(_("This appointment no longer stands."))
    return kept


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
    kept = _end(booking, BookingEnd.CANCELLED)
    log_write(order=row, by=by, what=gettext_lazy("Appointment cancelled"), detail=_words(kept))
    _no_longer_booked(row, by)
    return row


@transaction.atomic
def booking_no_show(*, booking: Booking, by: User, reason: str) -> WorkOrder:
    """The car did not come, with what is known of why; the time is free again.

    Without any block left the order is no longer booked.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can record that a car did not come."))
    if not reason.strip():
        raise Refused(
            _("Say what is known, for example: not reached by telephone."), field="reason"
        )
    row = order_lock(booking.order)
    if row.state != State.BOOKED:
        raise Refused(_("The car has come: the order is no longer only booked."))
    if booking.starts_at > timezone.now():
        raise Refused(_("This appointment is still to come. Move or cancel it."))
    kept = _end(booking, BookingEnd.NO_SHOW, reason.strip())
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("The car did not come"),
        detail=f"{_words(kept)}. {kept.ended_reason}",
    )
    _no_longer_booked(row, by)
    return row


def _end(booking: Booking, how: BookingEnd, reason: str = "") -> Booking:
    """A block that stands no longer; it stays on record."""
    kept = _standing(booking)
    kept.ended, kept.ended_reason = how, reason
    kept.changes += 1
    kept.save()
    return kept


def _no_longer_booked(row: WorkOrder, by: User) -> None:
    if row.state == State.BOOKED and not row.bookings.exists():
        back_to = State.APPROVED if row.quotes.exists() else State.ENQUIRY
        order_move(order=row, to=back_to, by=by)

"""What an order waits for, as plain data."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone
from django.utils.translation import gettext as _

from shop.languages import speech_of_page
from shop.models import Booking, PartOrder, WorkOrder


@dataclass(frozen=True)
class WaitingPart:
    """Pieces that were ordered and have not all arrived. ``promised_on`` None: no day is known."""

    order: int
    description: str
    outstanding: Decimal
    supplier: str
    supplier_number: str
    ordered_at: dt.datetime
    promised_on: dt.date | None
    is_late: bool


def parts_waiting(orders: Iterable[int]) -> dict[int, list[WaitingPart]]:
    """By the key of an order, what it waits for: which, since when, expected when.

    An order that waits for nothing is left out. Two queries, however many orders.
    """
    today = timezone.localdate()
    found: dict[int, list[WaitingPart]] = {}
    made = PartOrder.objects.filter(order__in=list(orders), line__isnull=False)
    for one in made.select_related("supplier").prefetch_related("arrivals"):
        if one.outstanding:
            found.setdefault(one.order_id, []).append(
                WaitingPart(
                    order=one.order_id,
                    description=one.description,
                    outstanding=one.outstanding,
                    supplier=str(one.supplier or ""),
                    supplier_number=one.supplier_number,
                    ordered_at=one.ordered_at,
                    promised_on=one.promised_on,
                    is_late=one.is_late(today),
                )
            )
    return found


def parts_after(order: WorkOrder, day: dt.date) -> list[WaitingPart]:
    """Parts of an order that are promised for later than a day."""
    waiting = parts_waiting([order.pk]).get(order.pk, [])
    return [one for one in waiting if one.promised_on is not None and one.promised_on > day]


def parts_due_from(order: WorkOrder) -> dt.datetime:
    """The beginning of the day on which the last promised part is due; now without any."""
    days = [one.promised_on for one in parts_waiting([order.pk]).get(order.pk, [])]
    last = max((day for day in days if day is not None), default=timezone.localdate())
    return timezone.make_aware(dt.datetime.combine(last, dt.time.min))


def late_sentence(late: Iterable[WaitingPart], day: dt.date) -> str:
    """A sentence that names the parts which arrive after an appointment; empty without any."""
    speech = speech_of_page()
    named = "; ".join(
        _("{part}, promised for {day}").format(
            part=one.description, day=speech.day(one.promised_on)
        )
        for one in late
        if one.promised_on is not None
    )
    if not named:
        return ""
    return _("Parts arrive after the appointment on {day}: {parts}.").format(
        day=speech.day(day), parts=named
    )


def booked_too_early(order: WorkOrder, bookings: Iterable[Booking] | None = None) -> str:
    """A sentence where the first coming appointment lies before a promised day, else empty.

    ``bookings`` are those of the order, the earliest first, where they were fetched already.
    """
    known = order.bookings.all() if bookings is None else bookings
    booking = next((one for one in known if one.ends_at > timezone.now()), None)
    if booking is None:
        return ""
    day = timezone.localtime(booking.starts_at).date()
    return late_sentence(parts_after(order, day), day)

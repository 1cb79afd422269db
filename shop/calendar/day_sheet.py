"""A day as a ruled list: for each bay its blocks in order, and the free time between them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from shop.calendar.opening import moment, opening
from shop.calendar.proposals import technicians
from shop.models import Bay, Booking, User

SHORTEST_GAP = dt.timedelta(minutes=15)


@dataclass(frozen=True)
class Row:
    """One line of a bay: a booking, or free time when ``booking`` is None."""

    starts_at: dt.datetime
    ends_at: dt.datetime
    booking: Booking | None = None


def day_bounds(day: dt.date) -> tuple[dt.datetime, dt.datetime]:
    """Midnight to midnight in the shop's zone."""
    return moment(day, dt.time.min), moment(day + dt.timedelta(days=1), dt.time.min)


def rows_of(bookings: list[Booking], opens: dt.datetime, closes: dt.datetime) -> list[Row]:
    """Bookings in order with the gaps of the opening hours between them."""
    rows: list[Row] = []
    free_from = opens
    for booking in sorted(bookings, key=lambda b: b.starts_at):
        if booking.starts_at - free_from >= SHORTEST_GAP:
            rows.append(Row(free_from, min(booking.starts_at, closes)))
        rows.append(Row(booking.starts_at, booking.ends_at, booking))
        free_from = max(free_from, booking.ends_at)
    if closes - free_from >= SHORTEST_GAP:
        rows.append(Row(free_from, closes))
    return rows


def sheet_of_day(day: dt.date, *, only: User | None = None, by: str = "bay") -> dict[str, Any]:
    """Context of a day's sheet, ``by`` bay or technician; ``only`` keeps one technician's blocks
    and no free time. Bays out of use, and people who cannot be booked, stand where they have a
    block."""
    start, end = day_bounds(day)
    hours = opening()
    opens, closes = hours.hours(day) or (start, start)
    bookings = Booking.objects.overlapping(start, end).select_related(
        "order__customer", "order__vehicle", "technician", "bay"
    )
    if only is not None:
        bookings = bookings.filter(technician=only)
    booked: dict[int, list[Booking]] = {}
    for booking in bookings:
        booked.setdefault(getattr(booking, f"{by}_id"), []).append(booking)
    lists = []
    for owner, offered in _owners(by, [one for several in booked.values() for one in several]):
        own = booked.get(owner.pk, [])
        free = rows_of(own, opens, closes) if only is None else []
        rows = free or [Row(one.starts_at, one.ends_at, one) for one in own]
        if own or (offered and only is None):
            rack = isinstance(owner, Bay) and owner.has_rack
            lists.append({"owner": owner, "rack": rack, "rows": rows, "booked": len(own)})
    return {
        "day": day,
        "yesterday": day - dt.timedelta(days=1),
        "tomorrow": day + dt.timedelta(days=1),
        "today": timezone.localdate(),
        "lists": lists,
        "by": by,
        "closed": hours.hours(day) is None,
        "closed_reason": hours.closed.get(day, ""),
        "day_start": start,
        "day_end": end,
    }


def _owners(by: str, bookings: list[Booking]) -> list[tuple[Bay | User, bool]]:
    """Bays, or people, each with whether it can be booked."""
    if by == "bay":
        return [(bay, bay.in_use) for bay in Bay.objects.all()]
    people = {person.pk: (person, True) for person in technicians()}
    for booking in bookings:
        people.setdefault(booking.technician_id, (booking.technician, False))
    return list(people.values())

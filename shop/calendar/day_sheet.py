"""A day as a ruled list: for each bay its blocks in order, and the free time between them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from shop.calendar.opening import moment, opening
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


def sheet_of_day(day: dt.date, *, only: User | None = None) -> dict[str, Any]:
    """Context of a day's sheet; ``only`` keeps one technician's blocks and no free time."""
    start, end = day_bounds(day)
    hours = opening()
    opens, closes = hours.hours(day) or (start, start)
    bookings = Booking.objects.overlapping(start, end).select_related(
        "order__customer", "order__vehicle", "technician", "bay"
    )
    if only is not None:
        bookings = bookings.filter(technician=only)
    by_bay: dict[int, list[Booking]] = {}
    for booking in bookings:
        by_bay.setdefault(booking.bay_id, []).append(booking)
    bays = []
    for bay in Bay.objects.all():
        booked = by_bay.get(bay.pk, [])
        if only is not None:
            rows = [Row(b.starts_at, b.ends_at, b) for b in booked]
        else:
            rows = rows_of(booked, opens, closes)
        if booked or (bay.in_use and only is None):
            bays.append({"bay": bay, "rows": rows, "booked": len(booked)})
    return {
        "day": day,
        "yesterday": day - dt.timedelta(days=1),
        "tomorrow": day + dt.timedelta(days=1),
        "today": timezone.localdate(),
        "bays": bays,
        "closed": hours.hours(day) is None,
        "closed_reason": hours.closed.get(day, ""),
        "day_start": start,
        "day_end": end,
    }

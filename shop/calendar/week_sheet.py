"""A week as a ruled list: for each day its bays or technicians, with their blocks in order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from shop.calendar.day_sheet import day_bounds
from shop.calendar.opening import opening
from shop.calendar.proposals import technicians
from shop.models import Bay, Booking, User

WEEK = dt.timedelta(days=7)


@dataclass(frozen=True)
class WeekLine:
    """One bay or technician on one day."""

    name: str
    bookings: Sequence[Booking]


@dataclass(frozen=True)
class WeekDay:
    """A day of the week: when it is open, and its lines; ``reason`` says why it is closed."""

    day: dt.date
    hours: tuple[dt.datetime, dt.datetime] | None
    reason: str
    lines: Sequence[WeekLine]


def week_of(day: dt.date, *, by: str) -> dict[str, Any]:
    """Context of the week that ``day`` is in, Monday first, a line for each bay or technician.

    A bay out of use, or a person who cannot be booked any more, has a line where it still has a
    block.
    """
    monday = day - dt.timedelta(days=day.weekday())
    start, end = day_bounds(monday)[0], day_bounds(monday + WEEK)[0]
    rows = Booking.objects.overlapping(start, end)
    bookings = list(rows.select_related("order__customer", "order__vehicle", "technician", "bay"))
    owners: list[Bay | User] = list(Bay.objects.all()) if by == "bay" else list(_people(bookings))
    hours = opening()
    days = []
    for ahead in range(7):
        one = monday + dt.timedelta(days=ahead)
        lines = [_line(owner, one, bookings, by) for owner in owners]
        kept = [
            line
            for line, owner in zip(lines, owners, strict=True)
            if line.bookings or _offered(owner)
        ]
        days.append(WeekDay(one, hours.hours(one), hours.closed.get(one, ""), kept))
    return {
        "days": days,
        "monday": monday,
        "sunday": monday + dt.timedelta(days=6),
        "previous": monday - WEEK,
        "next": monday + WEEK,
        "today": timezone.localdate(),
    }


def _people(bookings: Sequence[Booking]) -> list[User]:
    """Who can be booked, and who else has a block."""
    found = {person.pk: person for person in technicians()}
    for booking in bookings:
        found.setdefault(booking.technician_id, booking.technician)
    return list(found.values())


def _offered(owner: Bay | User) -> bool:
    return owner.in_use if isinstance(owner, Bay) else owner.is_active


def _line(owner: Bay | User, day: dt.date, bookings: Sequence[Booking], by: str) -> WeekLine:
    start, end = day_bounds(day)
    own = [
        one
        for one in bookings
        if (one.bay_id if by == "bay" else one.technician_id) == owner.pk
        and one.starts_at < end
        and one.ends_at > start
    ]
    return WeekLine(str(owner), own)

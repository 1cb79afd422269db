"""Free times for a job: the first that the bays, the technicians and the opening hours allow."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import TypeVar

from django.db.models import Sum
from django.utils import timezone

from shop.calendar.opening import Opening, moment, opening
from shop.models import Bay, Booking, LineKind, OrderKind, Role, User, WorkOrder

Row = TypeVar("Row", Bay, User)

#: Starts are proposed on this grid.
GRID = dt.timedelta(minutes=15)
#: Time for a job whose labour is not quoted.
UNQUOTED = dt.timedelta(hours=1)
#: How many times are proposed, each on a day of its own, and how far ahead is looked.
PROPOSED, DAYS_AHEAD = 3, 60


@dataclass(frozen=True)
class FreeTime:
    """A bay and a technician that are both free from start to end."""

    bay: Bay
    technician: User
    starts_at: dt.datetime
    ends_at: dt.datetime


def technicians() -> list[User]:
    """People who can be booked, technicians first."""
    people = User.objects.filter(is_active=True, role__in=[Role.TECHNICIAN, Role.MANAGER])
    return sorted(people, key=lambda person: (person.role != Role.TECHNICIAN, person.username))


def duration_of(order: WorkOrder) -> dt.timedelta:
    """Time that the quoted labour takes and that is not booked yet, in quarters of an hour.

    An hour where no labour is quoted, and at least one quarter.
    """
    hours = order.lines.filter(kind=LineKind.LABOUR).aggregate(sum=Sum("quantity"))["sum"]
    if not hours:
        return UNQUOTED
    booked = sum((one.ends_at - one.starts_at for one in order.bookings.all()), dt.timedelta())
    quarters = (Decimal(hours) * 4).to_integral_value(rounding=ROUND_CEILING)
    return max(int(quarters) * GRID - booked, GRID)


def needs_rack(order: WorkOrder) -> bool:
    """Whether a job is likely to need the alignment rack."""
    return order.needs_check or order.kind == OrderKind.ALIGNMENT


def free_times(
    *,
    duration: dt.timedelta,
    rack: bool,
    after: dt.datetime,
    without: Booking | None = None,
) -> list[FreeTime]:
    """The first free time of each of the next days that have one, at most PROPOSED.

    ``without`` is a block that is to be moved, whose own time counts as free. A job longer than a
    day's opening hours is proposed for the whole of a day. Two queries, however many days.
    """
    bays = [bay for bay in Bay.objects.filter(in_use=True) if bay.has_rack or not rack]
    people = technicians()
    last = after + dt.timedelta(days=DAYS_AHEAD)
    taken = Booking.objects.overlapping(after, last + dt.timedelta(days=1))
    blocks = [one for one in taken if without is None or one.pk != without.pk]
    hours = opening()
    found: list[FreeTime] = []
    for ahead in range(DAYS_AHEAD):
        day = timezone.localtime(after).date() + dt.timedelta(days=ahead)
        time = _first_of(day, hours, duration, after, bays, people, blocks, without)
        found += [time] if time is not None else []
        if len(found) == PROPOSED:
            break
    return found


def _first_of(
    day: dt.date,
    hours: Opening,
    duration: dt.timedelta,
    after: dt.datetime,
    bays: Sequence[Bay],
    people: Sequence[User],
    blocks: Sequence[Booking],
    moved: Booking | None,
) -> FreeTime | None:
    """The first free time of a day, other than that of a block that is moved; None without one."""
    window = hours.hours(day)
    if window is None:
        return None
    length = min(duration, window[1] - window[0])
    near = [one for one in blocks if one.starts_at < window[1] and one.ends_at > window[0]]
    for start in _grid(max(window[0], after), window[1] - length):
        end = start + length
        busy = [one for one in near if one.starts_at < end and one.ends_at > start]
        bay = _free(bays, (one.bay_id for one in busy))
        person = _free(people, (one.technician_id for one in busy))
        stays = moved is not None and start == moved.starts_at
        if bay is not None and person is not None and not stays:
            return FreeTime(bay, person, start, end)
    return None


def _free(rows: Sequence[Row], busy: Iterable[int]) -> Row | None:
    taken = set(busy)
    return next((row for row in rows if row.pk not in taken), None)


def _grid(first: dt.datetime, last: dt.datetime) -> Iterator[dt.datetime]:
    """Moments of the grid from ``first`` to ``last``."""
    first = timezone.localtime(first)
    midnight = moment(first.date(), dt.time.min)
    steps = -((midnight - first) // GRID)
    start = midnight + steps * GRID
    while start <= last:
        yield start
        start += GRID

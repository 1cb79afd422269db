"""The hours in which the shop is open."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from shop.models import ClosedDay, OpeningDay, ShopSettings
from shop.models.opening import USUAL_HOURS

#: Opening and closing time of a weekday, or None where the shop is closed.
Hours = tuple[dt.time, dt.time] | None
WEEKDAYS = range(7)


def moment(day: dt.date, time: dt.time) -> dt.datetime:
    """A time of a day in the shop's zone."""
    return timezone.make_aware(dt.datetime.combine(day, time))


@dataclass(frozen=True)
class Opening:
    """The hours of the week (Monday is 0), and the days on which the shop is closed."""

    week: Mapping[int, Hours]
    closed: Mapping[dt.date, str]

    def hours(self, day: dt.date) -> tuple[dt.datetime, dt.datetime] | None:
        """From when to when the shop is open on a day; None for a closed one."""
        hours = None if day in self.closed else self.week[day.weekday()]
        return None if hours is None else (moment(day, hours[0]), moment(day, hours[1]))

    def covers(self, starts_at: dt.datetime, ends_at: dt.datetime) -> bool:
        """Whether the shop is open all the time from start to end."""
        hours = self.hours(timezone.localtime(starts_at).date())
        return hours is not None and hours[0] <= starts_at and ends_at <= hours[1]

    def next_open(self, day: dt.date, within: int = 60) -> dt.date:
        """The first day from ``day`` on that is open; ``day`` itself if none is ``within`` days."""
        days = (day + dt.timedelta(days=ahead) for ahead in range(within))
        return next((one for one in days if self.hours(one) is not None), day)


def week_hours() -> dict[int, Hours]:
    """The hours of each weekday; usual ones where none were set."""
    kept = {one.weekday: one for one in OpeningDay.objects.all()}
    return {day: _hours(kept[day]) if day in kept else USUAL_HOURS for day in WEEKDAYS}


def _hours(kept: OpeningDay) -> Hours:
    if kept.opens is None or kept.closes is None:
        return None
    return kept.opens, kept.closes


def opening() -> Opening:
    """When this shop is open."""
    closed = dict(ClosedDay.objects.values_list("day", "reason"))
    return Opening(week_hours(), closed)


def opening_lock() -> None:
    """Hold the opening hours until the transaction ends: whoever else edits them waits."""
    ShopSettings.load()
    ShopSettings.objects.select_for_update().get(pk=1)


@transaction.atomic
def opening_set(*, week: Mapping[int, Hours], closed: Mapping[dt.date, str]) -> None:
    """Keep hours and closed days in place of those there were."""
    for day, hours in week.items():
        opens, closes = hours or (None, None)
        OpeningDay.objects.update_or_create(
            weekday=day, defaults={"opens": opens, "closes": closes}
        )
    ClosedDay.objects.all().delete()
    ClosedDay.objects.bulk_create(
        ClosedDay(day=day, reason=reason) for day, reason in closed.items()
    )

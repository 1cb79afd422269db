"""The lists of Today as plain data."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from django.utils import timezone
from django.utils.translation import gettext, ngettext

if TYPE_CHECKING:
    from shop.models import WorkOrder

#: Rows of a list on the home page; the list's own page has all.
FIRST = 6


def day_of(day: dt.date) -> tuple[dt.datetime, dt.datetime]:
    """Midnight to midnight in the shop's zone."""
    start, end = (dt.datetime.combine(day + dt.timedelta(days=n), dt.time.min) for n in (0, 1))
    return timezone.make_aware(start), timezone.make_aware(end)


def age_words(since: dt.datetime) -> str:
    """How long ago in words of days, by the calendar of the shop: ``today``, ``3 days``."""
    days = (timezone.localdate() - timezone.localdate(since)).days
    if days <= 0:
        return gettext("today")
    return ngettext("{days} day", "{days} days", days).format(days=days)


@dataclass(frozen=True)
class Row:
    """One order in a list: since when, what comes next, and what else there is to know."""

    order: WorkOrder
    age: str
    next_words: str
    notes: Sequence[str] = ()
    mine: bool = False

    @property
    def plate(self) -> str:
        return self.order.vehicle.plate or self.order.vehicle.description

    @property
    def phone(self) -> str:
        return self.order.customer.phone


@dataclass(frozen=True)
class TodayList:
    """A list with its first rows, and how many it holds in all."""

    name: str
    title: str
    count: int
    rows: list[Row] = field(default_factory=list)

    @property
    def more(self) -> int:
        return self.count - len(self.rows)

"""When the shop is open: the hours of each weekday, and days on which it is closed."""

from __future__ import annotations

import datetime as dt
from typing import ClassVar

from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.versioned import Versioned

#: The hours of a weekday that were not set.
USUAL_HOURS = (dt.time(8), dt.time(18))


class OpeningDay(Versioned):
    """The hours of a weekday, Monday is 0; without both times the shop is closed."""

    weekday = models.PositiveSmallIntegerField(_("weekday"), unique=True)
    opens = models.TimeField(_("opens"), null=True, blank=True)
    closes = models.TimeField(_("closes"), null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["weekday"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(weekday__lte=6), name="opening_day_of_the_week"
            ),
            models.CheckConstraint(
                condition=models.Q(opens__isnull=True, closes__isnull=True)
                | models.Q(opens__isnull=False, closes__isnull=False, closes__gt=models.F("opens")),
                name="opening_day_closes_after_it_opens",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.weekday}: {self.opens}–{self.closes}"


class ClosedDay(models.Model):
    """A day on which the shop is closed, with the reason as staff read it."""

    day = models.DateField(_("day"), unique=True)
    reason = models.CharField(_("reason"), max_length=80, blank=True)

    class Meta:
        ordering: ClassVar = ["day"]

    def __str__(self) -> str:
        return f"{self.day}"

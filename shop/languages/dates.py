"""Days and times as the language that is active writes them, in the shop's time zone.

How a language writes a day is a pattern in its catalogue, in the letters of Django's ``date``
filter. Names of months and weekdays are Django's own.
"""

from __future__ import annotations

import datetime as dt

from django.utils import timezone
from django.utils.dateformat import format as written
from django.utils.translation import pgettext

Moment = dt.datetime | dt.date


def long_day(moment: Moment) -> str:
    """``1 November 2026``, ``1. November 2026``."""
    return written(_local(moment), pgettext("a day, for a letter", "j F Y"))


def short_day(moment: Moment) -> str:
    """``Sun 1 Nov 2026``, ``So., 01.11.2026``."""
    return written(_local(moment), pgettext("a day, for a list", "D j M Y"))


def clock(moment: dt.datetime) -> str:
    """``14:05``."""
    return written(_local(moment), pgettext("a time of day", "H:i"))


def long_moment(moment: dt.datetime) -> str:
    """``1 November 2026, 14:05``, ``1. November 2026 um 14:05 Uhr``."""
    return written(_local(moment), pgettext("a day and time, for a letter", "j F Y, H:i"))


def short_moment(moment: dt.datetime) -> str:
    """``Sun 1 Nov 2026, 14:05``, ``So., 01.11.2026, 14:05``."""
    return written(_local(moment), pgettext("a day and time, for a list", "D j M Y, H:i"))


def _local(moment: Moment) -> Moment:
    if isinstance(moment, dt.datetime) and timezone.is_aware(moment):
        return timezone.localtime(moment)
    return moment

"""What Today says of quotes that wait for their customer."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from shop.languages import dates
from shop.models import WorkOrder
from shop.outbox.data import SentAndSeen
from shop.outbox.services.following import sent_and_seen


def seen_notes(orders: Sequence[WorkOrder], /) -> dict[int, list[str]]:
    """By order: what went wrong with its email, or whether its link was opened."""
    found = sent_and_seen([order.pk for order in orders])
    return {key: [_said(one)] for key, one in found.items()}


def _said(one: SentAndSeen) -> str:
    if one.seen_at is not None:
        return _("link opened {day}").format(day=dates.short_day(one.seen_at))
    return one.trouble or _("link not opened yet")

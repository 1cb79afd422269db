"""One reminder of a quote that was emailed and not answered, if the shop wants it."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from shop.extensions.background import Chore
from shop.models import Mail, MailKind, MailState, Quote, ShopSettings, State
from shop.orders.services.locking import order_lock
from shop.outbox.services.following import is_answered
from shop.outbox.services.queue import mail_queue
from shop.outbox.services.server import has_server

#: Seconds between two looks for quotes that are due.
LOOK_EVERY = 60.0
#: Older ones are not reminded of when a shop turns reminders on.
OLDEST = dt.timedelta(days=30)
_looked: dict[str, float] = {}


def _unanswered(now: dt.datetime) -> QuerySet[Quote]:
    """Quotes emailed so many days ago, never reminded of; the answered ones still among them."""
    days = ShopSettings.load().remind_after_days
    if days is None or not has_server():
        return Quote.objects.none()
    due = now - dt.timedelta(days=days)
    sent = Mail.objects.filter(
        kind=MailKind.QUOTE, state=MailState.SENT, sent_at__lte=due, sent_at__gte=due - OLDEST
    )
    reminded = Mail.objects.filter(kind=MailKind.REMINDER, quote__isnull=False)
    return (
        Quote.objects.filter(
            pk__in=sent.values("quote"), authorisation=None, order__state=State.QUOTED
        )
        .exclude(pk__in=reminded.values("quote"))
        .select_related("order__customer", "order__vehicle")
    )


def _to_remind(now: dt.datetime) -> list[Quote]:
    return [quote for quote in _unanswered(now) if not is_answered(quote)]


def reminders_due() -> bool:
    """Looked up once a minute: a worker asks every second."""
    if time.monotonic() - _looked.get("at", float("-inf")) < LOOK_EVERY:
        return False
    _looked["at"] = time.monotonic()
    return bool(_to_remind(timezone.now()))


def remind_due(is_ending: Callable[[], bool] = lambda: False) -> None:
    """Write the reminders that are due, to the address that the quote went to last."""
    for quote in _to_remind(timezone.now()):
        if is_ending():
            return
        with transaction.atomic():
            order = order_lock(quote.order)
            if Mail.objects.filter(quote=quote, kind=MailKind.REMINDER).exists():
                continue
            last = (
                Mail.objects.filter(quote=quote, kind=MailKind.QUOTE, state=MailState.SENT)
                .order_by("-sent_at")
                .first()
            )
            if last is not None and not is_answered(quote):
                mail_queue(order=order, kind=MailKind.REMINDER, to=last.to, by=None, quote=quote)


REMINDERS = Chore("reminders of quotes", reminders_due, remind_due)

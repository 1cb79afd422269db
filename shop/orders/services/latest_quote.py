"""The quote that counts, and its approval."""

from __future__ import annotations

import datetime as dt

from django.utils import timezone

from common.verdicts import GateResult
from shop.models import Authorisation, Quote, WorkOrder
from shop.site.page_cache import asked_once


def quote_latest(order: WorkOrder) -> Quote | None:
    """The latest quote with its authorisation; the only one that can be authorised."""
    quotes = Quote.objects.filter(order=order).select_related("authorisation", "sent_by")
    latest = quotes.order_by("-sent_at", "-pk")
    return asked_once(("latest quote", order.pk), latest.first)


def quotes_of(order: WorkOrder) -> list[Quote]:
    """All quotes, the latest first; while a page is made the latest is then known."""
    quotes = Quote.objects.filter(order=order).select_related("authorisation", "sent_by")
    found = list(quotes.order_by("-sent_at", "-pk"))
    asked_once(("latest quote", order.pk), lambda: next(iter(found), None))
    return found


def authorisation_of(quote: Quote | None) -> Authorisation | None:
    return getattr(quote, "authorisation", None) if quote else None


def is_barred(quote: Quote) -> bool:
    """Whether the checks that stand on a quote say that what it offers cannot be mounted."""
    return any(
        check["result"] == GateResult.CANNOT_BE_MOUNTED for check in quote.document["checks"]
    )


def is_expired(quote: Quote) -> bool:
    """Whether the day until which a quote is valid is over, in the shop's time zone."""
    until = quote.document["valid_until"]
    return bool(until) and dt.date.fromisoformat(until) < timezone.localdate()

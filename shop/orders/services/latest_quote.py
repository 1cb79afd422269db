"""The quote that counts, and its approval."""

from __future__ import annotations

import datetime as dt

from django.utils import timezone

from common.verdicts import GateResult
from shop.models import Authorisation, Quote, WorkOrder


def quote_latest(order: WorkOrder) -> Quote | None:
    """The latest quote with its authorisation; the only one that can be authorised."""
    return (
        Quote.objects.filter(order=order)
        .select_related("authorisation", "sent_by")
        .order_by("-sent_at", "-pk")
        .first()
    )


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

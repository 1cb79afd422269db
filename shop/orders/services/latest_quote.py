"""The quote that counts, and its approval."""

from __future__ import annotations

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

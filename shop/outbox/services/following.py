"""What became of a quote that was sent: the mail, and the first opening of the customer's link."""

from __future__ import annotations

from collections.abc import Collection

from django.db import transaction
from django.utils import timezone
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from shop.extensions.points import QUOTE_ANSWERED
from shop.models import Mail, MailKind, MailState, Quote, State, WorkOrder
from shop.models.mail import TROUBLED
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.log import log_write
from shop.outbox.data import SentAndSeen


@transaction.atomic
def link_opened(*, order: WorkOrder) -> None:
    """The customer's link was opened by someone who is not signed in.

    Kept once for each quote. Some mail servers open links to look for harm, so this says that the
    address was fetched, and not that a person has read it.
    """
    quote = quote_latest(order)
    if quote is None or quote.seen_at is not None:
        return
    first = Quote.objects.filter(pk=quote.pk, seen_at=None).update(seen_at=timezone.now())
    if first:
        what = format_lazy(_("Link opened for the first time with quote {number}"), number=quote)
        log_write(order=order, by=None, what=what)


def is_authorised(quote: Quote) -> bool:
    """The answer that this capability knows of; others are plugged in beside it."""
    return authorisation_of(quote) is not None


def is_answered(quote: Quote) -> bool:
    """Whether nothing more is to be asked: answered, replaced, or no longer offered."""
    return (
        quote.order.state != State.QUOTED
        or quote_latest(quote.order) != quote
        or any(answered(quote) for answered in QUOTE_ANSWERED)
    )


def sent_and_seen(order_ids: Collection[int]) -> dict[int, SentAndSeen]:
    """By order, how its latest quote reached the customer; orders without a quote are left out.

    Two queries, however many orders there are.
    """
    latest: dict[int, Quote] = {}
    for quote in Quote.objects.filter(order__in=order_ids).order_by("sent_at", "pk"):
        latest[quote.order_id] = quote
    told = Mail.objects.filter(
        quote__in=[quote.pk for quote in latest.values()],
        kind__in=(MailKind.QUOTE, MailKind.REMINDER),
    ).exclude(state=MailState.WITHDRAWN)
    mails: dict[int, list[Mail]] = {}
    for mail in told.order_by("at", "pk"):
        mails.setdefault(mail.quote_id or 0, []).append(mail)
    return {order: _followed(quote, mails.get(quote.pk, [])) for order, quote in latest.items()}


def _followed(quote: Quote, mails: list[Mail]) -> SentAndSeen:
    arrived = [mail for mail in mails if mail.state == MailState.SENT]
    last = mails[-1] if mails else None
    return SentAndSeen(
        offered_at=quote.sent_at,
        mailed_to=last.to if last else "",
        mailed_at=arrived[-1].sent_at if arrived else None,
        seen_at=quote.seen_at,
        is_waiting=last is not None and last.is_under_way,
        trouble=str(MailState(last.state).label) if last and last.state in TROUBLED else "",
    )

"""Quotes frozen from the lines of an order, and the customer's authorisation."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from django.db import transaction
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import (
    Authorisation,
    MailKind,
    NewsKind,
    Quote,
    State,
    User,
    WorkOrder,
)
from shop.models.orders import CLOSED_STATES
from shop.money.services.drafts import quote_draft
from shop.orders.services.latest_quote import authorisation_of, is_barred, is_expired, quote_latest
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.news import news_tell
from shop.orders.services.part_orders import parts_settle
from shop.orders.services.quoted import (
    Difference,
    job_differs,
    order_differs,
    quotes_differ,
    read_digest,
)
from shop.orders.services.standing import AFTER_BOOKING, Standing
from shop.orders.services.states import order_move
from shop.outbox.services.queue import mail_queue
from shop.site.refusals import NotYours, Refused

#: Every open state: after any change there is a way to a new quote.
MAY_BE_QUOTED = tuple(state for state in State if state not in CLOSED_STATES)
#: States in which a quote may be waiting for its approval.
MAY_BE_APPROVED = (State.QUOTED, *AFTER_BOOKING)


def check_as_quoted(order: WorkOrder) -> None:
    """Raises Refused where lines, wheels or settings are no longer those of the latest quote."""
    quote = quote_latest(order)
    if quote is not None and (changed := tuple(job_differs(order, quote))):
        raise Refused(Standing(changed=changed).why_not)


@transaction.atomic
def quote_send(
    *,
    order: WorkOrder,
    by: User,
    note: str = "",
    options: Collection[str] = (),
    digest: str = "",
    mail_to: str = "",
    link: str = "",
) -> Quote:
    """Freeze the lines into a quote, with what the gates say now as a warning.

    ``options`` are the keys of further options that stand on it. With a ``digest``, that of the
    preview, anything else than what was previewed is refused. With ``mail_to`` an email with the
    customer's ``link`` is written in the same transaction.

    A gate never stops a quote. Sending one takes an approved order back to *quoted*, since what
    was approved is no longer what is offered. Once a time is booked the order keeps its state and
    its time, and the work waits for the approval.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can send quotes."))
    row = order_lock(order)
    if row.state not in MAY_BE_QUOTED:
        raise Refused(_("This order is closed."))
    if not row.lines.exists():
        raise Refused(_("There are no quote lines yet. Add labour and parts first."))
    quote = quote_draft(row, by, note=note, options=options)
    if digest and digest != read_digest(quote):
        raise Refused(_("The quote has changed. Read the preview again, then send it."))
    _reorder_parts(row, by)
    quote.save()
    log_write(
        order=row,
        by=by,
        what=format_lazy(gettext_lazy("Quote {number} sent"), number=quote.number),
        detail=f"{quote.total} {quote.currency}. {quote.gate_warning}".strip(),
    )
    if row.state in (State.ENQUIRY, State.APPROVED):
        order_move(order=row, to=State.QUOTED, by=by)
    if mail_to:
        mail_queue(order=row, kind=MailKind.QUOTE, to=mail_to, by=by, quote=quote, link=link)
    order.state, order.state_since = row.state, row.state_since
    return quote


def _reorder_parts(order: WorkOrder, by: User) -> None:
    """Other parts than those that were ordered have to be ordered, past the gate, anew."""
    ordered = order.parts_ordered_at is not None
    parts_settle(order)
    if ordered and order.parts_ordered_at is None:
        log_write(order=order, by=by, what=gettext_lazy("Parts must be ordered again"))


def waits_for_approval(order: WorkOrder, quote: Quote | None) -> bool:
    """Whether a quote, the latest of its order, can be approved: never one whose checks say that
    what it offers cannot be mounted."""
    return (
        quote is not None
        and authorisation_of(quote) is None
        and order.state in MAY_BE_APPROVED
        and not is_barred(quote)
    )


class QuoteChanged(Refused):
    """What would be signed is not what was read; ``differences`` says what changed."""

    def __init__(self, reason: str, differences: Sequence[Difference]) -> None:
        super().__init__(reason)
        self.differences = tuple(differences)


def _as_read(order: WorkOrder, latest: Quote, number: str, digest: str) -> None:
    """Raises QuoteChanged unless the quote that was read is the latest, whole and still true."""
    if latest.number != number:
        read = Quote.objects.filter(order=order, number=number).first()
        differences = quotes_differ(read, latest) if read is not None else []
        raise QuoteChanged(_("A newer quote has been sent. Please read that one."), differences)
    if read_digest(latest) != digest:
        raise QuoteChanged(_("This quote has changed. Please read it again."), [])
    if changed := order_differs(order, latest):
        raise QuoteChanged(
            _("The job has changed since this quote was sent. A new quote follows."), changed
        )


@transaction.atomic
def quote_authorise(
    *,
    quote: Quote,
    number: str,
    digest: str,
    name: str,
    via: str,
    signed_warning: bool,
    by: User | None = None,
) -> Authorisation:
    """Take the customer's yes: name, amount and time are frozen, and the order is approved.

    ``number`` and ``digest`` (``read_digest``) are those of the quote that was read. Another
    quote, or this one when lines, job or findings have changed since, is refused with
    QuoteChanged and has to be read first. ``by`` is the member of staff who saw the
    signature, None on the customer's own link, where a quote that is no longer valid is refused.
    """
    order = order_lock(quote.order)
    latest = quote_latest(order)
    if latest is None:
        raise Refused(_("No quote has been sent."))
    if authorisation_of(latest) is not None and latest.number == number:
        raise Refused(_("This quote is already authorised."))
    if order.state not in MAY_BE_APPROVED:
        raise Refused(_("This order is not waiting for an authorisation."))
    _as_read(order, latest, number, digest)
    if is_barred(latest):
        raise Refused(_("What this quote offers cannot be mounted. Another quote follows."))
    if by is None and is_expired(latest):
        raise Refused(_("This quote is no longer valid. Please ask us for a new one."))
    if not name.strip():
        raise Refused(_("Please write your full name."), field="name")
    if latest.signature_needed and not signed_warning:
        raise Refused(_("Please tick that you have read the warning."), field="signed_warning")
    authorisation = Authorisation.objects.create(
        quote=latest,
        name=name.strip(),
        amount=latest.total,
        via=via,
        signed_sentence=latest.gate_warning if signed_warning else "",
        read_digest=digest,
        witnessed_by=by,
    )
    log_write(
        order=order,
        by=by,
        who="" if by else name.strip(),
        what=format_lazy(
            gettext_lazy("Quote {number} authorised {via}"),
            number=latest.number,
            via=Authorisation.Via(via).label,
        ),
        detail=f"{name.strip()}, {latest.total} {latest.currency}. "
        f"{authorisation.signed_sentence}".strip(),
    )
    news_tell(
        order=order,
        kind=NewsKind.SIGNED,
        detail=f"{latest.number}, {name.strip()}, {latest.total} {latest.currency}",
        by=by,
    )
    if order.state == State.QUOTED:
        order_move(order=order, to=State.APPROVED, by=by, who="" if by else name.strip())
    return authorisation

"""What a customer answers besides a signature, and the shop's reply, each with the log."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.customer_page.options import options_on
from shop.models import CustomerAnswer, MailKind, NewsKind, Quote, User, WorkOrder
from shop.money.services import waits_for_approval
from shop.orders.services.latest_quote import quote_latest
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.news import news_tell
from shop.outbox.services.queue import mail_queue
from shop.outbox.services.server import has_server
from shop.site.refusals import NotYours, Refused

Kind = CustomerAnswer.Kind
#: More open questions than this are refused, so that a link that got about fills no page.
MOST_OPEN = 20


@transaction.atomic
def question_ask(*, order: WorkOrder, text: str) -> CustomerAnswer:
    """Put a question to the shop. The same question that is still open is not asked again.

    Raises Refused on a closed order, for an empty question, and where too many are open.
    """
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("This order is closed. Please call us."))
    if not text.strip():
        raise Refused(_("Please write your question."), field="text")
    still_open = row.customer_answers.filter(kind=Kind.ASKED, settled_at=None)
    same = still_open.filter(text=text.strip()).first()
    if same is not None:
        return same
    if still_open.count() >= MOST_OPEN:
        raise Refused(_("Your earlier questions are still with us. Please call us."))
    quote = quote_latest(row)
    return _keep(row, Kind.ASKED, gettext_lazy("Customer asked"), text.strip(), quote)


@transaction.atomic
def quote_decline(*, order: WorkOrder, number: str, reason: str = "") -> CustomerAnswer:
    """Keep the customer's no to a quote; declined again, the reason is that of the last time.

    Nothing is cancelled: the customer may still approve, and the shop decides what follows.
    Raises Refused where another quote was sent meanwhile, or none waits.
    """
    row, quote = _waiting(order, number)
    before = quote.answers.filter(kind=Kind.DECLINED, settled_at=None).first()
    if before is not None and before.text == reason.strip():
        return before
    what = format_lazy(gettext_lazy("Customer declined quote {number}"), number=quote.number)
    if before is not None:
        _settle(before)
    return _keep(row, Kind.DECLINED, what, reason.strip(), quote)


@transaction.atomic
def option_choose(*, order: WorkOrder, number: str, label: str) -> CustomerAnswer:
    """Keep which other option of the quote the customer would rather have; one an axle counts.

    Raises Refused where another quote was sent meanwhile, or the letter is none to be chosen.
    """
    row, quote = _waiting(order, number)
    options = {one.label: one for one in options_on(quote)}
    option = options.get(label)
    if option is None or not option.may_be_chosen:
        raise Refused(_("There is no option {label} to choose.").format(label=label))
    axle_labels = [one.label for one in options.values() if one.axle == option.axle]
    for before in quote.answers.filter(kind=Kind.CHOSE, settled_at=None, label__in=axle_labels):
        if before.label == label:
            return before
        _settle(before)
    what = format_lazy(
        gettext_lazy("Customer chose option {label} of quote {number}"),
        label=label,
        number=quote.number,
    )
    return _keep(row, Kind.CHOSE, what, option.words, quote, label)


def _waiting(order: WorkOrder, number: str) -> tuple[WorkOrder, Quote]:
    row = order_lock(order)
    quote = quote_latest(row)
    if quote is None or not waits_for_approval(row, quote):
        raise Refused(_("No quote of this order is waiting for your answer."))
    if quote.number != number:
        raise Refused(_("A newer quote has been sent. Please read that one."))
    return row, quote


def _keep(
    order: WorkOrder,
    kind: str,
    what: str | Promise,
    text: str,
    quote: Quote | None,
    label: str = "",
) -> CustomerAnswer:
    answer = CustomerAnswer.objects.create(
        order=order, quote=quote, kind=kind, label=label, text=text
    )
    log_write(order=order, by=None, what=what, detail=text)
    news_tell(order=order, kind=NewsKind(kind), detail=text)
    return answer


def _settle(answer: CustomerAnswer, by: User | None = None, reply: str = "") -> None:
    answer.settled_at, answer.settled_by, answer.reply = timezone.now(), by, reply
    answer.save(update_fields=["settled_at", "settled_by", "reply"])


def _tell(answer: CustomerAnswer, by: User) -> None:
    """Send the reply to a question by email as well, where there are a server and an address."""
    order = answer.order
    if answer.kind == Kind.ASKED and order.customer.email and has_server():
        mail_queue(
            order=order,
            kind=MailKind.ANSWER,
            to=order.customer.email,
            by=by,
            message=answer.reply,
        )


@transaction.atomic
def answer_reply(*, answer: CustomerAnswer, by: User, text: str = "") -> None:
    """Settle what a customer said; a question with the reply that they read on their page.

    Raises NotYours without the role, and Refused for a question without a reply or what another
    person settled before.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can reply to customers."))
    order_lock(answer.order)
    answer.refresh_from_db()
    if answer.settled_at is not None:
        raise Refused(_("Another person has settled this already."))
    if answer.kind == Kind.ASKED and not text.strip():
        raise Refused(_("Write a reply first."), field="text")
    _settle(answer, by, text.strip())
    _tell(answer, by)
    asked = answer.kind == Kind.ASKED
    log_write(
        order=answer.order,
        by=by,
        what=gettext_lazy("Customer's question answered")
        if asked
        else gettext_lazy("Customer's answer settled"),
        detail=text.strip() if asked else answer.text,
    )


def answered(quote: Quote) -> bool:
    """Whether the customer asked about a quote, declined it, or chose another option of it."""
    return quote.answers.exists()

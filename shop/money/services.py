"""Lines of an order, quotes frozen from them, and the customer's authorisation."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.functional import Promise
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext_lazy

from common.verdicts import GateResult
from shop.extensions.points import QUOTE_NOTES
from shop.languages import speech_of
from shop.models import (
    Authorisation,
    Line,
    NewsKind,
    OrderKind,
    Quote,
    ShopSettings,
    State,
    User,
    WorkOrder,
)
from shop.models.orders import CLOSED_STATES
from shop.orders.services.cautions import class_caution
from shop.orders.services.class_rules import findings_sentence, rules_judged
from shop.orders.services.gates import gates_ask
from shop.orders.services.latest_quote import authorisation_of, is_barred, quote_latest
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.news import news_tell
from shop.orders.services.part_orders import parts_settle
from shop.orders.services.quoted import (
    Difference,
    frozen_checks,
    frozen_job,
    frozen_lines,
    job_differs,
    order_differs,
    quotes_differ,
    read_digest,
)
from shop.orders.services.standing import AFTER_BOOKING, Standing
from shop.orders.services.states import order_move
from shop.site.refusals import NotYours, Refused
from shop.values.amounts import totals_of

#: Every open state: after any change there is a way to a new quote.
MAY_BE_QUOTED = tuple(state for state in State if state not in CLOSED_STATES)
#: States in which a quote may be waiting for its approval.
MAY_BE_APPROVED = (State.QUOTED, *AFTER_BOOKING)


def check_as_quoted(order: WorkOrder) -> None:
    """Raises Refused where lines, wheels or settings are no longer those of the latest quote."""
    quote = quote_latest(order)
    if quote is not None and (changed := tuple(job_differs(order, quote))):
        raise Refused(Standing(changed=changed).why_not)


def quote_document(
    order: WorkOrder,
    currency: str,
    *,
    language: str = "",
    checks: Sequence[dict[str, Any]] = (),
    job: dict[str, Any] | None = None,
    class_rules_said: str = "",
    class_findings: Sequence[dict[str, str]] = (),
    notes: Sequence[dict[str, Any]] = (),
) -> dict[str, Any]:
    """What a quote freezes, in today's shape: the order's lines and totals, and what is told.

    ``checks`` are the gates' answers, ``job`` what stands behind the lines (None: not on record),
    ``notes`` what other apps tell; ``language`` is the one in which all of it is written;
    without one, the customer's.
    """
    language = language or order.customer.language
    totals = totals_of(order.lines.all())
    return {
        "lines": frozen_lines(order, language),
        "net": str(totals.net),
        "tax": str(totals.tax),
        "total": str(totals.total),
        "shares": [
            {"rate": str(s.rate), "net": str(s.net), "tax": str(s.tax)} for s in totals.shares
        ],
        "currency": currency,
        "checks": list(checks),
        "job": job,
        "use": order.use,
        "class_rules": order.class_rules,
        "language": language,
        "class_rules_said": class_rules_said,
        "class_findings": list(class_findings),
        "notes": list(notes),
    }


@transaction.atomic
def lines_change(
    *, order: WorkOrder, by: User, lines: Sequence[Line], gone: Sequence[Line] = ()
) -> None:
    """Save the lines in their order; a part that moves the wheel brings the need of a check."""
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("This order is closed and its lines cannot be changed."))
    moves_wheel = any(line.part and line.part.moves_wheel for line in lines)
    if moves_wheel and row.kind == OrderKind.SURVEY_VISIT:
        raise Refused(
            _("A survey visit cannot include parts that move a wheel. Open an order for them.")
        )
    for line in gone:
        line.delete()
    for position, line in enumerate(lines):
        line.order = row
        line.position = position
        line.save()
    if moves_wheel and not row.moves_wheel_or_height:
        row.moves_wheel_or_height = True
        row.save(update_fields=["moves_wheel_or_height"])
    log_write(order=row, by=by, what=gettext_lazy("Quote lines changed"), detail=_count_of(lines))


def _count_of(lines: Sequence[Line]) -> Promise:
    return format_lazy(ngettext_lazy("{count} line", "{count} lines", len(lines)), count=len(lines))


@transaction.atomic
def quote_send(*, order: WorkOrder, by: User, note: str = "") -> Quote:
    """Freeze the lines into a quote, with what the gates say now as a warning.

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
    speech = speech_of(row)
    verdicts = [v for v in gates_ask(row) if v.answer.result != GateResult.NOT_NEEDED]
    shop = ShopSettings.load()
    record, findings = row.class_record, rules_judged(row, speech)
    document = quote_document(
        row,
        shop.currency,
        language=speech.language.code,
        checks=frozen_checks(verdicts, speech),
        job=frozen_job(row, speech),
        class_rules_said=findings_sentence(record, findings, speech) if record and findings else "",
        class_findings=[finding.as_document() for finding in findings],
        notes=[note for tell in QUOTE_NOTES for note in tell(row)],
    )
    _reorder_parts(row, by)
    quote = Quote.objects.create(
        order=row,
        number=f"{row.number}-{row.quotes.count() + 1}",
        document=document,
        total=Decimal(document["total"]),
        currency=shop.currency,
        gate_warning="\n".join(v.answer.said_to(speech_of(row)) for v in verdicts if v.is_warning),
        signature_needed=any(v.needs_signature for v in verdicts),
        class_caution=class_caution(row, speech=speech),
        note=note.strip(),
        sent_by=by,
    )
    log_write(
        order=row,
        by=by,
        what=format_lazy(gettext_lazy("Quote {number} sent"), number=quote.number),
        detail=f"{quote.total} {quote.currency}. {quote.gate_warning}".strip(),
    )
    if row.state in (State.ENQUIRY, State.APPROVED):
        order_move(order=row, to=State.QUOTED, by=by)
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
    signature, None on the customer's own link.
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

"""What a quote says: built once, for the preview and for the quote that is frozen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from django.utils import timezone

from common.verdicts import GateResult
from shop.extensions.points import QUOTE_NOTES
from shop.languages import speech_of
from shop.models import (
    Quote,
    ShopSettings,
    User,
    WorkOrder,
)
from shop.orders.services.cautions import class_caution
from shop.orders.services.class_rules import findings_sentence, rules_judged
from shop.orders.services.gates import gates_ask
from shop.orders.services.latest_quote import quote_latest
from shop.orders.services.quoted import (
    frozen_checks,
    frozen_job,
    frozen_lines,
    quotes_differ,
)


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
    terms: str = "",
    valid_until: dt.date | None = None,
) -> dict[str, Any]:
    """What a quote freezes, in today's shape: the order's lines and totals, and what is told.

    ``checks`` are the gates' answers, ``job`` what stands behind the lines (None: not on record),
    ``notes`` what other apps tell; ``language`` is the one in which all of it is written;
    without one, the customer's. ``before`` and ``differences`` are filled in where an earlier
    quote is on record (``quote_draft``).
    """
    language = language or order.customer.language
    totals = order.totals
    return {
        "lines": frozen_lines(order, language),
        "amounts": str(totals.amounts),
        "discount": str(order.discount),
        "discount_amount": str(totals.discount),
        "net": str(totals.net),
        "tax": str(totals.tax),
        "total": str(totals.total),
        "shares": [
            {"rate": str(s.rate), "net": str(s.net), "tax": str(s.tax)} for s in totals.shares
        ],
        "with_tax": ShopSettings.load().prices_with_tax,
        "currency": currency,
        "checks": list(checks),
        "job": job,
        "use": order.use_text,
        "class_rules": order.class_rules,
        "language": language,
        "class_rules_said": class_rules_said,
        "class_findings": list(class_findings),
        "notes": list(notes),
        "terms": terms,
        "valid_until": valid_until.isoformat() if valid_until else "",
        "deposits": [
            {
                "asked": str(one.asked),
                "received": "" if one.received is None else str(one.received),
                "received_on": one.received_on.isoformat() if one.received_on else "",
            }
            for one in order.deposits.all()
        ],
        "before": "",
        "differences": [],
    }


def options_of(order: WorkOrder) -> list[dict[str, Any]]:
    """What may stand on a quote beside what is chosen: the notes of other apps, all rows."""
    return [note for tell in QUOTE_NOTES for note in tell(order)]


def _notes_with(notes: Sequence[dict[str, Any]], options: Collection[str]) -> list[dict[str, Any]]:
    """The notes with what is quoted and those further options whose keys were ticked."""
    return [
        {
            **note,
            "rows": [
                row for row in note["rows"] if row["choice"] == "chosen" or row["key"] in options
            ],
        }
        for note in notes
    ]


def quote_draft(
    order: WorkOrder, by: User, *, note: str = "", options: Collection[str] = ()
) -> Quote:
    """The quote that would be frozen now, not saved: what a preview shows is what is sent.

    ``options`` are keys of rows of ``options_of``. Its ``read_digest`` is that of the sent quote
    as long as nothing changes.
    """
    speech, shop = speech_of(order), ShopSettings.load()
    verdicts = [v for v in gates_ask(order) if v.answer.result != GateResult.NOT_NEEDED]
    record, findings = order.class_record, rules_judged(order, speech)
    days = shop.quote_days
    document = quote_document(
        order,
        shop.currency,
        language=speech.language.code,
        checks=frozen_checks(verdicts, speech),
        job=frozen_job(order, speech),
        class_rules_said=findings_sentence(record, findings, speech) if record and findings else "",
        class_findings=[finding.as_document() for finding in findings],
        notes=_notes_with(options_of(order), options),
        terms=shop.quote_terms.strip(),
        valid_until=timezone.localdate() + dt.timedelta(days=days) if days else None,
    )
    quote = Quote(
        order=order,
        number=f"{order.number}-{order.quotes.count() + 1}",
        document=document,
        total=Decimal(document["total"]),
        currency=shop.currency,
        gate_warning="\n".join(v.answer.said_to(speech) for v in verdicts if v.is_warning),
        signature_needed=any(v.needs_signature for v in verdicts),
        class_caution=class_caution(order, speech=speech),
        note=note.strip(),
        sent_by=by,
    )
    if (before := quote_latest(order)) is not None:
        document["before"] = before.number
        document["differences"] = [asdict(one) for one in quotes_differ(before, quote)]
    return quote

"""The shapes of documents that the shop keeps, and how older ones become today's."""

from __future__ import annotations

from typing import Any

from common.stored_json import Schema

Document = dict[str, Any]


def _whole_letter(quote: Document) -> Document:
    """Version 1 left out what a letter did not have: findings, the class's rules, other words.

    Notes then came without saying whether arch lips are rolled.
    """
    return {
        "use": "",
        "class_rules": "",
        "language": "en",
        "class_rules_said": "",
        "class_findings": [],
        **quote,
        "checks": [{"title": "", "findings": [], **check} for check in quote["checks"]],
        "notes": [{"rolled": False, **note} for note in quote.get("notes", [])],
    }


def _gate_of_clearance(quote: Document) -> Document:
    """Version 2 called the gate of the clearance check ``room``."""
    checks = [
        {**check, "gate": "clearance"} if check.get("gate") == "room" else check
        for check in quote["checks"]
    ]
    return {**quote, "checks": checks}


def _with_job(quote: Document) -> Document:
    """Version 3 kept neither the job behind the lines nor what a check said in the customer's
    words."""
    checks = [{"said": check["sentence"], **check} for check in quote["checks"]]
    return {"job": None, **quote, "checks": checks}


def _with_discounts(quote: Document) -> Document:
    """Version 4 knew no discounts, no prices with tax, no terms, deposits or other quote before.

    The oldest lines did not name their tax; where a quote has one rate, it is that.
    """
    rates = [share["rate"] for share in quote.get("shares", [])]
    more = {"discount": "", "with_tax": False, "tax_rate": rates[0] if len(rates) == 1 else ""}
    lines = [{**more, "amount": line["net"], **line} for line in quote["lines"]]
    notes = [
        {**note, "rows": [{"key": "", "fails": [], **row} for row in note["rows"]]}
        for note in quote["notes"]
    ]
    return {
        "with_tax": False,
        "amounts": quote["net"],
        "discount": "",
        "discount_amount": "0.00",
        "valid_until": "",
        "terms": "",
        "deposits": [],
        "before": "",
        "differences": [],
        **quote,
        "lines": lines,
        "notes": notes,
    }


#: What a quote froze: lines, totals, what the gates said, and notes of other apps.
QUOTE = Schema("quote", (_whole_letter, _gate_of_clearance, _with_job, _with_discounts))

"""Whether an order is still what its customer read and approved, and what differs.

A quote freezes its lines, the job behind them (wheels, tyres, settings) and what the checks said.
Whoever signs, books or lifts the car goes by these same comparisons.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from common.canonical_json import digest_of
from common.verdicts import GateResult
from shop.extensions.gates import QUIET
from shop.extensions.points import QUOTED_JOBS
from shop.languages import Speech, speech_of
from shop.models import Quote, WorkOrder
from shop.models.orders import uses_said
from shop.orders.services.gates import GateVerdict, gates_ask
from shop.orders.services.rows import lines_of
from shop.values.amounts import line_net

Document = dict[str, Any]
#: Results that say nothing about the job: the gate asks for a check, not for another quote.
SILENT = (GateResult.STALE, GateResult.NOT_CHECKED, *QUIET)


@dataclass(frozen=True)
class Difference:
    """One thing that changed: its title as the reader says it, what stands in the quote and what
    would stand there now in the customer's words; an empty side was not there."""

    title: str
    before: str
    after: str


def frozen_lines(order: WorkOrder, language: str = "") -> list[dict[str, Any]]:
    """The order's lines as they stand on a quote: decimals as text, in a language; without one,
    in the customer's."""
    language = language or order.customer.language
    return [
        {
            "kind": line.kind,
            "number": line.part.number if line.part else "",
            "description": line.description_in(language),
            "axle": line.axle,
            "quantity": str(line.quantity.normalize() + 0),
            "unit_price": str(line.unit_price),
            "tax_rate": str(line.tax_rate),
            "discount": str(line.discount),
            "with_tax": line.with_tax,
            "amount": str(line.amount),
            "net": str(line_net(line)),
        }
        for line in lines_of(order)
    ]


def frozen_job(order: WorkOrder, speech: Speech) -> Document:
    """Wheels, settings and the like by key, as a quote freezes them."""
    return {
        item.key: {"title": item.title, "text": item.text, "digest": item.digest}
        for tell in QUOTED_JOBS
        for item in tell(order, speech)
    }


def frozen_checks(verdicts: Iterable[GateVerdict], speech: Speech) -> list[Document]:
    """What the gates say, as a quote freezes it."""
    return [
        {
            "gate": v.answer.gate,
            "result": v.answer.result,
            "sentence": v.answer.sentence,
            "said": v.answer.said_to(speech),
            "digest": v.answer.digest,
            "title": v.answer.title,
            "findings": v.answer.findings(speech) if v.answer.findings else [],
        }
        for v in verdicts
        if v.answer.result != GateResult.NOT_NEEDED
    ]


def read_digest(quote: Quote) -> str:
    """What stands for everything that a quote says to its reader."""
    return digest_of(
        {
            "number": quote.number,
            "document": quote.document,
            "total": str(quote.total),
            "currency": quote.currency,
            "warning": quote.gate_warning,
            "class_caution": quote.class_caution,
            "note": quote.note,
            "signature_needed": quote.signature_needed,
        }
    )


def quotes_differ(before: Quote, after: Quote) -> list[Difference]:
    """What another quote says otherwise."""
    speech = speech_of(after.order)
    was, now = before.document, after.document
    found = [*_lines(was["lines"], now["lines"], speech), *_job(was["job"], now["job"])]
    found += _checks(was["checks"], now["checks"], speech)
    found += _words(was, now, speech)
    if before.total != after.total:
        found.append(
            Difference(
                speech.say("Total"),
                speech.money(before.total, before.currency),
                _total_said(before, after, speech),
            )
        )
    if before.note != after.note:
        found.append(Difference(speech.say("Note"), before.note, after.note))
    return found


def _total_said(before: Quote, after: Quote, speech: Speech) -> str:
    """The new total, and by how much it is more or less."""
    said = speech.money(after.total, after.currency)
    if before.currency != after.currency:
        return said
    by = speech.money(abs(after.total - before.total), after.currency)
    return f"{said} ({'+' if after.total > before.total else '−'}{by})"


def job_differs(
    order: WorkOrder, quote: Quote, *, reader: Speech | None = None
) -> list[Difference]:
    """What of lines and job is no longer as the quote has it, for the customer or a ``reader``.

    Lines are compared in the quote's language: choosing another one changes no job.
    """
    speech, was = speech_of(order), quote.document
    reader = reader or speech
    now = {
        "use": order.use_text,
        "class_rules": order.class_rules,
        "discount": str(order.discount),
    }
    return [
        *_lines(was["lines"], frozen_lines(order, was["language"]), reader),
        *(_job_now(order, was["job"], speech, reader) if was["job"] is not None else ()),
        *_words(was, now, reader),
    ]


def findings_differ(
    order: WorkOrder,
    quote: Quote,
    verdicts: Sequence[GateVerdict] | None = None,
    *,
    reader: Speech | None = None,
) -> list[Difference]:
    """What the checks say now that the quote does not, where that is more than "check again"."""
    speech = speech_of(order)
    now = frozen_checks(gates_ask(order) if verdicts is None else verdicts, speech)
    telling = [check for check in now if check["result"] not in SILENT]
    gates = {check["gate"] for check in telling}
    was = [check for check in quote.document["checks"] if check["gate"] in gates]
    return _checks(was, telling, reader or speech)


def order_differs(
    order: WorkOrder,
    quote: Quote,
    verdicts: Sequence[GateVerdict] | None = None,
    *,
    reader: Speech | None = None,
) -> list[Difference]:
    """Everything in which the order is no longer what the quote says, for the customer or for
    another ``reader``."""
    return [
        *job_differs(order, quote, reader=reader),
        *findings_differ(order, quote, verdicts, reader=reader),
    ]


# ---- comparing


def _lines(
    was: Sequence[Mapping[str, str]], now: Sequence[Mapping[str, str]], speech: Speech
) -> list[Difference]:
    if list(was) == list(now):
        return []
    title = speech.say("Work or part")
    gone, new = [one for one in was if one not in now], [one for one in now if one not in was]
    found = []
    for one in gone:
        other = next((two for two in new if _is_same_thing(one, two)), None)
        if other is not None:
            new.remove(other)
        found.append(Difference(title, _line_said(one), _line_said(other) if other else ""))
    found += [Difference(title, "", _line_said(one)) for one in new]
    if found:
        return found
    # The same lines, more or fewer times or in another order.
    sides = ("; ".join(_line_said(one) for one in side) for side in (was, now))
    return [Difference(title, *sides)]


def _is_same_thing(one: Mapping[str, str], two: Mapping[str, str]) -> bool:
    """Whether two lines are for the same work or part: another quantity or price is a change."""
    return all(one[name] == two[name] for name in ("kind", "number", "description", "axle"))


def _line_said(line: Mapping[str, str]) -> str:
    less = f" − {line['discount']}" if line["discount"] else ""
    return (
        f"{line['description']}: {line['quantity']} × {line['unit_price']}{less} = {line['amount']}"
    )


def _job_now(order: WorkOrder, was: Document, speech: Speech, reader: Speech) -> list[Difference]:
    named = frozen_job(order, speech)
    found = _job(was, named)
    if not found or reader.language == speech.language:
        return found
    titled = frozen_job(order, reader)
    titles = {named[key]["title"]: titled[key]["title"] for key in named}
    return [replace(one, title=titles.get(one.title, one.title)) for one in found]


def _job(was: Document | None, now: Document | None) -> list[Difference]:
    if was is None or now is None:
        return []
    found = []
    for key in dict.fromkeys((*was, *now)):
        before, after = was.get(key), now.get(key)
        if (before or {}).get("digest") == (after or {}).get("digest"):
            continue
        known = after or before or {}
        texts = ((side or {}).get("text", "") for side in (before, after))
        found.append(Difference(known["title"], *texts))
    return found


def _checks(was: Sequence[Document], now: Sequence[Document], speech: Speech) -> list[Difference]:
    before = {check["gate"]: check for check in was}
    after = {check["gate"]: check for check in now}
    found = []
    for gate in dict.fromkeys((*before, *after)):
        old, new = before.get(gate, {}), after.get(gate, {})
        names = ("result", "digest")
        if [old.get(name) for name in names] == [new.get(name) for name in names]:
            continue
        title = speech.may_say(new.get("title") or old.get("title") or gate)
        found.append(Difference(title, old.get("said", ""), new.get("said", "")))
    return found


def _words(was: Document, now: Document, speech: Speech) -> list[Difference]:
    found = []
    if was["use"] and was["use"] != now["use"]:
        with speech.active():
            before, after = uses_said(was["use"]), uses_said(now["use"])
        found.append(Difference(speech.say("Use"), before, after))
    if was["class_rules"] != now["class_rules"]:
        title = speech.say("Class rules")
        found.append(Difference(title, was["class_rules"], now["class_rules"]))
    if was["discount"] != now["discount"]:
        found.append(Difference(speech.say("Discount"), was["discount"], now["discount"]))
    return found

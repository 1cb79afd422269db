"""The sections of a quote on paper, each a function of the frozen quote and the paper."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from reportlab.platypus import HRFlowable, KeepTogether, Spacer

from shop.models import LineKind
from shop.paper.pdf_styles import (
    INK,
    Paper,
    heading,
    ruled_table,
    side_by_side,
    text,
    whole,
)

if TYPE_CHECKING:
    from shop.models import Authorisation, Quote, ShopSettings


def letterhead(quote: Quote, shop: ShopSettings, paper: Paper) -> list[Any]:
    """From whom, to whom, when, and what it is for."""
    speech, customer = paper.speech, quote.order.customer
    say, body = speech.say, paper["body"]
    address = ", ".join(shop.address.split("\n"))
    contact = " · ".join(part for part in (address, shop.phone, shop.email) if part)
    head = [
        side_by_side(
            [text(shop.name, paper["letterhead"]), text(contact, paper["contact"])],
            [paper.width * 0.42, paper.width * 0.58],
        ),
        HRFlowable(width="100%", thickness=1, color=INK, spaceBefore=2, spaceAfter=8),
        text("\n".join(part for part in (customer.name, customer.address) if part), body),
        Spacer(1, 8),
        text(
            say(
                "Quote {number} for your {car}",
                number=quote.number,
                car=quote.order.vehicle,
            ),
            paper["title"],
        ),
        Spacer(1, 4),
        text(speech.day(quote.sent_at), body),
    ]
    if until := quote.document["valid_until"]:
        day = speech.day(dt.date.fromisoformat(until))
        head.append(text(say("Valid until {day}", day=day), body))
    if quote.order.request_text:
        head.append(text(say("Your request: {request}", request=quote.order.request_text), body))
    return [*head, Spacer(1, 6)]


def lines(quote: Quote, paper: Paper) -> list[Any]:
    """The lines, and under them the totals, once."""
    speech, document = paper.speech, quote.document
    say = speech.say
    rows = []
    for line in document["lines"]:
        axle = "" if line["axle"] == "any" else f", {speech.may_say(line['axle'])}"
        hours = f" {say('h')}" if line["kind"] == LineKind.LABOUR else ""
        number = f" {line['number']}" if line["number"] else ""
        if quote.is_mixed:
            number += f", {say('with tax' if line['with_tax'] else 'without tax')}"
        if line["discount"]:
            off = discount_said(line["discount"], quote, paper)
            number += f", {say('discount {discount}', discount=off)}"
        rows.append(
            [
                f"{line['description']}{axle}{number}",
                f"{speech.plain(Decimal(line['quantity']))}{hours}",
                speech.money(line["unit_price"], quote.currency),
                f"{speech.plain(Decimal(line['tax_rate']))} %" if line["tax_rate"] else "–",
                speech.money(line["amount"], quote.currency),
            ]
        )
    head = [
        say("Work or part"),
        say("Quantity"),
        say("Unit price"),
        say("Tax"),
        _amounts(quote, paper),
    ]
    table = ruled_table(paper, head, rows, (6, 1.5, 3, 1.3, 2.6), numbers=(1, 2, 3, 4))
    return [table, Spacer(1, 3), totals(quote, paper)]


def _amounts(quote: Quote, paper: Paper) -> str:
    """The head of the column of amounts: with tax or without, or neither where lines differ."""
    say = paper.speech.say
    if quote.is_mixed:
        return say("Amount")
    return say(
        "Amount with tax" if quote.document["lines"][0]["with_tax"] else "Amount without tax"
    )


def discount_said(discount: str, quote: Quote, paper: Paper) -> str:
    """A discount as a quote keeps it, in the reader's words."""
    if not discount:
        return ""
    if discount.endswith("%"):
        return f"{paper.speech.plain(Decimal(discount.removesuffix('%').strip()))} %"
    return paper.speech.money(discount, quote.currency)


def totals(quote: Quote, paper: Paper) -> Any:
    """Sum, discount, net, tax at each rate with its base, total."""
    speech, document = paper.speech, quote.document
    say = speech.say

    def money(amount: str) -> str:
        return speech.money(amount, quote.currency)

    rows = []
    if Decimal(document["discount_amount"]):
        rows.append([say("Sum of the lines"), money(document["amounts"])])
        said = discount_said(document["discount"], quote, paper)
        named = say("Discount {discount}", discount=said) if said.endswith("%") else say("Discount")
        rows.append([named, money(f"-{document['discount_amount']}")])
    rows.append([say("Net"), money(document["net"])])
    for share in document["shares"]:
        rate = speech.plain(Decimal(share["rate"]))
        rows.append(
            [
                say("Tax {rate} % on {base}", rate=rate, base=money(share["net"])),
                money(share["tax"]),
            ]
        )
    rows.append([say("Total"), money(str(quote.total))])
    table = ruled_table(paper, [say("Totals"), ""], rows, (9.5, 2.6), numbers=(1,))
    return KeepTogether([table])


def deposits(quote: Quote, paper: Paper) -> list[Any]:
    speech = paper.speech
    said = [_deposit(one, quote, paper) for one in quote.document["deposits"]]
    return (
        [heading(speech.say("Deposit"), paper), *(text(one, paper["body"]) for one in said)]
        if said
        else []
    )


def _deposit(one: dict[str, str], quote: Quote, paper: Paper) -> str:
    speech = paper.speech
    asked = speech.money(one["asked"], quote.currency)
    if not one["received"]:
        return speech.say("Asked before the work: {amount}.", amount=asked)
    return speech.say(
        "Received: {amount} on {day}.",
        amount=speech.money(one["received"], quote.currency),
        day=speech.day(dt.date.fromisoformat(one["received_on"])),
    )


def differences(quote: Quote, paper: Paper) -> list[Any]:
    """What is otherwise than on the quote before."""
    say, document = paper.speech.say, quote.document
    if not document["differences"]:
        return []
    rows = [
        [one["title"], one["before"] or "–", one["after"] or "–"] for one in document["differences"]
    ]
    head = [say("Changed"), say("Before"), say("Now")]
    table = ruled_table(paper, head, rows, (2, 4, 4))
    title = say("Changed since quote {number}", number=document["before"])
    return [*whole([heading(title, paper), table], rows), Spacer(1, 8)]


def checks(quote: Quote, paper: Paper) -> list[Any]:
    """What the checks said, and what failed or is not yet known."""
    say = paper.speech.say
    flow: list[Any] = []
    if quote.gate_warning:
        flow += [
            heading(say("Result of the checks"), paper),
            text(quote.gate_warning, paper["body"]),
        ]
    for check in quote.document["checks"]:
        rows = [
            [
                f"{one['title']}, {one['where']}: {one['said_outcome']}",
                one["sentence"],
                f"{one['rule']} {one['source']}.",
            ]
            for one in check["findings"]
        ]
        if rows:
            head = [say("Check"), say("Found"), say("Requirement and source")]
            table = ruled_table(paper, head, rows, (3, 4, 4))
            flow += whole([heading(say("Failed or not yet known"), paper), table], rows)
    return flow


def class_rules(quote: Quote, paper: Paper) -> list[Any]:
    """What settings and parts are under the class's rules, and its caution."""
    say, document = paper.speech.say, quote.document
    flow: list[Any] = []
    if document["class_rules_said"]:
        rows = [
            [one["rule_text"], say(one["result"]), one["reason"]]
            for one in document["class_findings"]
        ]
        head = [say("Rule"), say("Finding"), say("Reason")]
        flow += whole(
            [
                heading(say("Class rules"), paper),
                text(document["class_rules_said"], paper["body"]),
                Spacer(1, 2),
                ruled_table(paper, head, rows, (5, 1.6, 5)),
            ],
            rows,
        )
    if quote.class_caution:
        flow.append(text(f"{say('Caution.')} {quote.class_caution}", paper["body"]))
    return flow


def options(quote: Quote, paper: Paper) -> list[Any]:
    """Per axle what is quoted and the options beside it, each with what it fails and its price."""
    speech = paper.speech
    say = speech.say
    flow: list[Any] = []
    for note in quote.document["notes"]:
        rows = []
        for row in note["rows"]:
            fails = [speech.may_say(row["verdict"]), *(one.rstrip(".") for one in row["fails"])]
            price = speech.money(row["price"], quote.currency) if row["price"] else say("not known")
            rows.append(
                [f"{choice_said(row['choice'], paper)}: {row['words']}", "; ".join(fails), price]
            )
        head = [say("Option"), say("Clearance"), say("Parts for this axle, net")]
        table = ruled_table(paper, head, rows, (6, 3, 2), numbers=(2,))
        title = f"{say('Options')}, {speech.may_say(note['axle'])}"
        flow += whole([heading(title, paper), table], rows)
        if note["rolled"]:
            flow.append(
                text(
                    say(
                        "The arch lips of this axle will be rolled. This can crack the paint and "
                        "lead to rust, and local law may forbid it or require an inspection."
                    ),
                    paper["body"],
                )
            )
    return flow


def choice_said(choice: str, paper: Paper) -> str:
    say = paper.speech.say
    if choice == "chosen":
        return say("Chosen")
    return say("Declined") if choice == "declined" else say("Instead")


def ending(quote: Quote, shop: ShopSettings, paper: Paper) -> list[Any]:
    """Note, terms and who wrote it."""
    flow: list[Any] = [Spacer(1, 6)]
    if quote.note:
        flow += [text(quote.note, paper["body"]), Spacer(1, 4)]
    if terms := quote.document["terms"]:
        flow += [
            heading(paper.speech.say("Terms"), paper),
            text(terms, paper["small"]),
            Spacer(1, 4),
        ]
    return [*flow, text(f"{quote.sent_by.shown_name}, {shop.name}", paper["body"])]


def signed(quote: Quote, signature: Authorisation | None, paper: Paper) -> list[Any]:
    """Who authorised it, when and how."""
    if signature is None:
        return []
    speech = paper.speech
    say = speech.say
    sentence = say(
        "{name} authorised quote {number} for {amount} on {moment}, {via}.",
        name=signature.name,
        number=quote.number,
        amount=speech.money(signature.amount, quote.currency),
        moment=speech.moment(signature.at),
        via=say(signature.get_via_display()),
    )
    flow = [heading(say("Authorised"), paper), text(sentence, paper["body"])]
    if signature.signed_sentence:
        read = say("Read and accepted: {sentence}", sentence=signature.signed_sentence)
        flow.append(text(read, paper["body"]))
    return whole(flow, flow)

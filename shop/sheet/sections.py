"""The shop's own sections of the spec sheet, each a function of the order and the paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext_noop as _
from reportlab.platypus import CondPageBreak, KeepTogether, Spacer

from shop.models.axles import Position
from shop.models.work import Tried
from shop.orders.services.cautions import CUSTOMER, cautions_for, class_caution, job_of
from shop.orders.services.class_rules import findings_sentence, rules_judged
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.service_intervals import intervals_of
from shop.paper.pdf_styles import (
    Paper,
    SignatureLine,
    heading,
    ruled_table,
    side_by_side,
    text,
    whole,
)

if TYPE_CHECKING:
    from shop.models import ShopSettings, WorkOrder

#: What a road test found, inside a sentence.
TRIED: dict[str, str] = {
    Tried.NOT_DONE: _("not done"),
    Tried.QUIET: _("no contact"),
    Tried.TOUCHED: _("contact"),
}


def parts(order: WorkOrder, paper: Paper) -> list[Any]:
    """What went on the car and what came off for it."""
    say, language = paper.speech.say, paper.speech.language.code
    rows = [
        [
            fitted.description_in(language),
            fitted.get_corner_or_axle_display(),
            fitted.serial or "–",
            ", ".join(part for part in (fitted.removed, fitted.removed_to) if part) or "–",
        ]
        for fitted in order.installed.select_related("line__part", "part")
    ]
    if not rows:
        return []
    head = [say("Part"), say("Where"), say("Serial"), say("Removed, and where it went")]
    table = ruled_table(paper, head, rows, (4, 2, 2, 4))
    return whole([heading(say("Parts installed"), paper), table], rows)


def torques(order: WorkOrder, paper: Paper) -> list[Any]:
    """Who tightened what to which figure, with what: the signatures that count."""
    speech, say = paper.speech, paper.speech.say
    parts_named = {
        line.part.name: line.part.text_in(speech.language.code, "name")
        for line in order.lines.select_related("part")
        if line.part
    }
    latest = {
        (sign.due or sign.what): sign
        for sign in order.torques.filter(reopened_at=None).select_related("by")
    }
    rows = []
    for sign in latest.values():
        name = parts_named.get(sign.what) or speech.may_say(sign.what)
        place = speech.within(speech.say(Position(sign.position).label)) if sign.position else ""
        rows.append(
            [
                f"{name}, {place}" if place else name,
                speech.bare_torque(sign.due_nm) if sign.due_nm is not None else "–",
                speech.bare_torque(sign.torque_nm),
                speech.may_say(sign.tool),
                f"{sign.by.shown_name}, {speech.day(sign.at)}",
            ]
        )
    if not rows:
        return []
    head = [
        say("Fastener"),
        say("Figure, {unit}", unit=speech.torque_unit),
        say("Tightened to, {unit}", unit=speech.torque_unit),
        say("Wrench"),
        say("Signed by"),
    ]
    table = ruled_table(paper, head, rows, (3.2, 1.5, 2, 2, 4), numbers=(1, 2))
    return whole([heading(say("Torque record"), paper), table], rows)


def road_test(order: WorkOrder, paper: Paper) -> list[Any]:
    """What was tried on the road, and the places that were looked at afterwards."""
    speech, say = paper.speech, paper.speech.say
    test = order.road_tests.prefetch_related("marks").first()
    if test is None:
        return []
    tried: dict[str, str] = {value: say(words) for value, words in TRIED.items()}
    sentence = say(
        "On {day}. Full lock left: {left}; right: {right}; over a dip: {dip}; loaded: {loaded}.",
        day=speech.day(test.at),
        left=tried[test.lock_left],
        right=tried[test.lock_right],
        dip=tried[test.dip],
        loaded=tried[test.loaded],
    )
    flow: list[Any] = [heading(say("Road test"), paper), text(sentence, paper["body"])]
    rows = [
        [
            mark.get_corner_display(),
            speech.may_say(mark.place),
            say("touched") if mark.contact else speech.bare_length(mark.gap_mm, 0),
            mark.note or "–",
        ]
        for mark in test.marks.all()
    ]
    if rows:
        gap = say("Gap, {unit}", unit=speech.length_unit)
        head = [say("Corner"), say("Spot"), gap, say("Note")]
        widths = (2.2, 3, 1.8, 5)
        flow += [Spacer(1, 3), ruled_table(paper, head, rows, widths, numbers=(2,))]
    return whole(flow, rows)


def class_rules(order: WorkOrder, paper: Paper) -> list[Any]:
    """What settings and parts are under the class's rules."""
    findings = rules_judged(order, paper.speech)
    if not findings or order.class_record is None:
        return []
    say = paper.speech.say
    rows = [[one.rule_text, say(one.result), one.reason] for one in findings]
    head = [say("Rule"), say("Finding"), say("Reason")]
    sentence = findings_sentence(order.class_record, findings, paper.speech)
    table = ruled_table(paper, head, rows, (5, 1.6, 5))
    flow = [heading(say("Class rules"), paper), text(sentence, paper["body"]), Spacer(1, 2), table]
    return whole(flow, rows)


def cautions(order: WorkOrder, paper: Paper) -> list[Any]:
    """Cautions in two columns, read down the first."""
    say, language = paper.speech.say, paper.speech.language.code
    sentences = cautions_for(job_of(order), CUSTOMER)
    for line in order.lines.select_related("part"):
        caution = line.part.text_in(language, "caution") if line.part else ""
        if caution and caution not in sentences:
            sentences.append(caution)
    if caution := class_caution(order, done=True, speech=paper.speech):
        sentences.append(caution)
    if not sentences:
        return []
    bullets = [text(f"– {sentence}", paper["caution"]) for sentence in sentences]
    half = _balanced(sentences)
    columns = side_by_side([bullets[:half], bullets[half:]], [paper.width / 2] * 2)
    return [heading(say("Cautions"), paper), columns]


def _balanced(sentences: list[str]) -> int:
    """How many stand in the first column, so that both are about as long."""
    lengths = [len(sentence) + 20 for sentence in sentences]
    return min(range(1, len(lengths) + 1), key=lambda n: max(sum(lengths[:n]), sum(lengths[n:])))


def authorisation(order: WorkOrder, paper: Paper) -> list[Any]:
    """Who agreed to what, and who decided to go on in spite of what. Said here and only here."""
    speech, say = paper.speech, paper.speech.say
    quote = quote_latest(order)
    signed = authorisation_of(quote)
    lines = []
    if quote is not None and signed is not None:
        lines.append(
            say(
                "{name} authorised quote {number} for {amount} on {day}, {via}.",
                name=signed.name,
                number=quote.number,
                amount=speech.money(signed.amount, quote.currency),
                day=speech.day(signed.at),
                via=signed.get_via_display(),
            )
        )
        if sentence := signed.signed_sentence:
            lines.append(say("Signed for: {sentence}", sentence=sentence))
    for override in order.overrides.select_related("by"):
        lines.append(
            say(
                "Result of the check: {sentence} Overridden by {name} on {day}: {reason}",
                sentence=override.said or speech.may_say(override.sentence),
                name=override.by.shown_name,
                day=speech.day(override.at),
                reason=override.reason,
            )
        )
    if not lines:
        return []
    return [heading(say("Authorisation"), paper), *(text(line, paper["body"]) for line in lines)]


def coming_next(order: WorkOrder, shop: ShopSettings, paper: Paper) -> list[Any]:
    """When to have the nuts retorqued and the car looked at, with the mileage where it is known."""
    if not order.needs_check:
        return []
    speech, say = paper.speech, paper.speech.say
    start = order.mileage_km
    intervals = intervals_of(shop, speech)
    after = intervals.said
    then = after.pop("check")
    if start is None:
        lines = [
            say("Have the wheel nuts or bolts retorqued after {first} to {last}.", **after),
            say("Next check of ride height, alignment and clearance: after {check}.", check=then),
        ]
    else:
        lines = [
            say(
                "Have the wheel nuts or bolts retorqued after {first} to {last}, at "
                "{at_first} to {at_last}.",
                **after,
                at_first=speech.bare_distance(start + intervals.first),
                at_last=speech.distance(start + intervals.last),
            ),
            say(
                ("Next check of ride height, alignment and clearance: after {check}, at {at}."),
                check=then,
                at=speech.distance(start + intervals.check),
            ),
        ]
    body = [text(line, paper["body"]) for line in lines]
    return [KeepTogether([heading(say("Next service"), paper), *body])]


def signatures(order: WorkOrder, paper: Paper) -> list[Any]:
    """Room to sign for the shop and for the customer."""
    say = paper.speech.say
    wide = (paper.width - 30) / 2
    columns = [
        [SignatureLine(wide), text(words, paper["small"])]
        for words in (
            say("For the workshop: name, date"),
            say("Car and sheet received, {name}: date", name=order.customer.name),
        )
    ]
    return [CondPageBreak(48), Spacer(1, 4), side_by_side(columns, [wide + 30, wide], gap=30)]

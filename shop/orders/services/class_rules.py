"""The plan and the parts of an order against the recorded rules of its class.

Each judge at the point CLASS_JUDGES answers for the rules that it can judge. The worst
answer of a rule counts; a rule without an answer cannot be judged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from common.verdicts import Outcome, worst_outcome
from shop.extensions.points import CLASS_JUDGES, ClassAnswers
from shop.languages import ENGLISH, Speech, speech_of_page
from shop.models import ClassRecord, ClassRule, LineKind, PartAxle, PartKind, RuleKind, WorkOrder
from shop.orders.services.rows import lines_of

if TYPE_CHECKING:
    from shop.models import Line


@dataclass(frozen=True)
class Finding:
    """One rule as the order meets it; ``reason`` says why, in the reader's language."""

    rule_text: str
    result: Outcome
    reason: str

    def as_document(self) -> dict[str, str]:
        return asdict(self)


def rules_judged(order: WorkOrder, speech: Speech = ENGLISH) -> list[Finding]:
    """Every rule of the order's class in the record's order; none without a record."""
    if order.class_record_id is None:
        return []
    rules = list(ClassRule.objects.filter(record=order.class_record_id))
    answers = [judge(order, rules, speech) for judge in CLASS_JUDGES]
    return [_finding(rule, answers, speech) for rule in rules]


def _finding(rule: ClassRule, answers: Sequence[ClassAnswers], speech: Speech) -> Finding:
    given = [answer[rule.pk] for answer in answers if rule.pk in answer]
    if not given:
        nothing = speech.say("Nothing planned to check against this rule.")
        return Finding(str(rule), Outcome.CANNOT_SAY, nothing)
    worst = worst_outcome(result for result, _ in given)
    reasons = dict.fromkeys(reason for result, reason in given if result == worst)
    return Finding(str(rule), worst, " ".join(reasons))


def findings_sentence(
    record: ClassRecord, findings: Sequence[Finding], speech: Speech = ENGLISH
) -> str:
    """One sentence: which rules were asked, how many fail, how many cannot be judged."""
    failing = sum(one.result == Outcome.FAILS for one in findings)
    unsure = sum(one.result == Outcome.CANNOT_SAY for one in findings)
    source = {
        "record": str(record),
        "source": record.source,
        "day": speech.day(record.dated),
        "all": len(findings),
    }
    if failing:
        return speech.say(
            "Checked against {record} ({source}, as of {day}): this job fails {failing}"
            " of {all} rules; {unsure} cannot be checked.",
            failing=failing,
            unsure=unsure,
            **source,
        )
    if unsure:
        return speech.say(
            "Checked against {record} ({source}, as of {day}): no rule fails, but "
            "{unsure} of {all} cannot be checked.",
            unsure=unsure,
            **source,
        )
    return speech.say(
        ("Checked against {record} ({source}, as of {day}): this job passes all {all} rules."),
        **source,
    )


# The shop's own judge: parts that are barred


def judge_parts(order: WorkOrder, rules: Sequence[ClassRule], speech: Speech) -> ClassAnswers:
    """Kinds of part and adjusters that may not be fitted, against the lines of the order."""
    asked = [r for r in rules if r.kind in (RuleKind.PART_BARRED, RuleKind.ADJUSTER_BARRED)]
    if not asked:
        return {}
    lines = [line for line in lines_of(order) if line.kind == LineKind.PART or line.part]
    return {rule.pk: _parts_answer(rule, lines, speech) for rule in asked}


def _parts_answer(rule: ClassRule, lines: list[Line], speech: Speech) -> tuple[Outcome, str]:
    barred = [line for line in lines if line.part and _is_barred(rule, line)]
    if barred:
        names = _named(barred, speech)
        return Outcome.FAILS, speech.say("On the order: {names}.", names=names)
    loose = [line for line in lines if line.part is None]
    if loose:
        return Outcome.CANNOT_SAY, speech.say(
            "Not from the parts list, so the kind is unknown: {names}.",
            names=_named(loose, speech),
        )
    if rule.kind == RuleKind.PART_BARRED:
        kind = speech.say(PartKind(rule.item).label)
        return Outcome.PASSES, speech.say("No such part is on the order: {kind}.", kind=kind)
    return Outcome.PASSES, speech.say("No part on the order adjusts it.")


def _named(lines: Sequence[Line], speech: Speech) -> str:
    return speech.listed([line.description_in(speech.language.code) for line in lines])


def _is_barred(rule: ClassRule, line: Line) -> bool:
    part = line.part
    if part is None or not same_axle(rule.axle, line.axle):
        return False
    if rule.kind == RuleKind.PART_BARRED:
        return part.kind == rule.item
    return part.adjuster == rule.item


def same_axle(one: str, two: str) -> bool:
    """Whether a rule for one axle covers the other; "any" covers both."""
    return PartAxle.ANY in (one, two) or one == two


def held(
    speech: Speech, *, passes: bool, planned: str, limit: str, where: str = ""
) -> tuple[Outcome, str]:
    """An answer that sets what is planned beside the limit."""
    said = speech.say("{planned}; the limit is {limit}.", planned=planned, limit=limit)
    return (Outcome.PASSES if passes else Outcome.FAILS), f"{where}: {said}" if where else said


def class_context(order: WorkOrder) -> dict[str, Any]:
    """What the order is under the recorded rules of its class; nothing without a record."""
    speech = speech_of_page()
    findings = rules_judged(order, speech)
    if order.class_record is None or not findings:
        return {}
    return {
        "class_findings": findings,
        "class_sentence": findings_sentence(order.class_record, findings, speech),
        "speech": speech,
    }

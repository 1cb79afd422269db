"""Wheels and tyres of an order against the rules of a class."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from common.verdicts import Outcome
from fitment.models import OrderWheels
from shop.extensions.points import ClassAnswers
from shop.languages import Speech
from shop.models import ClassRule, PartKind, RuleKind
from shop.orders.services.class_rules import held, same_axle

if TYPE_CHECKING:
    from shop.models import WorkOrder


SIZES = (RuleKind.WHEEL_WIDTH_MOST, RuleKind.WHEEL_DIAMETER_MOST, RuleKind.TYRE_WIDTH_MOST)
Answer = tuple[Outcome, str]


def judge_wheels(order: WorkOrder, rules: Sequence[ClassRule], speech: Speech) -> ClassAnswers:
    """Sizes of wheels and tyres, and spacers that may not be fitted."""
    asked = [rule for rule in rules if rule.kind in SIZES or _bars_spacers(rule)]
    if not asked:
        return {}
    wheels = list(OrderWheels.objects.filter(order=order).select_related("wheel", "tyre"))
    answers: dict[int, Answer] = {}
    for rule in asked:
        bound = [row for row in wheels if same_axle(rule.axle, row.axle)]
        if _bars_spacers(rule):
            answer = _spacer(bound, speech)
        elif not bound:
            answer = (Outcome.CANNOT_SAY, speech.say("No wheels are chosen yet."))
        else:
            answer = _size(rule, bound, speech)
        if answer is not None:
            answers[rule.pk] = answer
    return answers


def _bars_spacers(rule: ClassRule) -> bool:
    return rule.kind == RuleKind.PART_BARRED and rule.item == PartKind.SPACER


def _spacer(rows: list[OrderWheels], speech: Speech) -> Answer | None:
    """Silent without spacers under the wheels: the parts decide then."""
    for row in rows:
        if row.spacer_mm:
            return Outcome.FAILS, speech.say(
                "{axle}: a spacer of {figure}.",
                axle=speech.say(str(row.get_axle_display())),
                figure=speech.length(row.spacer_mm),
            )
    return None


def _size(rule: ClassRule, rows: list[OrderWheels], speech: Speech) -> Answer:
    unit = "mm" if rule.kind == RuleKind.TYRE_WIDTH_MOST else speech.say_in("unit", "in")
    sizes = [(_of(rule, row), row) for row in rows]
    known = [(size, row) for size, row in sizes if size is not None]
    limit = rule.limit or 0.0
    over = [pair for pair in known if pair[0] > limit + 1e-9]
    if len(known) < len(sizes) and not over:
        return Outcome.CANNOT_SAY, speech.say("The tyre's size does not tell its width.")
    size, row = max(known, key=lambda pair: pair[0])
    return held(
        speech,
        passes=not over,
        planned=speech.say("chosen {figure}", figure=f"{speech.plain(size)} {unit}"),
        limit=f"{speech.plain(limit)} {unit}",
        where=speech.say(str(row.get_axle_display())),
    )


def _of(rule: ClassRule, row: OrderWheels) -> float | None:
    if rule.kind == RuleKind.WHEEL_WIDTH_MOST:
        return row.wheel.width_in
    if rule.kind == RuleKind.WHEEL_DIAMETER_MOST:
        return row.wheel.diameter_in
    found = re.match(r"\s*[A-Z]*\s*(\d{3})\s*/", row.tyre.size)
    return float(found[1]) if found else None

"""Planned settings against the rules of a class: camber, height, adjusters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from alignment.geometry.kinds import METHOD_ADJUSTER
from alignment.models import PlannedSetting, Quantity, RackVisit
from alignment.text.labels import adjuster_label
from common.corners import AXLE_CORNERS
from common.verdicts import Outcome
from shop.extensions.points import ClassAnswers
from shop.languages import Speech
from shop.models import Axle, ClassRule, RuleKind
from shop.orders.services.class_rules import held, same_axle

if TYPE_CHECKING:
    from shop.models import WorkOrder


SETTINGS = (
    RuleKind.CAMBER_MOST,
    RuleKind.HEIGHT_LEAST,
    RuleKind.LOWERED_MOST,
    RuleKind.ADJUSTER_BARRED,
)
Answer = tuple[Outcome, str]


def judge_settings(order: WorkOrder, rules: Sequence[ClassRule], speech: Speech) -> ClassAnswers:
    """Each rule on settings, judged by the plan."""
    asked = [rule for rule in rules if rule.kind in SETTINGS]
    if not asked:
        return {}
    plans = list(PlannedSetting.objects.filter(order=order))
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    answers: dict[int, Answer] = {}
    for rule in asked:
        bound = [plan for plan in plans if same_axle(rule.axle, plan.axle)]
        found = {
            RuleKind.CAMBER_MOST: _camber,
            RuleKind.LOWERED_MOST: _lowered,
            RuleKind.ADJUSTER_BARRED: _adjuster,
        }.get(RuleKind(rule.kind))
        answer = found(rule, bound, speech) if found else _height(rule, bound, visits, speech)
        if answer is not None:
            answers[rule.pk] = answer
    return answers


def _camber(rule: ClassRule, plans: list[PlannedSetting], speech: Speech) -> Answer | None:
    """The worst of the axles that the rule applies to."""
    limit = -abs(rule.limit or 0.0)
    planned = [(plan.camber_deg, plan) for plan in plans if plan.camber_deg is not None]
    loose = [plan for plan in plans if plan.camber_deg is None]
    if planned:
        worst, plan = min(planned, key=lambda pair: pair[0])
        if worst < limit - 1e-9 or not loose:
            return held(
                speech,
                passes=worst >= limit - 1e-9,
                planned=speech.say("planned {figure}", figure=speech.angle(worst)),
                limit=speech.angle(limit),
                where=speech.say(Axle(plan.axle).label),
            )
    return Outcome.CANNOT_SAY, speech.say("No camber is planned.")


def _lowered(rule: ClassRule, plans: list[PlannedSetting], speech: Speech) -> Answer | None:
    limit = abs(rule.limit or 0.0)
    if not plans:
        return Outcome.CANNOT_SAY, speech.say("No settings are planned yet.")
    changes = [(plan.adjusters.get("ride_height_mm") or 0.0, plan) for plan in plans]
    change, plan = min(changes, key=lambda pair: pair[0])
    return held(
        speech,
        passes=-change <= limit + 1e-9,
        planned=speech.say("lowered by {figure}", figure=speech.length(max(0.0, -change))),
        limit=speech.length(limit),
        where=speech.say(Axle(plan.axle).label),
    )


def _adjuster(rule: ClassRule, plans: list[PlannedSetting], speech: Speech) -> Answer | None:
    """Silent where the plan does not use it: the parts decide then."""
    for plan in plans:
        by = METHOD_ADJUSTER.get(plan.camber_by, plan.camber_by)
        if rule.item == by or plan.adjusters.get(rule.item):
            name = speech.say(adjuster_label(rule.item))
            axle = speech.say(Axle(plan.axle).label)
            return Outcome.FAILS, speech.say(
                "The plan uses it. {axle}: {name}.", axle=axle, name=name
            )
    if plans:
        return Outcome.PASSES, speech.say("The plan does not use it.")
    return Outcome.CANNOT_SAY, speech.say("No settings are planned yet.")


def _height(
    rule: ClassRule, plans: list[PlannedSetting], visits: list[RackVisit], speech: Speech
) -> Answer | None:
    """The heights that were read last; a height that the job still changes is not known."""
    limit = rule.limit or 0.0
    last = last_heights(visits, rule.axle)
    changes = any(plan.adjusters.get("ride_height_mm") for plan in plans)
    if last is None or (changes and last[0] == "before"):
        return Outcome.CANNOT_SAY, speech.say("The height after the work has not been read yet.")
    least = min(last[1])
    return held(
        speech,
        passes=least >= limit - 1e-9,
        planned=speech.say("read {figure}", figure=speech.length(least, 0)),
        limit=speech.length(limit, 0),
    )


def last_heights(visits: Sequence[RackVisit], axle: str) -> tuple[str, list[float]] | None:
    """Heights hub to lip that were read last on an axle, and at which stage; None without any."""
    last = next((visit for visit in reversed(visits) if _heights(visit, axle)), None)
    return None if last is None else (last.stage, _heights(last, axle))


def _heights(visit: RackVisit, axle: str) -> list[float]:
    corners = [c for name, pair in AXLE_CORNERS.items() if same_axle(axle, name) for c in pair]
    values = visit.values()
    heights = [values.get((corner, Quantity.RIDE_HEIGHT)) for corner in corners]
    return [height for height in heights if height is not None]

"""The gate of the mounting checks: may these wheels and tyres go on this car, as far as known?

It goes by the answers on record. What fails stops parts and booking until a manager decides and
the customer signs; what cannot be said is a caution.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext_noop as _

from common.verdicts import GateResult, Outcome
from fitment.engine.mounting.rule import Result
from fitment.mounting.services.record import MountingState, mounting_once
from fitment.mounting.text import findings, mounting_sentence
from shop.extensions import gates
from shop.extensions.gates import GateAnswer
from shop.languages import ENGLISH

if TYPE_CHECKING:
    from shop.models import WorkOrder


GATE = "mounting"
OUT_OF_DATE = _(
    "The mounting checks are out of date: wheel, tyre, nuts, the car's papers, the room check or "
    "the law changed since."
)
NOT_CHECKED = _("The mounting has not been checked.")


def mounting_gate(order: WorkOrder) -> GateAnswer:
    """What the mounting checks say to parts and booking of this order, right now."""
    if not order.needs_check:
        return _answer(GateResult.NOT_NEEDED, "This job needs no mounting checks.")
    state = mounting_once(order)
    if state is None:
        return _answer(GateResult.NOT_NEEDED, "The order mounts no wheels or tyres yet.")
    return answer_of(order, state)


def answer_of(order: WorkOrder, state: MountingState) -> GateAnswer:
    """The gate's answer for a state that was fetched already."""
    panel = f"{reverse('order', args=[order.pk])}#mounting"
    if state.current is not None:
        results = state.current.answers
        label, url = "", ""
        if state.current.outcome == Outcome.FAILS:
            label, url = "See the mounting checks", panel
        return _answer(
            GateResult(state.current.outcome),
            mounting_sentence(results, ENGLISH),
            state.digest,
            (label, url),
            results,
        )
    if state.latest is not None:
        return _answer(
            GateResult.STALE, OUT_OF_DATE, state.digest, ("Check the mounting again", panel)
        )
    return _answer(GateResult.NOT_CHECKED, NOT_CHECKED, state.digest, ("Check the mounting", panel))


def _answer(
    result: GateResult,
    sentence: str,
    digest: str = "",
    action: tuple[str, str] = ("", ""),
    results: tuple[Result, ...] = (),
) -> GateAnswer:
    may_pass, needs_signature = gates.RULES[result]
    return GateAnswer(
        gate=GATE,
        result=result,
        sentence=sentence,
        may_pass=may_pass,
        needs_signature=needs_signature,
        digest=digest,
        action_label=action[0],
        action_url=action[1],
        title="Mounting",
        spoken=partial(mounting_sentence, results) if results else None,
        findings=partial(findings, results) if results else None,
    )

"""The gate of the mounting checks: may these wheels and tyres go on this car, as far as known?

It goes by the answers on record. What cannot be mounted stops parts and booking whoever decides;
what fails otherwise, until a manager decides and the customer signs; what cannot be said is a
caution.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext

from alignment.text.render import SHOP, Reader, customer, render
from common.corners import AXLE_CORNERS
from common.message import message
from common.verdicts import GateResult, Outcome
from fitment.engine.mounting.rule import Result
from fitment.mounting.services.record import MountingState, mounting_once
from fitment.mounting.text import findings, mounting_sentence
from shop.extensions import gates
from shop.extensions.gates import GateAnswer

if TYPE_CHECKING:
    from fitment.models import MountingCheck
    from shop.models import WorkOrder


GATE = "mounting"
#: Rules whose findings come out of the survey, each with its uncertainty.
MEASURED = ("brakes", "lock")


def mounting_gate(order: WorkOrder) -> GateAnswer:
    """What the mounting checks say to parts and booking of this order, right now."""
    if not order.needs_check:
        return _answer(GateResult.NOT_NEEDED, _told("mounting.not-needed"))
    state = mounting_once(order)
    if state is None:
        return _answer(GateResult.NOT_NEEDED, _told("mounting.nothing-mounted"))
    return answer_of(order, state)


def answer_of(order: WorkOrder, state: MountingState) -> GateAnswer:
    """The gate's answer for a state that was fetched already."""
    panel = f"{reverse('order', args=[order.pk])}#mounting"
    if state.current is not None:
        results = state.current.answers
        action = ("", "")
        if state.current.outcome == Outcome.FAILS:
            action = _way_on(order, results) or (gettext("See the mounting checks"), panel)
        return _answer(
            result_of(state.current),
            partial(mounting_sentence, results),
            state.digest,
            action,
            results,
        )
    if state.latest is not None:
        again = (gettext("Check the mounting again"), panel)
        return _answer(GateResult.STALE, _told("mounting.out-of-date"), state.digest, again)
    check = (gettext("Check the mounting"), panel)
    return _answer(GateResult.NOT_CHECKED, _told("mounting.not-checked"), state.digest, check)


def result_of(check: MountingCheck) -> GateResult:
    """What the gate goes by: the outcome, unless something cannot be mounted at all."""
    if any(one.bars for one in check.answers):
        return GateResult.CANNOT_BE_MOUNTED
    return GateResult(check.outcome)


def _way_on(order: WorkOrder, results: tuple[Result, ...]) -> tuple[str, str] | None:
    """Where a barring finding that rests on a measurement is measured again; None where none does:
    then other parts or a corrected record are the only ways on."""
    barred = [one for one in results if one.bars]
    measured = next((one for one in barred if one.rule in MEASURED), None)
    car_model = order.vehicle.car_model_id
    if measured is None or len(barred) > 1 or car_model is None:
        return None
    corner = measured.corner or AXLE_CORNERS[measured.axle][0]
    return gettext("Measure this corner again"), reverse("survey", args=[car_model, corner])


def _told(code: str) -> Callable[[Reader], str]:
    return partial(render, message(code))


def _answer(
    result: GateResult,
    said: Callable[[Reader], str],
    digest: str = "",
    action: tuple[str, str] = ("", ""),
    results: tuple[Result, ...] = (),
) -> GateAnswer:
    may_pass, needs_signature = gates.RULES[result]
    return GateAnswer(
        gate=GATE,
        result=result,
        sentence=said(SHOP),
        may_pass=may_pass,
        needs_signature=needs_signature,
        digest=digest,
        action_label=action[0],
        action_url=action[1],
        title="Mounting",
        spoken=lambda speech: said(customer(speech)),
        findings=partial(findings, results) if results else None,
    )

"""The gate of the mounting checks: may these wheels and tyres go on this car, as far as known?

It goes by the answers on record. What cannot be mounted stops parts and booking whoever decides;
what fails otherwise, until a manager decides and the customer signs; what cannot be said is a
caution.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext

from common.corners import AXLE_CORNERS
from common.verdicts import GateResult, Outcome
from fitment.engine.mounting.rule import Result
from fitment.job.decisions import asks_manager, not_decided, with_last
from fitment.models import MountingCheck
from fitment.mounting.services.record import MountingState, mounting_once
from fitment.mounting.text import findings, headed, mounting_sentence
from fitment.text.gates import gate_answer, told
from fitment.text.render import sentences
from shop.extensions.gates import GateAnswer

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from shop.models import WorkOrder


GATE = "mounting"
#: Rules whose findings come out of the survey, each with its uncertainty.
MEASURED = ("brakes", "lock")

_answer = partial(gate_answer, gate=GATE, title="Mounting")


def mounting_gate(order: WorkOrder) -> GateAnswer:
    """What the mounting checks say to parts and booking of this order, right now."""
    if not order.needs_check:
        return _answer(GateResult.NOT_NEEDED, told("mounting.not-needed"))
    state = mounting_once(order)
    if state is None:
        return _answer(GateResult.NOT_NEEDED, told("mounting.nothing-mounted"))
    return answer_of(order, state)


def answer_of(order: WorkOrder, state: MountingState) -> GateAnswer:
    """The gate's answer for a state that was fetched already."""
    page = reverse("order_mounting_checks", args=[order.pk])
    if state.current is not None:
        results = state.current.answers
        action = ("", "")
        if state.current.outcome == Outcome.FAILS:
            action = _way_on(order, results) or (gettext("See the mounting checks"), page)
        return _answer(
            result_of(state.current),
            partial(mounting_sentence, results),
            state.digest,
            action,
            findings=partial(findings, results) if results else None,
            in_short=sentences(headed(results)),
        )
    if state.latest is not None:
        again = (gettext("Check the mounting again"), page)
        return _answer(GateResult.STALE, told("mounting.out-of-date"), state.digest, again)
    check = (gettext("Check the mounting"), page)
    return _answer(GateResult.NOT_CHECKED, told("mounting.not-checked"), state.digest, check)


def result_of(check: MountingCheck) -> GateResult:
    """What the gate goes by: the outcome, unless something cannot be mounted at all."""
    if any(one.bars for one in check.answers):
        return GateResult.CANNOT_BE_MOUNTED
    return GateResult(check.outcome)


def _way_on(order: WorkOrder, results: tuple[Result, ...]) -> tuple[str, str] | None:
    """Where the corner of the first barring finding is measured again; None unless all of them
    rest on a measurement: else other parts or a corrected record are the only ways on."""
    barred = [one for one in results if one.bars]
    car_model = order.vehicle.car_model_id
    if not barred or car_model is None or any(one.rule not in MEASURED for one in barred):
        return None
    corner = barred[0].corner or AXLE_CORNERS[barred[0].axle][0]
    return gettext("Measure this corner again"), reverse("survey", args=[car_model, corner])


def mounting_decisions(orders: QuerySet[WorkOrder]) -> QuerySet[WorkOrder]:
    """Those whose last check fails a rule, and nothing that no decision passes.

    The answers of those checks are read: a rule that bars is not in a column.
    """
    last = with_last(
        orders, MountingCheck, last_digest="digest", last_outcome="outcome", last_check="pk"
    )
    asked = not_decided(last.filter(last_outcome__in=asks_manager(Outcome)), GATE)
    checks = MountingCheck.objects.filter(pk__in=asked.order_by().values("last_check"))
    decided_by = [
        check.order_id for check in checks if result_of(check) != GateResult.CANNOT_BE_MOUNTED
    ]
    return orders.filter(pk__in=decided_by)

"""The gate of a clearance check: may this order's parts be bought and its day be booked?"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from alignment.text.render import Reader
from common.corners import CORNERS
from common.verdicts import GateResult, Verdict
from fitment.job.data import GATE, CheckState, Problem
from fitment.job.state import state_once
from fitment.text import problems as problem_words
from fitment.text.gates import gate_answer
from fitment.text.render import never_surveyed, stored_text
from shop.extensions.gates import GateAnswer
from shop.languages import ENGLISH, Speech
from shop.orders.services.adjuster_parts import dampers_at

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck
    from shop.models import WorkOrder


_answer = partial(gate_answer, gate=GATE, title="Clearance")


def clearance_gate(order: WorkOrder) -> GateAnswer:
    """What the clearance check says to parts and booking of this order, right now."""
    if not order.needs_check:
        return _spoken(GateResult.NOT_NEEDED, problem_words.not_needed)
    return answer_of(order, state_once(order))


def answer_of(order: WorkOrder, state: CheckState) -> GateAnswer:
    """The gate's answer for a state that was fetched already."""
    page = reverse("clearance", args=[order.pk])
    digest = state.inputs.digest
    if state.inputs.problems:
        first = state.inputs.problems[0]
        said = partial(_not_yet, first)
        return _spoken(GateResult.NOT_CHECKED, said, digest, first.link, first.url)
    if state.inputs.document is None:
        said = partial(nothing_measured, order, state)
        return _spoken(GateResult.UNMEASURED, said, digest, *survey_visit(order))
    if state.current is not None:
        return _checked(order, state.current, page)
    if state.latest is not None:
        return _spoken(GateResult.STALE, problem_words.out_of_date, digest, _("Check again"), page)
    return _spoken(
        GateResult.NOT_CHECKED, problem_words.not_checked, digest, _("Check clearance"), page
    )


def nothing_measured(order: WorkOrder, state: CheckState, speech: Speech = ENGLISH) -> str:
    """Why no corner of this order can be judged."""
    if order.vehicle.car_model_id is None:
        return problem_words.no_car_model(speech)
    return never_surveyed(state.inputs.unmeasured, Reader(speech))


def _not_yet(problem: Problem, speech: Speech) -> str:
    return problem_words.not_yet(problem.spoken(speech), speech)


def survey_visit(order: WorkOrder) -> tuple[str, str]:
    """Label and address of the way out for a car that was never measured."""
    query = urlencode(
        {"kind": "survey_visit", "vehicle": order.vehicle_id, "first_order": order.pk}
    )
    return _("Book a survey visit"), f"{reverse('order_new')}?{query}"


def unknown_stop(order: WorkOrder) -> tuple[str, str] | None:
    """Label and address where a new damper's missing travel is entered; None if none is."""
    missing = next((part for part in dampers_at(order).values() if part.bump_mm is None), None)
    if missing is None:
        return None
    return _("Enter the travel of {part}").format(part=missing.name), reverse(
        "part_edit", args=[missing.pk]
    )


def _checked(order: WorkOrder, check: ClearanceCheck, page: str) -> GateAnswer:
    action = (_("See the clearance"), page)
    if check.result == GateResult.UNMEASURED:
        action = unknown_stop(order) or survey_visit(order)
    elif check.result == GateResult.DOUBTFUL and order.vehicle.car_model_id is not None:
        corner = doubtful_corner(check) or CORNERS[0]
        url = reverse("survey", args=[order.vehicle.car_model_id, corner])
        action = (_("Measure what would settle it"), url)
    return _answer(
        check.result,
        lambda reader: str(stored_text(check, reader)),
        check.digest,
        action,
        in_short=stored_text(check).headline,
    )


def doubtful_corner(check: ClearanceCheck) -> str:
    """The first corner of a check whose verdict is doubtful; empty if none is."""
    corners = check.answer.get("corners", {})
    return next((name for name, one in corners.items() if one["verdict"] == Verdict.DOUBTFUL), "")


def _spoken(
    result: GateResult,
    said: Callable[[Speech], str],
    digest: str = "",
    label: str = "",
    url: str = "",
) -> GateAnswer:
    """An answer that is said alike to shop and customers."""
    return _answer(result, lambda reader: said(reader.speech), digest, (label, url))

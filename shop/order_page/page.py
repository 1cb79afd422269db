"""The order as a job card: five questions in the order of the job, and what stands aside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.translation import gettext as _

from common.verdicts import GateResult, Outcome, worst_outcome
from shop.calendar.services import may_be_booked
from shop.extensions.answers import AnswerLink, OrderAnswer, Question, gravest
from shop.extensions.points import ORDER_ANSWERS
from shop.files.data import Owner
from shop.files.services import files_shown
from shop.languages import speech_of_page
from shop.models import OrderKind, State
from shop.money.services import MAY_BE_QUOTED, Gaps, gaps_on_card
from shop.order_page.facts import OrderFacts, facts_of, gates_without_answer
from shop.orders.services.access import customer_link
from shop.orders.services.cautions import (
    TECHNICIAN,
    Moment,
    cautions_at,
    cautions_for,
    class_caution,
    job_of,
)
from shop.orders.services.class_rules import class_context
from shop.orders.services.states import Move, moves_from
from shop.outbox.services.shown import sent
from shop.site.page_cache import looking
from shop.values.amounts import totals_of
from shop.values.first_rows import first_rows

if TYPE_CHECKING:
    from shop.models import WorkOrder
    from shop.site.view_helpers import StaffRequest

#: Rows of a list that the card shows, three of most; the whole list stands on its question's page.
ROWS_SHOWN = {"installed": 2}
LOG_SHOWN = 3
#: Characters of free text that the card shows; the rest folds.
TEXT_SHOWN = 160


@dataclass(frozen=True)
class CardQuestion:
    """One question of the card: what is said to it, whether it is open, and its whole page."""

    key: Question
    answers: list[OrderAnswer]
    is_open: bool
    page: str = ""

    @property
    def worst(self) -> OrderAnswer | None:
        """The answer that speaks for all: the worst, or the first."""
        return gravest(self.answers) or next(iter(self.answers), None)

    @property
    def body(self) -> str:
        return f"shop/card/{self.key}.html"

    @property
    def outcome(self) -> str:
        return f"shop/card/{self.key}_outcome.html"


def side_moves(order: WorkOrder, moves: list[Move]) -> list[Move]:
    """Moves that are no next act: back, off, and dropping the order."""
    return [
        move
        for move in moves
        if move.wants_reason and (move.end != State.CANCELLED or order.is_open)
    ]


@looking()
def order_page_context(request: StaffRequest, order: WorkOrder) -> dict[str, Any]:
    """Everything that templates/shop/order.html needs."""
    facts = facts_of(order)
    return {
        **lists_of(facts),
        "questions": _questions(request, facts),
        "act": facts.act,
        "may_act": facts.act.is_for(request.user),
        "class_caution": class_caution(order, speech=speech_of_page()) if order.is_open else "",
        "decided": [v for v in facts.verdicts if v.override or (v.signed and v.needs_signature)],
        "shown": {
            name: first_rows(rows, ROWS_SHOWN.get(name, 3))
            for name, rows in (
                ("lines", facts.lines),
                ("quotes", facts.quotes),
                ("bookings", facts.bookings),
                ("installed", facts.installed),
                ("torques", facts.torques_open),
                ("changed", facts.standing.changed),
            )
        },
        "text_shown": TEXT_SHOWN,
        **_cautions(facts),
        "side_moves": side_moves(order, moves_from(order, request.user)),
        "follow_ups": list(order.follow_ups.all()),
        "log": list(order.log.all()[:LOG_SHOWN]),
        "log_more": max(0, order.log.count() - LOG_SHOWN),
        "customer_link": customer_link(request, order),
        **sent(order),
        "files": files_shown(Owner(order=order)),
    }


@looking()
def question_context(order: WorkOrder) -> dict[str, Any]:
    """What the page of one question shows in full length."""
    facts = facts_of(order)
    return {**lists_of(facts), **class_context(order), **_cautions(facts)}


def lists_of(facts: OrderFacts) -> dict[str, Any]:
    """The rows of an order under the names that the templates use."""
    order = facts.order
    return {
        "order": order,
        "lines": facts.lines,
        "totals": totals_of(facts.lines, order.discount),
        "gaps": gaps_on_card(order) if order.is_open else Gaps(),
        "quotes": facts.quotes,
        "standing": facts.standing,
        "bookings": facts.bookings,
        "may_book": may_be_booked(order),
        "may_quote": order.state in MAY_BE_QUOTED and bool(facts.lines),
        "due": facts.due,
        "torques_open": facts.torques_open,
        "other_torques": facts.other_torques,
        "installed": facts.installed,
        "road_tests": facts.road_tests,
        "last_road_test": facts.road_tests[-1] if facts.road_tests else None,
        "on_lift": facts.on_lift,
        "shows_work": facts.is_at_work or order.state == State.HANDED_OVER,
        "comeback": getattr(order, "comeback", None) if order.kind == OrderKind.COMEBACK else None,
    }


def _questions(request: StaffRequest, facts: OrderFacts) -> list[CardQuestion]:
    order = facts.order
    answers = [one for plug in ORDER_ANSWERS for one in plug(request, order)]
    answers += gates_without_answer(facts.verdicts, answers)
    answers += _class_answers(order)
    due = {one.question for one in answers if one.is_due}
    if order.state == State.ON_LIFT:  # the hand is at the car, though more is to be settled
        due.add(Question.DONE)
    elif order.is_open and facts.act.question:
        due.add(facts.act.question)
    pages = {key: f"order_{key}" for key in Question if key != Question.FITS}
    return [
        CardQuestion(
            key,
            [one for one in answers if one.question == key],
            key in due,
            reverse(pages[key], args=[order.pk]) if key in pages else "",
        )
        for key in Question
    ]


def _class_answers(order: WorkOrder) -> list[OrderAnswer]:
    """What the job is under the recorded rules of its class, in a sentence."""
    context = class_context(order)
    if not context:
        return []
    worst = worst_outcome(one.result for one in context["class_findings"])
    failing = next((f for f in context["class_findings"] if f.result == Outcome.FAILS), None)
    return [
        OrderAnswer(
            Question.FITS,
            _("Class rules"),
            context["class_sentence"],
            verdict=GateResult(worst),
            detail=f"{failing.rule_text}: {failing.reason}" if failing else "",
            links=(AnswerLink(_("Class rules"), reverse("order_class_rules", args=[order.pk])),),
            anchor="class-rules",
        )
    ]


def _cautions(facts: OrderFacts) -> dict[str, list[str]]:
    """All cautions of the job, and on the lift those of fitting, which stand open."""
    if not facts.is_at_work:
        return {}
    order = facts.order
    job = job_of(order)
    fitting = cautions_at(job, Moment.FIT) if order.state == State.ON_LIFT else []
    rest = [text for text in cautions_for(job, TECHNICIAN) if text not in fitting]
    return {"cautions": rest, "fitting_cautions": fitting}

"""What is known of one order, fetched once for its page and for the pages of its questions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from common.verdicts import GateResult
from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.models import LineKind, State, WorkOrder
from shop.orders.services.gates import GateVerdict, gates_ask
from shop.orders.services.latest_quote import quotes_of
from shop.orders.services.next_step import NextAct, next_act
from shop.orders.services.rows import bookings_of, installed_of, lines_of
from shop.orders.services.standing import Standing, standing_of
from shop.orders.services.torques import TorqueDue, lines_unaccounted, torques_due
from shop.parts.data import booked_too_early
from shop.work.services import WORK_STATES

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shop.models import Booking, InstalledPart, Line, Quote, RoadTest, TorqueSign


@dataclass(frozen=True)
class OrderFacts:
    """The rows of an order, where it stands, and its next act."""

    order: WorkOrder
    lines: list[Line]
    quotes: list[Quote]
    bookings: list[Booking]
    installed: list[InstalledPart]
    road_tests: list[RoadTest]
    due: list[TorqueDue]
    other_torques: list[TorqueSign]
    verdicts: list[GateVerdict]
    standing: Standing
    act: NextAct

    @property
    def on_lift(self) -> bool:
        return self.order.state in WORK_STATES

    @property
    def is_at_work(self) -> bool:
        return self.order.state in (State.BOOKED, *WORK_STATES)

    @property
    def torques_open(self) -> list[TorqueDue]:
        return [one for one in self.due if one.is_open]


def facts_of(order: WorkOrder) -> OrderFacts:
    """Everything about an order, in a fixed number of queries."""
    lines, quotes = lines_of(order), quotes_of(order)
    verdicts = gates_ask(order) if order.is_open else []
    standing = standing_of(order, verdicts) if order.is_open else Standing()
    due = [one for one in torques_due(order) if order.is_open or not one.is_open]
    road_tests = list(order.road_tests.select_related("by").prefetch_related("marks"))
    has_parts = any(line.kind == LineKind.PART for line in lines)
    act = next_act(
        order,
        verdicts,
        has_lines=bool(lines),
        parts_due=has_parts and order.parts_ordered_at is None and order.needs_quote,
        torques_open=any(item.is_open for item in due) or bool(lines_unaccounted(order)),
        has_road_test=bool(road_tests),
        standing=standing,
        parts_late=booked_too_early(order, bookings_of(order)),
    )
    return OrderFacts(
        order=order,
        lines=lines,
        quotes=quotes,
        bookings=bookings_of(order),
        installed=installed_of(order),
        road_tests=road_tests,
        due=due,
        other_torques=_not_due(order, due),
        verdicts=verdicts,
        standing=standing,
        act=act,
    )


def _not_due(order: WorkOrder, due: list[TorqueDue]) -> list[TorqueSign]:
    """Signatures for fasteners that are not on the list."""
    keys = {item.key for item in due}
    signs = order.torques.filter(reopened_at=None).select_related("by")
    return [sign for sign in signs if sign.due not in keys]


def gates_without_answer(
    verdicts: Iterable[GateVerdict], answers: Iterable[OrderAnswer]
) -> list[OrderAnswer]:
    """Answers of gates that no app speaks for on the page."""
    spoken_for = {answer.gate for answer in answers}
    return [
        OrderAnswer(
            Question.FITS,
            one.answer.title,
            one.answer.sentence,
            verdict=one.answer.result,
            links=(AnswerLink(one.answer.action_label, one.answer.action_url, is_act=True),)
            if one.answer.action_url
            else (),
            gate=one.answer.gate,
        )
        for one in verdicts
        if one.answer.gate not in spoken_for and one.answer.result != GateResult.NOT_NEEDED
    ]

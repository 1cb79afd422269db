"""The next act of an order in words, for every state."""

import pytest

from shop.extensions.gates import RULES, GateAnswer
from shop.models import OrderKind, State, WaitingFor, WorkOrder
from shop.orders.services.gates import GateVerdict
from shop.orders.services.next_step import NextAct, next_act
from shop.orders.services.next_words import next_words
from shop.orders.services.quoted import Difference
from shop.orders.services.standing import Standing


def order(**values) -> WorkOrder:
    return WorkOrder(pk=7, number="T0007", **values)


def verdict(result: str, *, signed: bool = False, override: object = None) -> GateVerdict:
    may_pass, signature = RULES[result]
    answer = GateAnswer(
        "clearance",
        result,
        f"It is {result}.",
        may_pass,
        signature,
        "d",
        "See the clearance",
        "/clearance/",
    )
    return GateVerdict(answer, override=override, signed=signed)


def act_of(row: WorkOrder, *verdicts: GateVerdict, **facts: object) -> NextAct:
    known = {
        "has_lines": True,
        "parts_due": False,
        "torques_open": False,
        "has_road_test": False,
    }
    return next_act(row, verdicts, **(known | facts))


@pytest.mark.parametrize("state", State.values)
@pytest.mark.parametrize("kind", OrderKind.values)
def test_every_state_of_every_kind_has_words(state, kind) -> None:
    row = order(state=state, kind=kind)
    assert next_words(row)
    assert act_of(row).words


def test_lines_come_before_the_clearance_and_that_before_the_quote() -> None:
    row = order(state=State.ENQUIRY)
    assert act_of(row, verdict("contact"), has_lines=False).label == "Add quote lines"
    for result in ("contact", "not checked", "unmeasured", "doubtful", "stale"):
        assert act_of(row, verdict(result)).label == "See the clearance"
    for result in ("clear", "tight", "not needed"):
        assert act_of(row, verdict(result)).label == "Send quote"
    assert act_of(row, verdict("doubtful", override=object())).label == "Send quote"


def test_an_unchecked_clearance_comes_before_the_quote_lines() -> None:
    act = act_of(order(state=State.ENQUIRY), verdict("not checked"), has_lines=False)
    assert act.label == "See the clearance"
    assert "Then add labour and parts" in act.words


def test_a_car_that_was_never_measured_is_measured_before_the_quote_lines() -> None:
    act = act_of(order(state=State.ENQUIRY), verdict("unmeasured"), has_lines=False)
    assert act.label == "See the clearance"
    assert act.words != "Add labour and parts."


def test_a_closed_gate_says_whose_turn_it_is() -> None:
    row = order(state=State.APPROVED)
    assert act_of(row, verdict("stale")).label == "See the clearance"
    decide = act_of(row, verdict("contact"))
    assert (decide.label, decide.role) == ("Override and continue", "manager")
    sign = act_of(row, verdict("contact", override=object()))
    assert sign.label == "Send new quote"
    assert act_of(row, verdict("contact", override=object(), signed=True)).label == "Book"


def test_parts_are_ordered_before_a_time_is_booked() -> None:
    row = order(state=State.APPROVED)
    assert act_of(row, verdict("clear"), parts_due=True).label == "Order parts"
    assert act_of(row, verdict("clear")).label == "Book"
    waiting = order(state=State.BOOKED, waiting_for=WaitingFor.PARTS)
    assert act_of(waiting).label == "Parts have arrived"


def test_lines_that_changed_send_the_quote_again() -> None:
    for state in (State.QUOTED, State.APPROVED):
        changed = Standing(changed=(Difference("Work or part", "", "Two hours more"),))
        assert act_of(order(state=state), standing=changed).label == "Send new quote"


def test_on_the_lift_torques_come_before_the_road() -> None:
    row = order(state=State.ON_LIFT)
    assert act_of(row, torques_open=True).label == "Sign torques"
    assert act_of(row).move_to == State.ROAD_TEST
    visit = order(state=State.ON_LIFT, kind=OrderKind.SURVEY_VISIT)
    assert act_of(visit).move_to == State.HANDED_OVER
    assert act_of(order(state=State.ROAD_TEST)).label == "Record road test"
    assert act_of(order(state=State.ROAD_TEST), has_road_test=True).label == "Hand over"

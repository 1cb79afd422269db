"""The order page as a job card: its questions, what is open, and what has a page of its own."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from common.verdicts import GRAVITY, GateResult
from shop.extensions.answers import AnswerLink, OrderAnswer, Question, gravest
from shop.extensions.points import BOOKING_GATES, ORDER_ANSWERS
from shop.models import State, WorkOrder
from tests.factories import (
    make_booking,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_quote,
    make_shop,
    make_vehicle,
)
from tests.shop import gates_for_tests
from tests.shop.long_orders import BOOKINGS, INSTALLED, LINES, LOG, QUOTES, make_long

pytestmark = [pytest.mark.database, pytest.mark.django_db]

Browsers = Callable[[Any], Client]
ORDER = [question.value for question in Question]


@pytest.fixture(autouse=True)
def _alone(swap_plugs: Any) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)
    swap_plugs(ORDER_ANSWERS)
    make_shop()


def card(browser: Client, order: WorkOrder) -> str:
    return browser.get(order.get_absolute_url()).content.decode()


def opened(page: str) -> list[str]:
    return re.findall(r'data-test="question-(\w+)" open', page)


def test_the_five_questions_stand_in_the_order_of_the_job(client_of: Browsers, writer: Any) -> None:
    page = card(client_of(writer), make_order())
    assert re.findall(r'data-test="question-(\w+)"', page) == ORDER
    assert all(f'data-test="outcome-{key}"' in page for key in ORDER)


@pytest.mark.parametrize(
    ("state", "due"),
    [
        (State.ENQUIRY, ["cost"]),
        (State.QUOTED, ["cost"]),
        (State.APPROVED, ["when"]),
        (State.BOOKED, ["when"]),
        (State.ON_LIFT, ["done"]),
        (State.ROAD_TEST, ["held"]),
        (State.HANDED_OVER, []),
        (State.CANCELLED, []),
    ],
)
def test_the_question_that_is_due_is_open_and_no_other(
    client_of: Browsers, writer: Any, state: State, due: list[str]
) -> None:
    order = make_order(state=state)
    assert opened(card(client_of(writer), order)) == due


def test_the_top_names_the_car_and_dials_the_customer(client_of: Browsers, writer: Any) -> None:
    customer = make_customer(name="Ilka B", phone="+00 (555) 01 01")
    order = make_order(vehicle=make_vehicle(customer=customer, plate="LG 17"), customer=customer)
    page = card(client_of(writer), order)
    top = page[: page.index("card-questions")]
    assert 'href="tel:+005550101"' in top
    assert "LG 17" in top
    assert 'data-test="state"' in top


def answers_of(*given: tuple[str, GateResult | None]) -> Callable[..., list[OrderAnswer]]:
    def plug(request: Any, order: Any, /) -> list[OrderAnswer]:
        return [OrderAnswer(Question.FITS, words, words, verdict) for words, verdict in given]

    return plug


def test_a_closed_question_shows_its_worst_finding(
    client_of: Browsers, writer: Any, swap_plugs: Any
) -> None:
    plug = answers_of(
        ("It clears", GateResult.CLEAR),
        ("It touches", GateResult.CONTACT),
        ("It cannot go on", GateResult.CANNOT_BE_MOUNTED),
        ("Not judged", None),
    )
    swap_plugs(ORDER_ANSWERS, plug)
    page = card(client_of(writer), make_order(state=State.HANDED_OVER))
    outcome = page[page.index('data-test="outcome-fits"') :]
    outcome = outcome[: outcome.index("</summary>")]
    assert "It cannot go on" in outcome
    assert "It clears" not in outcome


def test_every_result_of_a_gate_has_its_place_among_the_worse_and_the_better() -> None:
    assert sorted(GRAVITY) == sorted(GateResult)
    plain = [OrderAnswer(Question.FITS, "", "", verdict) for verdict in reversed(GRAVITY)]
    worst = gravest(plain)
    assert worst is not None
    assert worst.verdict == GateResult.CANNOT_BE_MOUNTED
    assert gravest([OrderAnswer(Question.FITS, "", "")]) is None


def test_an_answer_that_clears_is_quiet_and_one_that_posts_is_a_form(
    client_of: Browsers, writer: Any, swap_plugs: Any
) -> None:
    def plug(request: Any, order: Any, /) -> list[OrderAnswer]:
        run = AnswerLink("Run it", "/run/", posts=True)
        clear = OrderAnswer(Question.FITS, "A", "Clears", GateResult.CLEAR, links=(run,))
        return [clear, OrderAnswer(Question.FITS, "B", "Touches", GateResult.CONTACT)]

    swap_plugs(ORDER_ANSWERS, plug)
    swap_plugs(BOOKING_GATES)
    page = card(client_of(writer), make_order())
    assert page.count('class="answer quiet"') == 1
    assert '<form method="post" action="/run/"' in page


@pytest.mark.parametrize(
    ("name", "row", "count"),
    [
        ("order_cost", "Work of position", LINES),
        ("order_cost", "/quotes/", QUOTES),
        ("order_when", "/day/", BOOKINGS),
        ("order_done", "Arm ", INSTALLED),
    ],
)
def test_what_the_card_folds_stands_whole_on_a_page_of_its_own(
    client_of: Browsers, writer: Any, name: str, row: str, count: int
) -> None:
    order = make_long(make_order(state=State.ON_LIFT), writer)
    browser = client_of(writer)
    address = reverse(name, args=[order.pk])
    page = card(browser, order)
    assert f'href="{address}"' in page
    assert page.count(row) <= 6
    whole = browser.get(address).content.decode()
    whole = whole[whole.index('id="main"') :]
    assert whole.count(row) >= count


def test_the_log_has_a_page_of_its_own_filtered_and_paged(client_of: Browsers, writer: Any) -> None:
    order = make_long(make_order(), writer)
    order.log.create(who="Ilka B", what="Gate overridden: contact", detail="Reason: a club day")
    browser = client_of(writer)
    assert f"{LOG - 2} more entries" in card(browser, order)
    address = reverse("order_log", args=[order.pk])

    def found(**query: str) -> int:
        return browser.get(address, query).content.decode().count('data-test="log-entry"')

    assert found() == 25
    assert found(page="2") == LOG + 1 - 25
    assert found(act="Gate overridden") == 1
    assert found(who="Ilka B") == 1
    assert found(q="club reason") == 1
    assert found(q="club arches") == 0
    assert found(act="Act 1") == 1


def test_cautions_of_fitting_stand_open_and_every_act_of_the_work_is_reached(
    client_of: Browsers, technician: Any
) -> None:
    order = make_order(state=State.ON_LIFT)
    make_line(order, kind="part", part=make_part(torque_nm=50))
    page = card(client_of(technician), order)
    assert 'data-test="cautions"' in page
    for name in ("installed_new", "torque_sign", "order_done", "job_sheet", "order_notes"):
        assert reverse(name, args=[order.pk]) in page


def test_an_act_returns_to_the_question_that_it_answered(client_of: Browsers, writer: Any) -> None:
    order = make_order(state=State.BOOKED)
    first, second = make_booking(order), make_booking(order)
    said = client_of(writer).post(reverse("booking_cancel", args=[first.pk]))
    assert said["Location"] == f"{order.get_absolute_url()}#when"
    assert order.bookings.get() == second


def test_the_job_sheet_has_blanks_for_what_is_not_signed_and_names_shop_and_order(
    client_of: Browsers, technician: Any
) -> None:
    order = make_order(state=State.BOOKED, technician_notes="Mind the clips")
    part = make_part(torque_nm=65)
    line = make_line(order, kind="part", part=part, description="Top mount, front")
    make_quote(order)
    make_booking(order)
    address = reverse("job_sheet", args=[order.pk])
    page = client_of(technician).get(address).content.decode()
    head = page[page.index('class="job-sheet"') :]
    head = head[: head.index("</thead>")]
    assert "Test shop" in head
    assert order.number in head
    row = page[page.index(f'data-test="unaccounted-{line.pk}"') :]
    row = row[: row.index("</tr>")]
    assert "65" in row
    assert row.count('class="blank"') == 3
    assert "Mind the clips" in page
    assert order.request_text in page
    assert address in card(client_of(technician), order)

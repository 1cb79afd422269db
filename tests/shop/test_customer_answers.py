"""A customer's question, decline and choice: on record, in the log, and as the next act."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.customer_page.answers import (
    MOST_OPEN,
    answer_reply,
    answered,
    option_choose,
    question_ask,
    quote_decline,
)
from shop.customer_page.options import options_on
from shop.extensions.points import BOOKING_GATES, CUSTOMER_PANELS
from shop.models import CustomerAnswer, Quote, State, WorkOrder
from shop.orders.services.customer_answers import open_answer
from shop.orders.services.lists import for_list, with_next_words
from shop.orders.services.next_words import ANSWERED
from shop.orders.services.standing import standing_of
from shop.site.refusals import NotYours, Refused
from tests.factories import as_read, make_customer, make_line, make_order, make_quote, make_shop
from tests.shop import gates_for_tests

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
Kind = CustomerAnswer.Kind


@pytest.fixture(autouse=True)
def _alone(swap_plugs: Any) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)
    swap_plugs(CUSTOMER_PANELS)
    make_shop(phone="+00 555 01 70", email="desk@shop.example")


def row(choice: str, words: str, verdict: str, price: str = "800.00") -> dict[str, Any]:
    return {"choice": choice, "words": words, "verdict": verdict, "price": price}


def quoted(**values: Any) -> tuple[WorkOrder, Quote]:
    """A quote that waits, with three options in front and one behind."""
    order = make_order(**{"state": State.QUOTED, **values})
    make_line(order)
    quote = make_quote(order)
    front = [
        row("chosen", "Nine inches", "doubtful"),
        row("declined", "Eight inches", "clear"),
        row("declined", "Ten inches", "contact"),
        row("declined", "Eight and a half", "tight"),
    ]
    quote.document["notes"] = [
        {"axle": "front", "rolled": False, "rows": front},
        {"axle": "rear", "rolled": False, "rows": [row("declined", "As it is", "clear", "")]},
    ]
    quote.save()
    return order, quote


def page_of(order: WorkOrder, browser: Client | None = None) -> str:
    address = reverse("customer_order", args=[order.token])
    return (browser or Client()).get(address).content.decode()


def send(order: WorkOrder, name: str, **data: Any) -> Any:
    return Client().post(reverse(f"customer_{name}", args=[order.token]), data)


def test_a_question_is_kept_told_and_answered_on_the_same_page(
    client_of: Browsers, writer: Any
) -> None:
    order, _ = quoted()
    assert send(order, "ask", text=" Does it rub with four people? ").status_code == 302
    asked = CustomerAnswer.objects.get()
    assert (asked.kind, asked.text) == (Kind.ASKED, "Does it rub with four people?")
    entry = order.log.first()
    assert (entry.who, entry.by) == (order.customer.name, None)
    assert order.news.get().kind == "asked"
    assert "Does it rub with four people?" in page_of(order)
    assert open_answer(order) == asked

    desk = client_of(writer)
    order_page = desk.get(order.get_absolute_url()).content.decode()
    answers = reverse("customer_answers", args=[order.pk])
    assert answers in order_page
    assert "Does it rub with four people?" in order_page
    sent = desk.post(reverse("customer_reply", args=[asked.pk]), {"text": "No, by 9 mm."})
    assert sent.url == answers
    assert "No, by 9 mm." in page_of(order)
    assert open_answer(order) is None


def test_an_empty_question_is_refused_and_one_that_is_too_long_is_kept_on_the_page() -> None:
    order, _ = quoted()
    page = send(order, "ask", text="  ").content.decode()
    assert "Please write your question." in page
    long = "x" * 2001
    page = send(order, "ask", text=long).content.decode()
    assert long in page
    assert '<details class="rest" data-test="ask" open>' in page
    assert not CustomerAnswer.objects.exists()


def test_the_same_question_twice_is_one_and_a_flood_is_refused() -> None:
    order, _ = quoted()
    for _ in range(2):
        question_ask(order=order, text="When?")
    assert CustomerAnswer.objects.count() == 1
    for number in range(MOST_OPEN - 1):
        question_ask(order=order, text=f"When, {number}?")
    with pytest.raises(Refused, match="still with us"):
        question_ask(order=order, text="Another?")


def test_a_decline_keeps_its_reason_cancels_nothing_and_can_be_thought_over() -> None:
    order, quote = quoted()
    send(order, "decline", number=quote.number, reason="Too dear")
    said = CustomerAnswer.objects.get()
    assert (said.kind, said.text, said.quote) == (Kind.DECLINED, "Too dear", quote)
    assert order.news.get().kind == "declined"
    order.refresh_from_db()
    assert order.state == State.QUOTED
    page = page_of(order)
    assert 'data-test="declined"' in page
    assert "Too dear" in page
    assert 'name="agree"' in page
    sign = reverse("customer_authorise", args=[order.token])
    Client().post(sign, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    order.refresh_from_db()
    assert order.state == State.APPROVED
    assert open_answer(order) is None, "an approval says more than the no before it"


def test_a_decline_needs_no_reason_and_the_last_reason_counts() -> None:
    order, quote = quoted()
    quote_decline(order=order, number=quote.number)
    quote_decline(order=order, number=quote.number)
    assert CustomerAnswer.objects.count() == 1
    quote_decline(order=order, number=quote.number, reason="The date")
    said = open_answer(order)
    assert said is not None
    assert said.text == "The date"
    assert CustomerAnswer.objects.filter(settled_at=None).count() == 1


def test_options_have_letters_prices_and_a_button_where_they_clear() -> None:
    order, quote = quoted()
    assert [(o.label, o.axle, o.may_be_chosen) for o in options_on(quote)] == [
        ("A", "front", False),
        ("B", "front", True),
        ("C", "front", False),
        ("D", "front", True),
        ("E", "rear", True),
    ]
    page = page_of(order)
    for label, words in zip(
        "ABCDE", ("Nine", "Eight", "Ten", "Eight and a half", "As it is"), strict=True
    ):
        part = page.partition(f'data-test="option-{label}"')[2].partition("</li>")[0]
        assert words in part
        assert (f'value="{label}"' in part) == (label in "BDE")
    assert "800.00" in page


def test_a_choice_is_kept_in_words_and_one_an_axle_counts() -> None:
    order, quote = quoted()
    send(order, "choose", number=quote.number, option="B")
    assert order.news.first().kind == "chose"
    assert "option B" in order.log.first().what
    option_choose(order=order, number=quote.number, label="B")
    assert CustomerAnswer.objects.count() == 1
    option_choose(order=order, number=quote.number, label="E")
    option_choose(order=order, number=quote.number, label="D")
    still = CustomerAnswer.objects.filter(settled_at=None)
    assert {(one.label, one.text) for one in still} == {
        ("D", "Eight and a half"),
        ("E", "As it is"),
    }
    page = page_of(order)
    assert page.count('data-test="chosen"') == 2


@pytest.mark.parametrize("label", ["A", "C", "Z", ""])
def test_what_is_quoted_what_touches_and_what_is_none_cannot_be_chosen(label: str) -> None:
    order, quote = quoted()
    answer = send(order, "choose", number=quote.number, option=label)
    assert answer.status_code == 200
    assert not CustomerAnswer.objects.exists()


def test_an_answer_to_a_quote_that_was_replaced_is_refused_and_says_so() -> None:
    order, old = quoted()
    make_line(order, description="More")
    make_quote(order)
    for name, data in (("decline", {"reason": "No"}), ("choose", {"option": "B"})):
        page = send(order, name, number=old.number, **data).content.decode()
        assert "A newer quote has been sent" in page
    assert not CustomerAnswer.objects.exists()


@pytest.mark.parametrize("state", [State.HANDED_OVER, State.CANCELLED])
def test_a_closed_order_takes_no_answers(state: str) -> None:
    order, quote = quoted(state=state)
    assert 'data-test="ask"' not in page_of(order)
    with pytest.raises(Refused):
        question_ask(order=order, text="Why?")
    with pytest.raises(Refused):
        quote_decline(order=order, number=quote.number)


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (Kind.ASKED, "The customer asks: Does it rub?"),
        (Kind.CHOSE, "The customer chose option B: Eight inches"),
        (Kind.DECLINED, "The customer declined the quote: Too dear"),
    ],
)
def test_what_was_said_is_the_next_act_of_the_page_and_of_lists(
    kind: str, words: str, client_of: Browsers, writer: Any
) -> None:
    order, quote = quoted()
    if kind == Kind.ASKED:
        question_ask(order=order, text="Does it rub?")
    elif kind == Kind.CHOSE:
        option_choose(order=order, number=quote.number, label="B")
    else:
        quote_decline(order=order, number=quote.number, reason="Too dear")
    page = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert words in page
    assert reverse("customer_answers", args=[order.pk]) in page
    (shown,) = with_next_words(for_list(WorkOrder.objects.filter(pk=order.pk)))
    assert shown.next_words == str(ANSWERED[kind])
    assert answered(quote)
    assert standing_of(order).answer is not None


def test_a_newer_quote_settles_what_was_said_to_the_old_one_but_no_question() -> None:
    order, quote = quoted()
    quote_decline(order=order, number=quote.number, reason="Too dear")
    question_ask(order=order, text="When?")
    make_line(order, description="Less")
    make_quote(order)
    said = open_answer(order)
    assert said is not None
    assert said.kind == Kind.ASKED
    assert not CustomerAnswer.objects.filter(kind=Kind.DECLINED, settled_at=None).exclude(
        quote=quote
    )


def test_replies_are_for_writers_once_and_a_question_needs_one(
    writer: Any, technician: Any
) -> None:
    order, _ = quoted()
    asked = question_ask(order=order, text="When?")
    with pytest.raises(NotYours):
        answer_reply(answer=asked, by=technician, text="Soon")
    with pytest.raises(Refused, match="reply first"):
        answer_reply(answer=asked, by=writer, text=" ")
    answer_reply(answer=asked, by=writer, text="Soon")
    with pytest.raises(Refused, match="already"):
        answer_reply(answer=asked, by=writer, text="Later")


def test_a_decline_is_settled_without_words(client_of: Browsers, writer: Any) -> None:
    order, quote = quoted()
    said = quote_decline(order=order, number=quote.number)
    client_of(writer).post(reverse("customer_reply", args=[said.pk]))
    said.refresh_from_db()
    assert said.settled_by == writer
    assert open_answer(order) is None


def test_telephone_and_mail_are_links_and_the_page_loads_no_script() -> None:
    page = page_of(quoted()[0])
    assert 'href="tel:+005550170"' in page
    assert 'href="mailto:desk@shop.example?subject=' in page
    assert "<script" not in page


def test_what_was_signed_stays_readable_with_all_its_lines() -> None:
    order, quote = quoted(customer=make_customer(language="en-gb"))
    sign = reverse("customer_authorise", args=[order.token])
    Client().post(sign, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    page = page_of(order)
    letter = page.partition('<article class="quote-paper"')[2].partition("</article>")[0]
    for line in quote.document["lines"]:
        assert line["description"] in letter
    assert "Authorised by Ilka B" in page
    before = page.partition('<article class="quote-paper"')[0]
    assert before.count("<details") == before.count("</details"), "it lies open, for print"


def test_what_was_said_to_one_order_is_not_shown_on_another() -> None:
    one, other = quoted()[0], quoted()[0]
    question_ask(order=one, text="Does mine rub?")
    assert "Does mine rub?" not in page_of(other)

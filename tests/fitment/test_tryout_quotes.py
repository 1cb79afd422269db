"""A quote carries the way that was chosen and those that were declined; who insists, signs."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils.html import escape

from alignment.text.render import customer
from common.message import Message, message, message_dump
from fitment.clearance.services import check_run
from fitment.text.options import option_text
from fitment.text.render import stored_text
from fitment.tryout.quote_notes import options_notes, same_set_up
from shop.calendar.services import booking_make
from shop.languages import speech_of
from shop.models import Authorisation, State, WorkOrder
from shop.money.services import options_of, quote_draft, quote_send
from shop.orders.services.gates import GateClosed, gate_override, gates_ask
from tests.factories import as_read, make_bay, make_line, make_shop, make_user, tomorrow_at
from tests.fitment.factories import make_ready_order, make_rubbing_order, make_tyre
from tests.fitment.searches import make_search

pytestmark = pytest.mark.django_db


def offered(changes: Message, price: str | None, **put: str) -> dict[str, Any]:
    return {
        "changes_told": message_dump(message("option.changes", parts=(changes,))),
        "price": price,
        "verdict": "clear",
        "shown": True,
        "wins": [],
        "cautions": [message_dump(message("verbatim", text="A ring is missing."))],
        "put": put,
    }


def searched(order: WorkOrder, by: Any) -> Any:
    """A search that is over: packers, or the narrow tyre."""
    search = make_search(order, by)
    begun = {name: search.start.get(name, "") for name in ("wheel", "tyre", "camber", "by", "toe")}
    begun |= {"spacer": "5", "height": "-15"}
    search.found = [
        offered(message("change.packer", new_mm=15.0), "0.00", **begun, packer="15"),
        offered(
            message("change.another", size="narrow tyre"), "360.00", **(begun | {"tyre": "999"})
        ),
    ]
    search.done = search.settings
    search.save()
    return search


def test_an_order_that_was_never_searched_says_nothing(writer: Any) -> None:
    assert options_notes(make_ready_order()) == []


def test_without_a_search_the_options_beside_the_check_are_the_declined_ones(writer: Any) -> None:
    make_tyre(name="Narrow", section_width_mm=238, price="180.00")
    order = make_rubbing_order()
    assert options_notes(order) == []
    found = check_run(order=order, by=writer).options["LF"]["found"]
    assert found
    (note,) = options_notes(order)
    assert note["axle"] == "front"
    chosen, *declined = note["rows"]
    assert (chosen["choice"], chosen["verdict"]) == ("chosen", "contact")
    assert [row["words"] for row in declined] == [
        option_text(way, customer(speech_of(order))) for way in found
    ]
    assert {row["choice"] for row in declined} == {"instead"}


def test_a_quote_keeps_the_chosen_option_and_the_declined_with_prices(
    writer: Any, client_of: Any
) -> None:
    make_shop()
    order = make_rubbing_order()
    make_line(order)
    search = searched(order, writer)
    put = {"axle": "front", "use": order.use, **search.found[0]["put"]}
    desk = client_of(writer)
    assert desk.post(reverse("order_tryout", args=[order.pk]), put).status_code == 302
    check_run(order=order, by=writer)
    alone = quote_draft(order, writer)
    assert [row["choice"] for row in alone.document["notes"][0]["rows"]] == ["chosen"]
    offered = {row["key"] for note in options_of(order) for row in note["rows"]}
    quote = quote_send(order=order, by=writer, options=offered)
    rows = quote.document["notes"][0]["rows"]
    assert [(row["choice"], row["words"], row["price"]) for row in rows] == [
        ("chosen", "A bump packer of 15 mm", "0.00"),
        ("instead", "Another narrow tyre", "360.00"),
    ]
    search.delete()  # the quote keeps what it told
    page = desk.get(reverse("quote", args=[quote.pk])).content.decode()
    assert "Instead" in page
    assert "A ring is missing." in page
    assert "Another narrow tyre" in page
    assert "360" in page


def test_a_customer_who_insists_signs_and_only_a_manager_can_book_it(
    writer: Any, manager: Any, client: Any
) -> None:
    make_shop()
    order = make_rubbing_order()
    make_line(order)
    searched(order, writer)
    check = check_run(order=order, by=writer)
    offered = {row["key"] for note in options_of(order) for row in note["rows"]}
    quote = quote_send(order=order, by=writer, options=offered)
    chosen, *declined = quote.document["notes"][0]["rows"]
    assert chosen["verdict"] == "contact"
    assert len(declined) == 2

    # The customer reads both on the link, and cannot agree without the sentence.
    link = client.get(reverse("customer_order", args=[order.token])).content.decode()
    assert "A bump packer of 15 mm" in link
    said = str(stored_text(check, customer(speech_of(order))))
    assert escape(said) in link
    assert (
        link.index('href="#answer"')
        < link.index('id="clearance"')
        < link.index('id="answer"')
        < link.index('name="agree"')
    )
    send = reverse("customer_authorise", args=[order.token])
    values = as_read(quote) | {"name": "Ilka Brandvold", "agree": "on"}
    client.post(send, values)
    assert not Authorisation.objects.exists()
    client.post(send, {**values, "signed_warning": "on"})
    signed = Authorisation.objects.get().signed_sentence.splitlines()
    assert signed[0] == said
    assert signed[1].startswith("No mounting check fails; not enough data yet for 13 of 16: ")

    # The writer cannot book what touches; a manager's reason opens the gate.
    order.refresh_from_db()
    assert order.state == State.APPROVED
    times = {"starts_at": tomorrow_at(9), "ends_at": tomorrow_at(12)}
    place = {"bay": make_bay(), "technician": make_user("technician")}
    with pytest.raises(GateClosed):
        booking_make(order=order, by=writer, **place, **times)
    digest = gates_ask(order)[0].answer.digest
    gate_override(order=order, by=manager, reason="The lip is rolled first", digest=digest)
    booking_make(order=order, by=manager, **place, **times)
    order.refresh_from_db()
    assert order.state == State.BOOKED


def test_set_ups_are_the_same_by_figure_not_by_spelling() -> None:
    one = {"wheel": "1", "tyre": "2", "by": "top_mount", "camber": "-2.40", "spacer": ""}
    assert same_set_up(one, one | {"camber": "-2.4", "spacer": "0", "packer": ""})
    assert not same_set_up(one, one | {"spacer": "3"})
    assert Decimal(one["camber"]) < 0

"""What the customer's link shows, and what it never shows."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.extensions.points import BOOKING_GATES, CUSTOMER_PANELS, SHEET_SECTIONS
from shop.models import Authorisation, State
from shop.money.services import quote_send
from shop.orders.services.standing import standing_of
from tests.factories import (
    as_read,
    make_customer,
    make_line,
    make_order,
    make_quote,
    make_shop,
    make_user,
)
from tests.shop import gates_for_tests

pytestmark = pytest.mark.django_db
MAY_SIGN = (State.ENQUIRY, State.QUOTED, State.BOOKED, State.ON_LIFT, State.ROAD_TEST)


@pytest.fixture(autouse=True)
def _alone(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)
    swap_plugs(CUSTOMER_PANELS)
    swap_plugs(SHEET_SECTIONS)
    make_shop(phone="+00 555 0170")


def quoted(**values):
    order = make_order(**{"state": State.QUOTED, **values})
    make_line(order)
    return order, make_quote(order)


def page_of(order) -> str:
    return Client().get(reverse("customer_order", args=[order.token])).content.decode()


def test_the_state_is_said_in_words_in_every_state() -> None:
    for state in State.values:
        page = page_of(make_order(state=state))
        assert "+00 555 0170" in page


def fields_of(row) -> dict[str, object]:
    return type(row)._base_manager.filter(pk=row.pk).values().get()


def test_a_customer_chooses_the_language_of_their_page_and_nothing_else_changes() -> None:
    order, quote = quoted(customer=make_customer(language="en-gb", units="in", angles="minutes"))
    rows = [order, quote, order.vehicle, order.lines.get(), order.customer]
    Client().get(reverse("customer_order", args=[order.token]))  # the first opening is kept
    before, entries = [fields_of(row) for row in rows], order.log.count()
    browser = Client(headers={"accept-language": "en"})
    page = browser.get(reverse("customer_order", args=[order.token])).content.decode()
    assert 'name="language" value="de" lang="de">Deutsch<' in page
    assert 'value="en-gb"' not in page, "the language of the page is no choice"
    sent = reverse("customer_language", args=[order.token])
    answer = browser.post(sent, {"language": "de"}, follow=True)
    assert answer.redirect_chain[0][0] == reverse("customer_order", args=[order.token])
    assert '<html lang="de">' in answer.content.decode()
    before[-1] |= {"language": "de", "version": before[-1]["version"] + 1}
    assert [fields_of(row) for row in rows] == before
    assert order.log.count() == entries


def test_another_language_makes_no_other_quote() -> None:
    """The quote that was sent stays true, and can be signed, after the page speaks German."""
    order = make_order(customer=make_customer(language="en-gb"))
    line = make_line(order, description="Set camber and toe")
    line.set_text("de", "description", "Sturz und Spur einstellen")
    line.save()
    quote = quote_send(order=order, by=make_user("writer"))
    browser = Client()
    browser.post(reverse("customer_language", args=[order.token]), {"language": "de"})
    page = page_of(order)
    assert '<html lang="de">' in page
    assert 'data-test="quote-changed"' not in page
    sign = reverse("customer_authorise", args=[order.token])
    browser.post(sign, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    order.refresh_from_db()
    assert standing_of(order).holds
    line.set_text("de", "description", "Etwas anderes")
    line.save()
    assert standing_of(order).holds, "the quote was written in English"
    line.description = "Something else"
    line.save()
    assert not standing_of(order).holds


def test_a_quote_can_still_be_signed_in_the_other_language() -> None:
    order = make_order(customer=make_customer(language="de"))
    line = make_line(order, description="Labour: fit")
    line.set_text("de", "description", "Arbeit: Einbau")
    line.save()
    quote = quote_send(order=order, by=make_user("writer"))
    assert quote.document["lines"][0]["description"] == "Arbeit: Einbau"
    order.refresh_from_db()
    browser = Client()
    browser.post(reverse("customer_language", args=[order.token]), {"language": "en-gb"})
    page = browser.get(reverse("customer_order", args=[order.token])).content.decode()
    assert '<html lang="en-GB">' in page
    assert reverse("customer_authorise", args=[order.token]) in page
    assert "What changed" not in page


def test_a_language_that_the_site_has_not_is_refused_on_the_page() -> None:
    order = make_order(customer=make_customer(language="en-gb"))
    sent = reverse("customer_language", args=[order.token])
    for data in ({"language": "xx"}, {}):
        answer = Client().post(sent, data)
        assert answer.status_code == 422
        assert order.number in answer.content.decode()
        assert fields_of(order.customer)["language"] == "en-gb"


def test_no_note_no_log_and_no_token_of_another_order_is_shown() -> None:
    order, _ = quoted(technician_notes="Do not lend them the loan car")
    order.customer.notes = "Pays late"
    order.customer.save()
    other = make_order(vehicle=order.vehicle, customer=order.customer)
    order.log.create(by=make_user(), who="T", what="An inner act")
    page = page_of(order)
    for secret in ("loan car", "Pays late", other.token, other.number, "An inner act"):
        assert secret not in page


def test_the_page_is_not_stored_and_not_told_to_others() -> None:
    answer = Client().get(reverse("customer_order", args=[quoted()[0].token]))
    assert "no-store" in answer.headers["Cache-Control"]
    assert answer.headers["Referrer-Policy"] == "same-origin"


def test_a_name_and_a_tick_are_wanted_and_what_was_typed_is_kept() -> None:
    order, quote = quoted()
    sign = reverse("customer_authorise", args=[order.token])
    page = Client().post(sign, as_read(quote) | {"name": "Ilka B"}).content.decode()
    assert "Please tick" in page
    assert 'value="Ilka B"' in page
    assert not Authorisation.objects.exists()


def test_a_signature_without_the_quote_that_was_read_is_none() -> None:
    order, quote = quoted()
    sign = reverse("customer_authorise", args=[order.token])
    for read in ({}, {"number": quote.number}, {"number": quote.number, "digest": "other"}):
        Client().post(sign, {**read, "name": "Ilka B", "agree": "on"})
        assert not Authorisation.objects.exists()


@pytest.mark.parametrize("hours", ["Two hours more", "Other work, at the same price"])
def test_a_quote_that_was_replaced_meanwhile_is_shown_and_not_signed(hours: str) -> None:
    """Also where number of lines and total are the same: only the quote that was read counts."""
    order, old = quoted()
    read = as_read(old)
    if hours.startswith("Other"):
        order.lines.update(description=hours)
    else:
        make_line(order, description=hours)
    newer = make_quote(order)
    sign = reverse("customer_authorise", args=[order.token])
    page = Client().post(sign, read | {"name": "Ilka B", "agree": "on"}).content.decode()
    assert 'data-test="quote-changed"' in page
    assert hours in page
    assert f'value="{newer.number}"' in page
    assert 'value="Ilka B"' in page
    assert not Authorisation.objects.exists()
    Client().post(sign, as_read(newer) | {"name": "Ilka B", "agree": "on"})
    assert Authorisation.objects.get().quote == newer
    assert Authorisation.objects.get().read_digest == as_read(newer)["digest"]


def test_a_quote_whose_words_changed_under_the_reader_is_not_signed() -> None:
    order, quote = quoted()
    read = as_read(quote)
    type(quote).objects.update(gate_warning="It may touch.", signature_needed=True)
    sign = reverse("customer_authorise", args=[order.token])
    page = Client().post(sign, read | {"name": "Ilka B", "agree": "on", "signed_warning": "on"})
    assert 'data-test="quote-changed"' in page.content.decode()
    assert not Authorisation.objects.exists()


def test_lines_that_changed_after_the_quote_close_its_signature(writer, client_of) -> None:
    order, quote = quoted()
    make_line(order, description="Two hours more")
    sign = reverse("customer_authorise", args=[order.token])
    page = page_of(order)
    assert 'data-test="quote-changed"' in page
    assert "Two hours more" in page
    assert 'name="agree"' not in page
    Client().post(sign, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    in_person = reverse("quote_sign", args=[order.pk])
    desk = client_of(writer)
    shown = desk.get(in_person).content.decode()
    assert 'name="agree"' not in shown
    assert reverse("quote_send", args=[order.pk]) in shown
    desk.post(in_person, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    assert not Authorisation.objects.exists()


def test_a_finding_that_changed_after_the_quote_closes_its_signature(swap_plugs) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.told_gate)
    gates_for_tests.say(result="tight", sentence="4 mm at the lip.", digest="a")
    order = make_order()
    make_line(order)
    quote = quote_send(order=order, by=make_user("writer"))
    sign = reverse("customer_authorise", args=[order.token])
    gates_for_tests.say(result="contact", sentence="Touches the lip.", digest="b")
    page = Client().post(sign, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    assert "Touches the lip." in page.content.decode()
    assert not Authorisation.objects.exists()
    # The same finding in other words is the same finding.
    gates_for_tests.say(result="tight", sentence="Four millimetres at the lip.", digest="a")
    Client().post(sign, as_read(quote) | {"name": "Ilka B", "agree": "on"})
    assert Authorisation.objects.exists()


@pytest.mark.parametrize(("state", "waits"), [(s, s != State.ENQUIRY) for s in MAY_SIGN])
def test_only_an_order_that_waits_for_it_is_signed_in_person(
    state, waits, writer, client_of
) -> None:
    """A reopened order has its old quote, which approves nothing any more."""
    order, quote = quoted(state=state)
    desk, sign = client_of(writer), reverse("quote_sign", args=[order.pk])
    assert (sign in desk.get(reverse("quote", args=[quote.pk])).content.decode()) is waits
    assert (desk.get(sign).status_code == 200) is waits


def test_in_person_another_quote_is_shown_with_what_changed(writer, client_of) -> None:
    order, old = quoted()
    read = as_read(old)
    order.lines.update(description="Other work")
    newer = make_quote(order)
    desk, sign = client_of(writer), reverse("quote_sign", args=[order.pk])
    page = desk.post(sign, read | {"name": "Ilka B", "agree": "on"}).content.decode()
    assert 'data-test="quote-changed"' in page
    assert "Other work" in page
    assert not Authorisation.objects.exists()
    desk.post(sign, as_read(newer) | {"name": "Ilka B", "agree": "on"})
    assert Authorisation.objects.get().quote == newer


def test_the_signature_freezes_name_amount_and_way() -> None:
    order, quote = quoted()
    sign = reverse("customer_authorise", args=[order.token])
    Client().post(sign, as_read(quote) | {"name": " Ilka B ", "agree": "on"})
    signed = Authorisation.objects.get()
    assert (signed.name, signed.amount, signed.via) == ("Ilka B", quote.total, "link")
    assert signed.witnessed_by is None
    again = Client().post(sign, as_read(quote) | {"name": "Other", "agree": "on"})
    assert "already authorised" in again.content.decode()
    assert Authorisation.objects.count() == 1


def test_in_person_the_witness_is_on_record(writer, client_of) -> None:
    order, quote = quoted()
    client_of(writer).post(
        reverse("quote_sign", args=[order.pk]),
        as_read(quote) | {"name": "Ilka B", "agree": "on"},
    )
    signed = Authorisation.objects.get()
    assert (signed.via, signed.witnessed_by) == ("in_person", writer)


def test_the_sheet_is_there_only_after_the_hand_over() -> None:
    early = make_order(state=State.ROAD_TEST)
    assert Client().get(reverse("customer_sheet", args=[early.token])).status_code == 404
    done = make_order(state=State.HANDED_OVER)
    answer = Client().get(reverse("customer_sheet", args=[done.token]))
    assert answer.headers["Content-Type"] == "application/pdf"
    assert reverse("customer_sheet", args=[done.token]) in page_of(done)


def test_what_a_customer_types_is_shown_as_text() -> None:
    page = page_of(make_order(request_text="<script>alert(1)</script>", state=State.QUOTED))
    assert "<script>alert" not in page


def test_a_customer_who_thinks_in_miles_reads_miles(db) -> None:
    page = page_of(make_order(state=State.HANDED_OVER, customer=make_customer(units="in")))
    assert "after 30 to 60 mi, and let us look again after 620 mi" in page
    assert "lb·ft" in page
    assert " km" not in page

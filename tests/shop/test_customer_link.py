"""What the customer's link shows, and what it never shows."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.extensions.points import BOOKING_GATES, CUSTOMER_PANELS, SHEET_SECTIONS
from shop.models import Authorisation, State
from tests.factories import make_customer, make_line, make_order, make_quote, make_shop, make_user
from tests.shop import gates_for_tests

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _alone(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)
    swap_plugs(CUSTOMER_PANELS)
    swap_plugs(SHEET_SECTIONS)
    make_shop(phone="+00 555 0170")


def quoted(**values):
    order = make_order(state=State.QUOTED, **values)
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
    before, entries = [fields_of(row) for row in rows], order.log.count()
    browser = Client(headers={"accept-language": "en"})
    page = browser.get(reverse("customer_order", args=[order.token])).content.decode()
    assert 'name="language" value="de" lang="de">Deutsch<' in page
    assert 'value="en-gb"' not in page, "the language of the page is no choice"
    sent = reverse("customer_language", args=[order.token])
    answer = browser.post(sent, {"language": "de"}, follow=True)
    assert answer.redirect_chain[0][0] == reverse("customer_order", args=[order.token])
    assert '<html lang="de">' in answer.content.decode()
    before[-1]["language"] = "de"
    assert [fields_of(row) for row in rows] == before
    assert order.log.count() == entries


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
    page = Client().post(sign, {"amount": str(quote.total), "name": "Ilka B"}).content.decode()
    assert "Please tick" in page
    assert 'value="Ilka B"' in page
    assert not Authorisation.objects.exists()


def test_another_amount_than_the_quotes_is_refused() -> None:
    order, _ = quoted()
    sign = reverse("customer_authorise", args=[order.token])
    page = Client().post(sign, {"amount": "1.00", "name": "Ilka B", "agree": "on"})
    assert "amount of this quote has changed" in page.content.decode()
    assert not Authorisation.objects.exists()


def test_a_quote_that_was_replaced_meanwhile_cannot_be_signed() -> None:
    order, old = quoted()
    make_line(order, description="Two hours more")
    newer = make_quote(order)
    sign = reverse("customer_authorise", args=[order.token])
    page = Client().post(sign, {"amount": str(old.total), "name": "Ilka B", "agree": "on"})
    assert "amount of this quote has changed" in page.content.decode()
    assert f"Quote {newer.number}" in page.content.decode()
    assert not Authorisation.objects.exists()


def test_the_signature_freezes_name_amount_and_way() -> None:
    order, quote = quoted()
    sign = reverse("customer_authorise", args=[order.token])
    Client().post(sign, {"amount": str(quote.total), "name": " Ilka B ", "agree": "on"})
    signed = Authorisation.objects.get()
    assert (signed.name, signed.amount, signed.via) == ("Ilka B", quote.total, "link")
    assert signed.witnessed_by is None
    again = Client().post(sign, {"amount": str(quote.total), "name": "Other", "agree": "on"})
    assert "already authorised" in again.content.decode()
    assert Authorisation.objects.count() == 1


def test_in_person_the_witness_is_on_record(writer, client_of) -> None:
    order, quote = quoted()
    client_of(writer).post(
        reverse("quote_sign", args=[order.pk]),
        {"amount": str(quote.total), "name": "Ilka B", "agree": "on"},
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

"""The quote as a PDF: what was frozen, once, tagged, and signed when it is signed."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from shop.models import Deposit
from shop.money.services import quote_authorise, quote_draft, quote_pdf, quote_send
from shop.orders.services.quoted import read_digest
from shop.values.amounts import Discount
from tests.factories import (
    as_read,
    make_line,
    make_order,
    make_shop,
    make_user,
    signed_before,
)
from tests.pdf import reader_of, text_of_pdf

pytestmark = pytest.mark.django_db


def a_full_order() -> Any:
    make_shop(quote_days=14, quote_terms="Paid at the hand-over.")
    order = make_order()
    make_line(order, quantity=Decimal(1), unit_price=Decimal("92.50"))
    line = make_line(order, kind="part", description="A long bolt", tax_rate=Decimal(7))
    line.discount = Discount(percent=Decimal(10))
    line.save()
    order.discount = Discount(money=Decimal("5.00"))
    order.save()
    return order


def test_a_draft_prints_what_will_be_frozen_and_is_not_saved() -> None:
    order, writer = a_full_order(), make_user("writer")
    draft = quote_draft(order, writer, note="As we said.")
    preview = text_of_pdf(quote_pdf(draft))
    assert not order.quotes.exists()
    sent = quote_send(order=order, by=writer, note="As we said.", digest=read_digest(draft))
    assert read_digest(sent) == read_digest(draft)
    assert text_of_pdf(quote_pdf(sent)) == preview
    for said in ("92.50", "10 %", "Discount", "Tax 20 % on", "Tax 7 % on", "Valid until"):
        assert said in preview
    assert "Paid at the hand-over." in preview
    assert preview.count("Sum of the lines") == 1


def test_the_pdf_is_tagged_and_the_same_every_time() -> None:
    quote = quote_send(order=a_full_order(), by=make_user("writer"))
    content = quote_pdf(quote)
    root = reader_of(content).trailer["/Root"]
    assert root["/StructTreeRoot"]
    assert root["/Lang"]
    assert content == quote_pdf(quote)


def test_the_signed_pdf_names_who_signed(client: Any, client_of: Any) -> None:
    order = a_full_order()
    quote = quote_send(order=order, by=make_user("writer"))
    signed_before(order)
    staff = client_of(make_user("technician")).get(reverse("quote_pdf", args=[quote.pk]))
    link = client.get(reverse("customer_quote_pdf", args=[order.token, quote.pk]))
    assert staff.content == link.content
    assert "Ilka B authorised quote" in text_of_pdf(link.content)
    assert link["Content-Type"] == "application/pdf"
    assert "no-store" in link["Cache-Control"]


def test_another_orders_quote_is_not_on_this_link(client: Any) -> None:
    quote = quote_send(order=a_full_order(), by=make_user("writer"))
    other = make_order()
    url = reverse("customer_quote_pdf", args=[other.token, quote.pk])
    assert client.get(url).status_code == 404


def test_a_deposit_stands_on_the_quote() -> None:
    order, writer = a_full_order(), make_user("writer")
    Deposit.objects.create(
        order=order,
        asked=Decimal("50.00"),
        asked_by=writer,
        received=Decimal("50.00"),
        received_on=dt.date(2026, 11, 3),
        received_how="cash",
    )
    said = text_of_pdf(quote_pdf(quote_send(order=order, by=writer)))
    assert "Received: €50.00 on 3 November 2026." in said


def test_a_second_quote_prints_what_changed() -> None:
    order, writer = a_full_order(), make_user("writer")
    first = quote_send(order=order, by=writer)
    line = order.lines.get(description="A long bolt")
    line.quantity = Decimal(4)
    line.save()
    second = quote_send(order=order, by=writer)
    said = text_of_pdf(quote_pdf(second))
    assert f"Changed since quote {first.number}" in said
    assert second.document["before"] == first.number
    assert {one["title"] for one in second.document["differences"]} == {"Work or part", "Total"}


def test_a_quote_past_its_day_is_refused_on_the_link_and_may_be_signed_at_the_desk(
    client: Any,
) -> None:
    order, writer = a_full_order(), make_user("writer")
    quote = quote_send(order=order, by=writer)
    quote.document["valid_until"] = "2020-01-31"
    quote.save()
    values = as_read(quote) | {"name": "Ilka B", "agree": "on"}
    if quote.signature_needed:
        values["signed_warning"] = "on"
    page = client.post(reverse("customer_authorise", args=[order.token]), values)
    assert page.status_code == 200
    assert "no longer valid" in page.content.decode()
    told = {"name": "Ilka B", "via": "in_person", "signed_warning": True}
    signed = quote_authorise(quote=quote, by=writer, **as_read(quote), **told)
    assert signed.name == "Ilka B"

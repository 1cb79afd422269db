"""The pages of email: sending a quote, the link by hand, texts, the server tried, passwords."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any
from xml.etree import ElementTree

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from shop.customer_page.answers import answer_reply, question_ask
from shop.models import Customer, Mail, MailState, MailText, Quote, User, WorkOrder
from shop.outbox.data import Words
from shop.outbox.services.delivery import deliver_due
from shop.outbox.services.following import is_answered, sent_and_seen
from shop.outbox.services.returned import NoReport, note_returned
from shop.outbox.services.shown import mailto, qr_svg, tel
from tests import factories
from tests.page_forms import forms_of
from tests.smtp import Box, mail_server

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture
def box() -> Iterator[Box]:
    with mail_server() as box:
        yield box


@pytest.fixture
def as_writer(client_of: Callable[[Any], Client], writer: User) -> Client:
    return client_of(writer)


@pytest.fixture
def as_manager(client_of: Callable[[Any], Client], manager: User) -> Client:
    return client_of(manager)


@pytest.fixture
def order(db: None) -> WorkOrder:
    factories.make_shop(name="Lindgrove")
    order = factories.make_order()
    Customer.objects.update(email="nadir@example.org", phone="+44 20 555")
    order.customer.refresh_from_db()
    factories.make_line(order)
    return order


def test_send_quote_says_to_whom_and_sends(box: Box, order: WorkOrder, as_writer: Client) -> None:
    url = reverse("quote_send", args=[order.pk])
    page = as_writer.get(url)
    html = page.content.decode()
    assert 'data-test="mail-preview"' in html
    assert f"{order.number}-1" in html
    (form,) = (one for one in forms_of(page, url) if one.control("to"))
    assert form.data()["to"] == ["nadir@example.org"]
    sent = as_writer.post(url, form.data(to=["Nadir Quell <other@example.org>"]))
    quote = Quote.objects.get()
    assert sent.headers["Location"] == quote.get_absolute_url()
    deliver_due()
    assert box.recipients == ["other@example.org"]
    assert order.token in str(box.taken[0].get_body())
    (paper,) = box.taken[0].iter_attachments()
    assert paper.get_filename() == f"{quote.number}.pdf"
    assert paper.get_content().startswith(b"%PDF-")
    html = as_writer.get(quote.get_absolute_url()).content.decode()
    assert 'data-test="sent-and-seen"' in html
    assert "<svg" in html


def test_a_bad_address_freezes_no_quote(box: Box, order: WorkOrder, as_writer: Client) -> None:
    url = reverse("quote_send", args=[order.pk])
    for typed in ("nadir at example", ""):
        answer = as_writer.post(url, {"by_mail": "on", "to": typed, "note": "kept words"})
        assert answer.context["form"].errors["to"]
        assert "kept words" in answer.content.decode()
    assert not Quote.objects.exists()
    as_writer.post(url, {"to": "", "note": ""})
    assert Quote.objects.count() == 1
    assert not Mail.objects.exists()


def test_without_a_server_the_rest_is_offered(order: WorkOrder, as_writer: Client) -> None:
    page = as_writer.get(reverse("quote_send", args=[order.pk])).content.decode()
    assert 'data-test="no-mail-server"' in page
    page = as_writer.get(reverse("order_mail", args=[order.pk])).content.decode()
    assert 'data-test="no-mail-server"' in page
    assert "mailto:nadir@example.org?subject=" in page
    assert 'href="tel:+4420555"' in page
    assert "<svg" in page
    assert order.token in page


def test_the_page_of_an_order_opens_and_the_first_opening_is_seen(
    box: Box, order: WorkOrder, as_writer: Client, client: Client
) -> None:
    quote = factories.make_quote(order)
    link = reverse("customer_order", args=[order.token])
    as_writer.get(link)
    assert sent_and_seen([order.pk])[order.pk].seen_at is None
    client.get(link)
    seen = sent_and_seen([order.pk])[order.pk].seen_at
    assert seen is not None
    client.get(link)
    quote.refresh_from_db()
    assert quote.seen_at == seen
    assert 'data-test="sent-and-seen"' in as_writer.get(order.get_absolute_url()).content.decode()


def test_a_refused_mail_stands_on_the_order_and_goes_to_another_address(
    box: Box, order: WorkOrder, as_writer: Client
) -> None:
    factories.make_quote(order)
    box.at_rcpt = "550 no such mailbox"
    as_writer.post(reverse("order_mail", args=[order.pk]), {"to": "nadir@example.org"})
    deliver_due()
    page = as_writer.get(order.get_absolute_url()).content.decode()
    assert 'data-test="mail-trouble"' in page
    assert "550 no such mailbox" in page
    box.at_rcpt = "250 OK"
    again = reverse("mail_again", args=[Mail.objects.get().pk])
    as_writer.post(again, {"to": "right@example.org"})
    deliver_due()
    assert box.recipients == ["right@example.org"]
    assert (
        'data-test="mail-trouble"' not in as_writer.get(order.get_absolute_url()).content.decode()
    )


def test_a_message_is_looked_at_first(box: Box, order: WorkOrder, as_writer: Client) -> None:
    url = reverse("order_mail", args=[order.pk])
    assert as_writer.post(url, {"to": "a@example.org", "message": ""}).context["form"].errors
    looked = as_writer.post(url, {"to": "a@example.org", "message": "Bring the key", "look": "1"})
    assert "Bring the key" in looked.context["preview"].body
    assert not Mail.objects.exists()
    as_writer.post(url, {"to": "a@example.org", "message": "Bring the key"})
    deliver_due()
    assert "Bring the key" in box.taken[0].get_content()


def test_the_same_email_sent_twice_is_one(box: Box, order: WorkOrder, as_writer: Client) -> None:
    url = reverse("order_mail", args=[order.pk])
    (form,) = (one for one in forms_of(as_writer.get(url), url) if one.control("message"))
    data = form.data(message=["Bring the key"])
    first, second = as_writer.post(url, data), as_writer.post(url, data)
    assert second.headers["Location"] == first.headers["Location"]
    assert Mail.objects.count() == 1


def test_an_appointment_is_told(box: Box, as_writer: Client) -> None:
    order = factories.make_order(kind="survey_visit")
    Customer.objects.update(email="nadir@example.org")
    data = {
        "day": factories.tomorrow_at(9).date().isoformat(),
        "starts": "09:00",
        "ends": "10:00",
        "bay": factories.make_bay().pk,
        "technician": factories.make_user("technician").pk,
        "by_mail": "on",
    }
    as_writer.post(reverse("booking_new", args=[order.pk]), data)
    deliver_due()
    assert "09:00" in box.taken[0].get_content()


@pytest.mark.parametrize("answer", ["250 OK, kept as 17", "554 5.7.1 relay access denied"])
def test_a_manager_tries_the_server(box: Box, as_manager: Client, answer: str) -> None:
    box.at_text = answer
    shown = as_manager.post(reverse("mail_try"), {"to": "me@example.org"}, follow=True)
    assert answer in shown.content.decode()
    assert not Mail.objects.exists()


def test_the_shop_has_words_of_its_own(box: Box, as_manager: Client, order: WorkOrder) -> None:
    url = reverse("mail_text", args=["quote", order.customer.language])
    (form,) = (one for one in forms_of(as_manager.get(url), url) if one.control("body"))
    kept = as_manager.post(url, form.data())
    assert kept.status_code == 302
    assert MailText.objects.get().body == ""
    refused = as_manager.post(url, form.data(body=["Hello {nmae} {link}"]))
    assert "{nmae}" in str(refused.context["form"].errors["body"])
    as_manager.post(url, form.data(body=["Dear {name}: {link}"]))
    page = as_manager.get(reverse("quote_send", args=[order.pk])).content.decode()
    assert f"Dear {order.customer.name}:" in page
    assert as_manager.get(reverse("mail_text", args=["password", "de"])).status_code == 404


def test_a_forgotten_password_is_set_anew_by_email(
    box: Box, client: Client, technician: User
) -> None:
    User.objects.filter(pk=technician.pk).update(email="tomas@shop.example")
    assert reverse("password_reset") in client.get(reverse("login")).content.decode()
    for _again in range(2):
        client.post(reverse("password_reset"), {"email": "tomas@shop.example"})
    client.post(reverse("password_reset"), {"email": "stranger@example.org"})
    deliver_due()
    (message,) = box.taken
    link = re.search(r"https://shop\.example(\S+)", message.get_content())
    assert link is not None
    assert Mail.objects.get().body == ""
    page = client.get(link[1], follow=True)
    words = "quite another sentence 7"
    client.post(page.request["PATH_INFO"], {"new_password1": words, "new_password2": words})
    technician.refresh_from_db()
    assert technician.check_password(words)
    assert not client.get(link[1], follow=True).context["validlink"]


def test_no_password_by_email_without_a_server(client: Client, db: None) -> None:
    assert reverse("password_reset") not in client.get(reverse("login")).content.decode()
    answer = client.post(reverse("password_reset"), {"email": "a@example.org"})
    assert answer.context["form"].errors


REPORT = """\
From: postmaster@shop.example
To: desk@shop.example
Subject: Undelivered
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status; boundary="b"

--b
Content-Type: text/plain

It did not arrive.
--b
Content-Type: message/delivery-status

Reporting-MTA: dns; shop.example

Final-Recipient: rfc822; nadir@example.org
Action: {action}
Status: 5.2.2
Diagnostic-Code: smtp; 552 5.2.2 mailbox full

--b
Content-Type: {kind}

Message-ID: {message_id}
Subject: Quote

--b--
"""


@pytest.mark.parametrize("kind", ["message/rfc822", "text/rfc822-headers"])
def test_a_delivery_report_is_noted_on_its_order(box: Box, order: WorkOrder, kind: str) -> None:
    mail = Mail.objects.create(
        order=order, kind="message", to="nadir@example.org", state=MailState.SENT, language="de"
    )
    report = REPORT.format(action="failed", kind=kind, message_id=mail.message_id)
    note_returned(report.encode())
    mail.refresh_from_db()
    assert (mail.state, mail.said) == (MailState.BOUNCED, "552 5.2.2 mailbox full")
    for wrong in (
        b"Subject: hello\n\nno report",
        REPORT.format(action="delayed", kind=kind, message_id=mail.message_id).encode(),
        REPORT.format(action="failed", kind=kind, message_id="<other@x>").encode(),
    ):
        with pytest.raises(NoReport):
            note_returned(wrong)


def test_the_command_reads_a_report_from_its_input(monkeypatch: Any, db: None) -> None:
    import io

    class Input:
        buffer = io.BytesIO(b"Subject: hello\n\nno report")

    monkeypatch.setattr("sys.stdin", Input)
    with pytest.raises(CommandError):
        call_command("mail_returned")


def test_links_that_need_no_server() -> None:
    words = Words("A quote & more", "Line one\nline ?=&%ü")
    assert mailto("a@example.org", words) == (
        "mailto:a@example.org?subject=A%20quote%20%26%20more"
        "&body=Line%20one%0D%0Aline%20%3F%3D%26%25%C3%BC"
    )
    assert tel("+49 (30) 1234-56") == "tel:+49301234-56".replace("-", "")
    assert tel("none") == ""


def test_the_code_is_an_svg_without_style_and_reads_as_the_link() -> None:
    svg = qr_svg("https://shop.example/c/abc/")
    root = ElementTree.fromstring(svg)
    assert root.tag.endswith("svg")
    assert "style" not in svg
    assert "<script" not in svg


def test_a_reply_to_a_question_goes_out_and_ends_the_reminder(
    box: Box, order: WorkOrder, writer: User
) -> None:
    quote = factories.make_quote(order)
    WorkOrder.objects.filter(pk=order.pk).update(state="quoted")
    quote.order.refresh_from_db()
    assert not is_answered(quote)
    asked = question_ask(order=order, text="Will it rub?")
    assert is_answered(quote)
    answer_reply(answer=asked, by=writer, text="At full lock it may")
    deliver_due()
    assert box.recipients == ["nadir@example.org"]
    assert "At full lock it may" in box.taken[0].get_content()

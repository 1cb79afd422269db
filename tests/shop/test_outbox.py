"""Mail of the shop, against a real SMTP server: sent once, tried again, refused, unsure."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import override_settings
from django.utils import timezone

from shop.extensions.points import QUOTE_ANSWERED, QUOTE_PAPER
from shop.models import LogEntry, Mail, MailKind, MailState, MailText, Quote, ShopSettings, User
from shop.outbox.data import Words
from shop.outbox.services.delivery import (
    BACK_OFF,
    _take,
    deliver,
    deliver_due,
    mail_is_due,
    mail_is_expected,
)
from shop.outbox.services.following import link_opened, sent_and_seen
from shop.outbox.services.queue import mail_again, mail_bounced, mail_queue, mail_withdraw
from shop.outbox.services.reminders import remind_due
from shop.outbox.services.server import hand_over, message_for
from shop.outbox.services.words import check_places, mail_words
from shop.site.refusals import NotYours, Refused
from tests.factories import as_read, make_customer, make_line, make_order, make_quote, make_shop
from tests.smtp import Box, mail_server

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture
def box() -> Iterator[Box]:
    with mail_server() as box:
        yield box


@pytest.fixture
def quote(db: None) -> Quote:
    make_shop(name="Lindgrove", email="desk@lindgrove.example", phone="0123 45")
    order = make_order(state="quoted")
    order.customer.email = "nadir@example.org"
    order.customer.save()
    make_line(order)
    return make_quote(order)


def queued(quote: Quote, by: User | None, **more: Any) -> Mail:
    values = {"kind": MailKind.QUOTE, "to": "nadir@example.org", "quote": quote, **more}
    return mail_queue(order=quote.order, by=by, **values)


def acts(quote: Quote) -> list[str]:
    return [entry.what for entry in LogEntry.objects.filter(order=quote.order).order_by("pk")]


def let_pass(mail: Mail, **past: Any) -> None:
    Mail.objects.filter(pk=mail.pk).update(next_at=timezone.now() - dt.timedelta(**past))


def test_a_quote_goes_out_once_with_its_link_and_paper(
    box: Box, quote: Quote, writer: User, swap_plugs: Any
) -> None:
    swap_plugs(QUOTE_PAPER, lambda quote: b"%PDF-1.7 " + quote.number.encode())
    mail = queued(quote, writer, message="See you on Monday. Grüße")
    assert mail_is_due()
    deliver_due()
    deliver_due()
    mail.refresh_from_db()
    assert (mail.state, mail.attempts, mail.said) == (MailState.SENT, 1, "250 OK, kept as 17")
    assert not mail_is_due()
    assert not mail_is_expected()
    (message,) = box.taken
    assert (box.sender, box.recipients) == ("desk@shop.example", ["nadir@example.org"])
    assert message["Message-ID"] == mail.message_id
    assert message["Reply-To"] == "desk@lindgrove.example"
    assert "Lindgrove" in message["From"]
    assert message["Auto-Submitted"] is None
    assert quote.number in message["Subject"]
    text = message.get_body().get_content()  # type: ignore[union-attr]
    assert f"https://shop.example/c/{quote.order.token}/" in text
    assert "See you on Monday. Grüße" in text
    (paper,) = message.iter_attachments()
    assert paper.get_filename() == f"{quote.number}.pdf"
    assert paper.get_content() == b"%PDF-1.7 " + quote.number.encode()
    assert acts(quote)[-2:] == [f"Email written: {mail.subject}", f"Email sent: {mail.subject}"]


def test_it_speaks_the_language_of_the_customer(box: Box, quote: Quote, writer: User) -> None:
    MailText.objects.create(
        kind="quote", language="de", subject="Angebot {number}", body="Guten Tag {name}: {link}"
    )
    quote.order.customer.language = "de"
    quote.order.customer.save()
    queued(quote, writer)
    deliver_due()
    assert box.taken[0]["Subject"] == f"Angebot {quote.number}"
    assert box.taken[0]["Content-Language"] == "de"


def test_nothing_is_queued_where_the_act_fails(box: Box, quote: Quote, writer: User) -> None:
    with transaction.atomic():
        queued(quote, writer)
        transaction.set_rollback(True)
    assert not Mail.objects.exists()


@pytest.mark.parametrize("where", ["at_rcpt", "at_text"])
def test_a_server_that_is_busy_is_tried_again_later_and_later(
    box: Box, quote: Quote, writer: User, where: str
) -> None:
    setattr(box, where, "451 try again later")
    mail = queued(quote, writer)
    for failed in range(1, len(BACK_OFF) + 1):
        deliver_due()
        mail.refresh_from_db()
        assert (mail.state, mail.attempts) == (MailState.WAITING, failed)
        assert mail.said == "451 try again later"
        wait = mail.next_at - timezone.now()
        assert wait > dt.timedelta(minutes=BACK_OFF[failed - 1] - 0.5)
        assert not mail_is_due()
        assert mail_is_expected()
        let_pass(mail, seconds=1)
    deliver_due()
    mail.refresh_from_db()
    assert mail.state == MailState.GIVEN_UP
    assert acts(quote)[-1] == f"Email given up: {mail.subject}"
    assert not box.taken


def test_after_a_failure_it_arrives_once(box: Box, quote: Quote, writer: User) -> None:
    box.at_rcpt = "450 greylisted"
    mail = queued(quote, writer)
    deliver_due()
    box.at_rcpt = "250 OK"
    let_pass(mail, seconds=1)
    deliver_due()
    mail.refresh_from_db()
    assert (mail.state, mail.attempts, len(box.taken)) == (MailState.SENT, 2, 1)


@pytest.mark.parametrize("where", ["at_rcpt", "at_text"])
def test_a_refusal_for_good_is_shown_and_not_repeated(
    box: Box, quote: Quote, writer: User, where: str
) -> None:
    setattr(box, where, "550 no such mailbox")
    mail = queued(quote, writer)
    deliver_due()
    mail.refresh_from_db()
    assert (mail.state, mail.is_trouble, mail.said) == (
        MailState.REFUSED,
        True,
        "550 no such mailbox",
    )
    entry = LogEntry.objects.filter(order=quote.order).latest("pk")
    assert entry.what == f"Email refused: {mail.subject}"
    assert "550 no such mailbox" in entry.detail
    assert not mail_is_due()


def test_no_server_there_is_trouble_that_may_pass(quote: Quote, writer: User) -> None:
    with mail_server():
        mail = queued(quote, writer)
    with override_settings(EMAIL_HOST="127.0.0.1", EMAIL_PORT=1, EMAIL_USE_TLS=False):
        deliver_due()
    mail.refresh_from_db()
    assert mail.state == MailState.WAITING
    assert "ConnectionRefused" in mail.said


def test_a_server_without_tls_is_not_told_what_was_to_be_secret(
    box: Box, quote: Quote, writer: User
) -> None:
    mail = queued(quote, writer)
    with override_settings(EMAIL_USE_TLS=True):
        deliver_due()
    mail.refresh_from_db()
    assert mail.state == MailState.WAITING
    assert "STARTTLS" in mail.said
    assert not box.taken


def test_a_connection_that_breaks_within_the_text_leaves_it_unsure(
    box: Box, quote: Quote, writer: User
) -> None:
    box.takes_then_breaks = True
    mail = queued(quote, writer)
    deliver_due()
    mail.refresh_from_db()
    assert mail.state == MailState.UNSURE
    let_pass(mail, days=3)
    deliver_due()
    assert len(box.taken) == 1
    box.takes_then_breaks = False
    mail_again(mail=mail, by=writer)
    deliver_due()
    mail.refresh_from_db()
    assert mail.state == MailState.SENT
    assert {one["Message-ID"] for one in box.taken} == {mail.message_id}


def test_a_worker_that_died_before_the_text_is_followed_by_another(
    box: Box, quote: Quote, writer: User
) -> None:
    mail = queued(quote, writer)
    assert _take() == mail
    assert _take() is None
    Mail.objects.update(lease_until=timezone.now() - dt.timedelta(seconds=1))
    deliver_due()
    mail.refresh_from_db()
    assert (mail.state, len(box.taken)) == (MailState.SENT, 1)


def test_a_worker_taken_for_dead_hands_nothing_over(box: Box, quote: Quote, writer: User) -> None:
    queued(quote, writer)
    slow = _take()
    assert slow is not None
    Mail.objects.update(lease_until=timezone.now() - dt.timedelta(seconds=1))
    deliver_due()
    deliver(slow)
    assert len(box.taken) == 1


def test_a_mail_whose_worker_died_within_the_text_is_never_sent_by_itself(
    box: Box, quote: Quote, writer: User
) -> None:
    mail = queued(quote, writer)
    _take()
    Mail.objects.update(
        state=MailState.HANDING, lease_until=timezone.now() - dt.timedelta(seconds=1)
    )
    deliver_due()
    mail.refresh_from_db()
    assert (mail.state, box.taken) == (MailState.UNSURE, [])
    assert acts(quote)[-1] == f"Email may not have been sent: {mail.subject}"


def test_what_has_not_gone_can_be_taken_back(box: Box, quote: Quote, writer: User) -> None:
    mail = queued(quote, writer)
    mail_withdraw(mail=mail, by=writer)
    deliver_due()
    assert not box.taken
    with pytest.raises(Refused):
        mail_withdraw(mail=mail, by=writer)


def test_a_returned_mail_is_shown_with_its_reason(box: Box, quote: Quote, writer: User) -> None:
    mail = queued(quote, writer)
    with pytest.raises(Refused):
        mail_bounced(mail=mail, said="too early", by=writer)
    deliver_due()
    mail_bounced(mail=mail, said="mailbox full", by=writer)
    mail.refresh_from_db()
    assert (mail.state, mail.said) == (MailState.BOUNCED, "mailbox full")
    assert sent_and_seen([quote.order_id])[quote.order_id].trouble


def test_bad_addresses_people_and_servers_are_refused_by_name(
    quote: Quote, writer: User, technician: User
) -> None:
    with pytest.raises(Refused) as refused:
        queued(quote, writer)
    assert refused.value.field == "to"
    with mail_server():
        with pytest.raises(Refused) as refused:
            queued(quote, writer, to="nadir at example")
        assert refused.value.field == "to"
        mail = queued(quote, writer)
        with pytest.raises(NotYours):
            mail_withdraw(mail=mail, by=technician)


def test_an_address_is_kept_with_a_customer_who_has_none(
    box: Box, quote: Quote, writer: User
) -> None:
    customer = quote.order.customer
    customer.email = ""
    customer.save()
    queued(quote, writer, to="other@example.org")
    customer.refresh_from_db()
    assert customer.email == "other@example.org"
    queued(quote, writer, to="third@example.org")
    customer.refresh_from_db()
    assert customer.email == "other@example.org"


def test_the_first_opening_of_the_link_is_kept_once_a_quote(
    box: Box, quote: Quote, writer: User, client: Any
) -> None:
    order = quote.order
    told = sent_and_seen([order.pk])[order.pk]
    assert (told.mailed_at, told.seen_at) == (None, None)
    queued(quote, writer)
    assert sent_and_seen([order.pk])[order.pk].is_waiting
    deliver_due()
    link_opened(order=order)
    told = sent_and_seen([order.pk])[order.pk]
    assert told.mailed_to == "nadir@example.org"
    assert told.mailed_at is not None
    assert told.seen_at is not None
    link_opened(order=order)
    assert sent_and_seen([order.pk])[order.pk].seen_at == told.seen_at
    assert len([what for what in acts(quote) if "Link opened" in what]) == 1
    assert sent_and_seen([order.pk + 99]) == {}


@pytest.fixture
def unanswered(box: Box, quote: Quote, writer: User) -> Quote:
    """A quote emailed three days ago in a shop that reminds after two."""
    ShopSettings.objects.update(remind_after_days=2)
    queued(quote, writer)
    deliver_due()
    Mail.objects.update(sent_at=timezone.now() - dt.timedelta(days=3))
    return quote


def test_a_quote_is_reminded_of_once(box: Box, unanswered: Quote) -> None:
    remind_due()
    remind_due()
    deliver_due()
    remind_due()
    assert len(box.taken) == 2
    assert box.taken[1]["Auto-Submitted"] == "auto-generated"
    assert Mail.objects.filter(kind=MailKind.REMINDER).get().by is None


@pytest.mark.parametrize("days", [None, 4])
def test_no_reminder_before_its_day_or_where_the_shop_wants_none(
    box: Box, unanswered: Quote, days: int | None
) -> None:
    ShopSettings.objects.update(remind_after_days=days)
    remind_due()
    assert Mail.objects.count() == 1


def test_an_answer_stops_the_reminder(box: Box, unanswered: Quote, swap_plugs: Any) -> None:
    remind_due()
    swap_plugs(QUOTE_ANSWERED, lambda quote: True)
    deliver_due()
    assert Mail.objects.get(kind=MailKind.REMINDER).state == MailState.WITHDRAWN
    Mail.objects.filter(kind=MailKind.REMINDER).delete()
    remind_due()
    assert Mail.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("body", Words("", "Hello {nmae}, {link}")),
        ("subject", Words("{everything}", "")),
        ("body", Words("", "Hello {name")),
        ("body", Words("", "Hello {name}")),
    ],
)
def test_words_of_the_shop_are_refused_with_the_field(field: str, words: Words) -> None:
    with pytest.raises(Refused) as refused:
        check_places(MailKind.QUOTE, words)
    assert refused.value.field == field


def test_no_place_of_the_own_words_is_unknown(quote: Quote) -> None:
    for kind in MailKind:
        if kind != MailKind.PASSWORD:
            words = mail_words(kind, quote.order, quote=quote, message="{name}", time="Monday")
            assert "{" not in words.body.replace("{name}", "")
            assert "{" not in words.subject


def test_a_try_by_hand_shows_the_answer(box: Box) -> None:
    make_shop()
    message = message_for(to="me@example.org", subject="A try", body="x", message_id="<1@a>")
    assert hand_over(message).said == "250 OK, kept as 17"
    box.at_rcpt = "554 5.7.1 relay access denied"
    refused = hand_over(message)
    assert (refused.is_refused, refused.said) == (True, "554 5.7.1 relay access denied")


def test_two_orders_are_told_apart(quote: Quote) -> None:
    other = make_quote(make_order(customer=make_customer(), state="quoted"))
    assert set(sent_and_seen([quote.order_id, other.order_id])) == {quote.order_id, other.order_id}
    assert as_read(quote)

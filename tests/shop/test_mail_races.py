"""Several workers at one outbox: each mail has one of them, and a quote has one reminder.

Run on PostgreSQL, as the other races are: threads of a test on SQLite share a database in memory,
which locks whole tables and does not wait.
"""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable

import pytest
from django.db import connection
from django.utils import timezone

from shop.models import Mail, MailKind, MailState, ShopSettings
from shop.outbox.services.delivery import deliver_due
from shop.outbox.services.queue import mail_queue
from shop.outbox.services.reminders import remind_due
from tests.factories import make_line, make_order, make_quote, make_shop, make_user
from tests.smtp import mail_server

pytestmark = [
    pytest.mark.postgres,
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite's tests share one memory"),
]


def at_once(act: Callable[[], None], count: int = 4) -> None:
    start = threading.Barrier(count)
    failed: list[Exception] = []

    def run() -> None:
        try:
            start.wait(timeout=10)
            act()
        except Exception as error:
            failed.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert failed == []


def test_four_workers_send_each_mail_once_and_remind_once() -> None:
    make_shop()
    ShopSettings.objects.update(remind_after_days=2)
    writer = make_user("writer")
    with mail_server() as box:
        for _ in range(5):
            order = make_order(state="quoted")
            make_line(order)
            quote = make_quote(order)
            mail_queue(order=order, kind=MailKind.QUOTE, to="a@example.org", by=writer, quote=quote)
        at_once(deliver_due)
        assert len(box.taken) == 5
        assert set(Mail.objects.values_list("state", "attempts")) == {(MailState.SENT, 1)}
        Mail.objects.update(sent_at=timezone.now() - dt.timedelta(days=3))
        at_once(remind_due)
        at_once(deliver_due)
        assert Mail.objects.filter(kind=MailKind.REMINDER, state=MailState.SENT).count() == 5
        assert len({one["Message-ID"] for one in box.taken}) == len(box.taken) == 10

"""The chore of sending: take a mail that is due, hand it over, keep what came of it."""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Callable

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django.utils.crypto import get_random_string
from django.utils.translation import gettext_lazy as _

from shop.extensions.background import Chore
from shop.extensions.points import QUOTE_PAPER
from shop.models import Mail, MailKind, MailState
from shop.outbox.data import Handed
from shop.outbox.services.following import is_answered
from shop.outbox.services.queue import mail_log
from shop.outbox.services.server import hand_over, has_server, message_for

logger = logging.getLogger("archroom.mail")

#: For so long a mail is held by the worker that talks to the server.
LEASE = dt.timedelta(minutes=5)
#: Minutes until the next try, by the tries that failed: two days in all, then it is given up.
BACK_OFF = (1, 5, 15, 60, 180, 360, 720, 1440)


class MailTaken(Exception):
    """Another worker took this one for dead, and the mail with it."""


def _due(now: dt.datetime) -> QuerySet[Mail]:
    """Waiting mail whose time has come, and what a dead worker held."""
    waiting = Q(state=MailState.WAITING, next_at__lte=now)
    held = Q(state__in=(MailState.TAKEN, MailState.HANDING), lease_until__lt=now)
    return Mail.objects.filter(waiting | held)


def mail_is_due() -> bool:
    return has_server() and _due(timezone.now()).exists()


def mail_is_expected() -> bool:
    """Whether mail waits for its next try."""
    return has_server() and Mail.objects.filter(state=MailState.WAITING).exists()


def deliver_due(is_ending: Callable[[], bool] = lambda: False) -> None:
    """Send what is due, one after another."""
    while not is_ending() and (mail := _take()) is not None:
        deliver(mail)


def _take() -> Mail | None:
    """The next mail, held from now on; one that died while its text went over becomes unsure."""
    while True:
        now = timezone.now()
        mail = _due(now).order_by("next_at", "pk").first()
        if mail is None:
            return None
        mine = _due(now).filter(pk=mail.pk, state=mail.state, worker=mail.worker)
        if mail.state == MailState.HANDING:
            with transaction.atomic():
                if mine.update(state=MailState.UNSURE, worker=""):
                    _settle_log(mail, MailState.UNSURE, "")
            continue
        worker = get_random_string(32)
        if mine.update(
            state=MailState.TAKEN,
            worker=worker,
            lease_until=now + LEASE,
            attempts=F("attempts") + 1,
        ):
            return Mail.objects.select_related(
                "order__customer", "quote__order__customer", "quote__authorisation"
            ).get(pk=mail.pk)


def deliver(mail: Mail) -> None:
    """One try with a mail that is held."""
    if mail.kind == MailKind.REMINDER and mail.quote and is_answered(mail.quote):
        _keep(mail, MailState.WITHDRAWN, "")
        return
    try:
        message = message_for(
            to=mail.to,
            subject=mail.subject,
            body=mail.body,
            message_id=mail.message_id,
            language=mail.language,
            pdf=_paper(mail),
            by_itself=mail.by is None,
        )
        handed = hand_over(message, before_text=lambda: _hand(mail))
    except MailTaken:
        logger.warning("Mail %s was taken over by another worker.", mail.pk)
        return
    except Exception as error:
        logger.exception("Mail %s failed.", mail.pk)
        handed = Handed(f"{type(error).__name__}: {error}")
    _settle(mail, handed)


def _paper(mail: Mail) -> tuple[str, bytes] | None:
    """The quote that goes with it."""
    write = QUOTE_PAPER.plug
    if mail.quote is None or write is None:
        return None
    return f"{mail.quote.number}.pdf", write(mail.quote)


def _hand(mail: Mail) -> None:
    """Write down that the text goes over from now on. Raises MailTaken."""
    mine = Mail.objects.filter(pk=mail.pk, worker=mail.worker, state=MailState.TAKEN)
    if not mine.update(state=MailState.HANDING, lease_until=timezone.now() + LEASE):
        raise MailTaken


def _settle(mail: Mail, handed: Handed) -> None:
    if handed.is_taken:
        _keep(mail, MailState.SENT, handed.said)
    elif handed.is_refused:
        _keep(mail, MailState.REFUSED, handed.said)
    elif handed.is_unsure:
        _keep(mail, MailState.UNSURE, handed.said)
    elif mail.attempts > len(BACK_OFF):
        _keep(mail, MailState.GIVEN_UP, handed.said)
    else:
        _keep(mail, MailState.WAITING, handed.said)


@transaction.atomic
def _keep(mail: Mail, state: MailState, said: str) -> None:
    """Let go of a mail with what came of it; nothing where another worker holds it by now."""
    now = timezone.now()
    values: dict[str, object] = {"state": state, "said": said, "worker": "", "lease_until": None}
    if state == MailState.WAITING:
        values["next_at"] = now + dt.timedelta(minutes=BACK_OFF[mail.attempts - 1])
    elif mail.kind == MailKind.PASSWORD:
        values["body"] = ""  # its link opens an account
    if state == MailState.SENT:
        values["sent_at"] = now
    held = Mail.objects.filter(
        pk=mail.pk, worker=mail.worker, state__in=(MailState.TAKEN, MailState.HANDING)
    )
    if held.update(**values):
        _settle_log(mail, state, said)


def _settle_log(mail: Mail, state: MailState, said: str) -> None:
    """What the order's log says of an end; a try that failed is no end."""
    what = {
        MailState.SENT: _("Email sent: {subject}"),
        MailState.REFUSED: _("Email refused: {subject}"),
        MailState.GIVEN_UP: _("Email given up: {subject}"),
        MailState.UNSURE: _("Email may not have been sent: {subject}"),
    }.get(state)
    if what is not None:
        mail_log(mail, what, detail=f"{mail.to}. {said}".strip())


DELIVERY = Chore("outgoing mail", mail_is_due, deliver_due, mail_is_expected)

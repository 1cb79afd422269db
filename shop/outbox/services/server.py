"""The shop's mail server: one try to hand a message over, and what it answered."""

from __future__ import annotations

import smtplib
from collections.abc import Callable
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import formataddr, formatdate, parseaddr

from django.conf import settings
from django.core.mail.backends.smtp import EmailBackend
from django.utils.translation import gettext as _

from common.shortened import shortened
from shop.models import ShopSettings
from shop.outbox.data import Handed

#: Characters kept of what a server says.
MOST_SAID = 500


def has_server() -> bool:
    """Whether a mail server is set (ARCHROOM_MAIL_HOST)."""
    return bool(settings.EMAIL_HOST)


def server_named() -> str:
    """The server as it is set, for people: never its password."""
    return f"{settings.EMAIL_HOST}:{settings.EMAIL_PORT}" if has_server() else ""


def message_for(
    *,
    to: str,
    subject: str,
    body: str,
    message_id: str,
    language: str = "",
    pdf: tuple[str, bytes] | None = None,
    by_itself: bool = False,
) -> EmailMessage:
    """A message (RFC 5322), from the shop, answered to the shop's own address.

    ``pdf`` is a name and its bytes. ``by_itself`` marks what no person sent (RFC 3834).
    """
    shop = ShopSettings.load()
    message = EmailMessage()
    message["Subject"] = subject
    message["From"] = formataddr((shop.name, parseaddr(settings.DEFAULT_FROM_EMAIL)[1]))
    message["To"] = to
    message["Date"] = formatdate(localtime=True)
    message["Message-ID"] = message_id
    if shop.email:
        message["Reply-To"] = shop.email
    if by_itself:
        message["Auto-Submitted"] = "auto-generated"
    message.set_content(body, cte="quoted-printable")
    if pdf:
        name, content = pdf
        message.add_attachment(content, maintype="application", subtype="pdf", filename=name)
    if language:
        message["Content-Language"] = language
    return message


def hand_over(message: EmailMessage, *, before_text: Callable[[], None] = lambda: None) -> Handed:
    """Try once to hand a message to the server.

    ``before_text`` is called when the server has taken sender and recipient, and nothing was
    handed over yet; what it raises ends the try. A 5xx answer refuses for good, a 4xx answer and
    a server that cannot be reached or signed in to may do better later. A connection that breaks
    while the text goes over leaves it unsure.
    """
    if not has_server():
        return Handed(_("No mail server is set."))
    backend = EmailBackend(timeout=settings.EMAIL_TIMEOUT)
    try:
        backend.open()
    except (smtplib.SMTPException, OSError) as error:
        return Handed(_told(error))
    server = backend.connection
    if server is None:
        return Handed(_("No mail server is set."))
    try:
        return _talk(server, message, before_text)
    finally:
        _leave(server)


def _talk(server: smtplib.SMTP, message: EmailMessage, before_text: Callable[[], None]) -> Handed:
    sender, to = parseaddr(settings.DEFAULT_FROM_EMAIL)[1], str(message["To"])
    try:
        server.ehlo_or_helo_if_needed()
        for code, answer in (server.mail(sender), server.rcpt(to)):
            if code not in (250, 251):
                return Handed(_said(code, answer), is_refused=500 <= code < 600)
    except (smtplib.SMTPException, OSError) as error:
        return Handed(_told(error))
    before_text()
    try:
        code, answer = server.data(message.as_bytes(policy=SMTP))
    except smtplib.SMTPDataError as error:
        return Handed(_told(error), is_refused=500 <= error.smtp_code < 600)
    except (smtplib.SMTPException, OSError) as error:
        return Handed(_told(error), is_unsure=True)
    return Handed(_said(code, answer), is_taken=code == 250, is_refused=500 <= code < 600)


def _leave(server: smtplib.SMTP) -> None:
    """Say good-bye; what was taken stays taken where the other side has gone already."""
    try:
        server.quit()
    except (smtplib.SMTPException, OSError):
        server.close()


def _said(code: int, answer: bytes) -> str:
    return shortened(f"{code} {answer.decode('utf-8', 'replace')}", MOST_SAID)


def _told(error: Exception) -> str:
    if isinstance(error, smtplib.SMTPResponseException):
        answer = error.smtp_error
        return _said(error.smtp_code, answer if isinstance(answer, bytes) else answer.encode())
    return shortened(f"{type(error).__name__}: {error}", MOST_SAID)

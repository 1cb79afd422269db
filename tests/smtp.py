"""A real SMTP server for tests: on a free port of this machine, with answers to order."""

from __future__ import annotations

import email
import email.policy
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from email.message import EmailMessage
from typing import Any

from aiosmtpd.controller import Controller
from django.test import override_settings


class Box:
    """What the server took, and how it answers: at ``rcpt``, and once the text is there."""

    def __init__(self) -> None:
        self.taken: list[EmailMessage] = []
        self.recipients: list[str] = []
        self.sender = ""
        self.at_rcpt = "250 OK"
        self.at_text = "250 OK, kept as 17"
        self.asked = 0
        #: Set once the text is there, and waited for before the answer.
        self.has_text, self.may_answer = threading.Event(), threading.Event()
        self.may_answer.set()
        self.takes_then_breaks = False

    async def handle_RCPT(
        self, server: Any, session: Any, envelope: Any, address: str, options: Any
    ) -> str:
        self.asked += 1
        if self.at_rcpt.startswith("250"):
            envelope.rcpt_tos.append(address)
        return self.at_rcpt

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        if self.at_text.startswith("250"):
            parsed = email.message_from_bytes(envelope.content, policy=email.policy.default)
            assert isinstance(parsed, EmailMessage)
            self.taken.append(parsed)
            self.recipients += envelope.rcpt_tos
            self.sender = envelope.mail_from
        if self.takes_then_breaks:
            server.transport.abort()
        return self.at_text


class AnyPort(Controller):
    """On a port that the system chooses."""

    def _trigger_server(self) -> None:
        assert self.server is not None
        self.port = self.server.sockets[0].getsockname()[1]
        super()._trigger_server()


@contextmanager
def mail_server(box: Box | None = None, **more: Any) -> Iterator[Box]:
    """A server that takes mail, set as the shop's own."""
    box = box or Box()
    controller = AnyPort(box, hostname="127.0.0.1", port=0, **more)
    controller.start()
    try:
        with override_settings(
            EMAIL_HOST="127.0.0.1",
            EMAIL_PORT=controller.port,
            EMAIL_USE_TLS=False,
            EMAIL_USE_SSL=False,
            EMAIL_HOST_USER="",
            EMAIL_HOST_PASSWORD="",
            DEFAULT_FROM_EMAIL="desk@shop.example",
            SITE_URL="https://shop.example",
        ):
            yield box
    finally:
        controller.stop()

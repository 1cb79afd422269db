"""A real SMTP server for tests: on a free port of this machine, with answers to order."""

from __future__ import annotations

import asyncio
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
        #: Where the server keeps its client waiting, "rcpt" or "text"; then ``is_held`` is set.
        self.holds_at = ""
        self.is_held = threading.Event()
        self.takes_then_breaks = False

    async def _hold(self, at: str) -> None:
        while self.holds_at == at:
            self.is_held.set()
            await asyncio.sleep(0.02)

    async def handle_RCPT(
        self, server: Any, session: Any, envelope: Any, address: str, options: Any
    ) -> str:
        await self._hold("rcpt")
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
        await self._hold("text")
        if self.takes_then_breaks:
            server.transport.abort()
        return self.at_text


class AnyPort(Controller):
    """On a port that the system chooses."""

    def _trigger_server(self) -> None:
        assert isinstance(self.server, asyncio.Server)
        self.port = self.server.sockets[0].getsockname()[1]
        super()._trigger_server()  # type: ignore[no-untyped-call]


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

"""``manage.py mail_returned``: note mail that came back, from a delivery report on the input."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.outbox.services.returned import NoReport, note_returned


class Command(BaseCommand):
    help = (
        "Read a delivery report (RFC 3464) and note on the order that its mail came back. For the "
        "mail server to call with each mail that arrives at the address in ARCHROOM_MAIL_FROM."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            mail = note_returned(sys.stdin.buffer.read())
        except NoReport as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{mail.to}: {mail.said}")

"""Email that waits, was sent or came back, and the shop's own words for it."""

from __future__ import annotations

import secrets
from typing import ClassVar
from urllib.parse import urlsplit

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.orders import WorkOrder
from shop.models.people import User
from shop.models.quotes import Quote
from shop.models.versioned import Versioned


class MailKind(models.TextChoices):
    """What an email is about."""

    QUOTE = "quote", _("Quote")
    REMINDER = "reminder", _("Reminder of a quote")
    ANSWER = "answer", _("Answer to a question")
    APPOINTMENT = "appointment", _("Appointment")
    MESSAGE = "message", _("Link to the customer's page")
    PASSWORD = "password", _("New password")


class MailState(models.TextChoices):
    """Where an email stands.

    TAKEN: a worker talks to the server, which has not got the text yet. HANDING: the text goes
    over. A worker that dies before HANDING is followed by the next one; one that dies in it
    leaves the mail UNSURE, since the server may have taken it.
    """

    WAITING = "waiting", _("waiting")
    TAKEN = "taken", _("being sent")
    HANDING = "handing", _("being handed over")
    SENT = "sent", _("sent")
    REFUSED = "refused", _("refused")
    GIVEN_UP = "given_up", _("given up")
    UNSURE = "unsure", _("not known whether it was sent")
    BOUNCED = "bounced", _("came back")
    WITHDRAWN = "withdrawn", _("withdrawn")


def new_message_id() -> str:
    """A Message-ID (RFC 5322) in the name of the site."""
    host = urlsplit(settings.SITE_URL).hostname or "localhost"
    return f"<{secrets.token_hex(16)}@{host}>"


class Mail(models.Model):
    """One email to one address, written down in the transaction of the act that it tells.

    ``message_id`` stays the same however often it is tried. ``said`` is what the server or the
    returned mail said last, ``next_at`` when it is tried (again). ``by`` is empty for what the
    program sends by itself.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, null=True, related_name="mails")
    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, null=True, related_name="mails")
    kind = models.CharField(max_length=11, choices=MailKind.choices)
    to = models.EmailField(_("to"))
    subject = models.CharField(_("subject"), max_length=200)
    body = models.TextField(_("text"))
    language = models.CharField(max_length=10)
    message_id = models.CharField(max_length=320, unique=True, default=new_message_id)
    state = models.CharField(max_length=9, choices=MailState.choices, default=MailState.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    next_at = models.DateTimeField(default=timezone.now)
    worker = models.CharField(max_length=32, blank=True)
    lease_until = models.DateTimeField(null=True)
    said = models.TextField(blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    sent_at = models.DateTimeField(null=True)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        indexes: ClassVar = [models.Index(fields=["state", "next_at"], name="mail_to_send")]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(state__in=[str(state.value) for state in MailState]),
                name="mail_state_known",
            ),
            models.CheckConstraint(
                condition=models.Q(kind__in=[str(kind.value) for kind in MailKind]),
                name="mail_kind_known",
            ),
            models.UniqueConstraint(
                fields=["quote"],
                condition=models.Q(kind="reminder"),
                name="mail_one_reminder_a_quote",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.subject} ({self.to})"

    @property
    def is_trouble(self) -> bool:
        """Whether people have to do something about it."""
        return self.state in TROUBLED

    @property
    def is_under_way(self) -> bool:
        return self.state in (MailState.WAITING, MailState.TAKEN, MailState.HANDING)


TROUBLED = (MailState.REFUSED, MailState.GIVEN_UP, MailState.UNSURE, MailState.BOUNCED)


class MailText(Versioned):
    """The shop's own words for a kind of email in a language; empty ones are the program's."""

    kind = models.CharField(max_length=11, choices=MailKind.choices)
    language = models.CharField(max_length=10)
    subject = models.CharField(_("subject"), max_length=200, blank=True)
    body = models.TextField(_("text"), blank=True)

    class Meta:
        ordering: ClassVar = ["kind", "language"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["kind", "language"], name="mail_text_once")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} ({self.language})"

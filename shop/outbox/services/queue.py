"""Mail written down, sent again, and withdrawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction
from django.utils import timezone
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.background.services import see_to_it
from shop.languages import speech_of
from shop.models import Booking, Customer, Mail, MailKind, MailState, Quote, User, WorkOrder
from shop.orders.services.log import log_write
from shop.outbox.services.server import has_server
from shop.outbox.services.words import mail_words
from shop.site.refusals import NotYours, Refused

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

#: The program itself in the log.
PROGRAM = "Archroom"
#: Kinds that people may write from an order's page.
WRITTEN = (MailKind.QUOTE, MailKind.MESSAGE)


@transaction.atomic
def mail_queue(
    *,
    order: WorkOrder,
    kind: MailKind,
    to: str,
    by: User | None,
    quote: Quote | None = None,
    message: str = "",
    time: str = "",
    link: str = "",
) -> Mail:
    """Write an email to an order's customer down; a worker sends it after the transaction.

    Call it in the transaction of the act that it tells. ``by`` None is the program itself. An
    address for a customer who has none on record is kept with them. Raises Refused.
    """
    if not has_server():
        raise Refused(_("No mail server is set, so nothing can be sent by email."), field="to")
    to = _address(to)
    if kind in (MailKind.QUOTE, MailKind.REMINDER) and quote is None:
        raise Refused(_("No quote has been sent yet."))
    words = mail_words(kind, order, quote=quote, message=message, time=time, link=link)
    mail = Mail.objects.create(
        order=order,
        quote=quote,
        kind=kind,
        to=to,
        subject=words.subject,
        body=words.body,
        language=speech_of(order).language.code,
        by=by,
    )
    Customer.objects.filter(pk=order.customer_id, email="").update(email=to)
    mail_log(mail, gettext_lazy("Email written: {subject}"), detail=to, by=by)
    transaction.on_commit(see_to_it)
    return mail


def _address(typed: str) -> str:
    """An address as servers know it: a domain in other letters is written in ASCII (RFC 3492)."""
    to = typed.strip()
    try:
        validate_email(to)
        name, _at, domain = to.rpartition("@")
        name.encode("ascii")
        return f"{name}@{domain.encode('idna').decode('ascii')}"
    except (ValidationError, UnicodeError) as error:
        raise Refused(
            _("Enter an email address, for example name@example.org."), field="to"
        ) from error


def appointment_mail_queue(*, booking: Booking, by: User, link: str = "") -> Mail:
    """Tell a customer with an address on record day and time, in the transaction of the booking."""
    order = booking.order
    speech = speech_of(order)
    return mail_queue(
        order=order,
        kind=MailKind.APPOINTMENT,
        to=order.customer.email,
        by=by,
        time=f"{speech.moment(booking.starts_at)} – {speech.clock(booking.ends_at)}",
        link=link,
    )


@transaction.atomic
def mail_again(*, mail: Mail, by: User, to: str = "") -> Mail:
    """Send a mail that did not arrive, or may not have, again: to the same address under the same
    Message-ID, or to another one."""
    row = _open_for(mail, by)
    if row.is_under_way or row.state == MailState.SENT:
        raise Refused(_("This email is already sent or on its way."))
    if to and (address := _address(to)) != row.to:
        return _to_another(row, address, by)
    row.state, row.attempts, row.next_at, row.said = MailState.WAITING, 0, timezone.now(), ""
    row.save(update_fields=["state", "attempts", "next_at", "said"])
    mail_log(row, gettext_lazy("Email to be sent again: {subject}"), detail=row.to, by=by)
    transaction.on_commit(see_to_it)
    return row


def _to_another(mail: Mail, to: str, by: User) -> Mail:
    """The same words to another address: another email, with a Message-ID of its own."""
    kind = MailKind.QUOTE if mail.kind == MailKind.REMINDER else mail.kind
    other = Mail.objects.create(
        order=mail.order,
        quote=mail.quote,
        kind=kind,
        to=to,
        subject=mail.subject,
        body=mail.body,
        language=mail.language,
        by=by,
    )
    mail_log(other, gettext_lazy("Email written: {subject}"), detail=to, by=by)
    transaction.on_commit(see_to_it)
    return other


@transaction.atomic
def mail_withdraw(*, mail: Mail, by: User) -> None:
    """Take back a mail that no server has yet."""
    row = _open_for(mail, by)
    taken_back = Mail.objects.filter(pk=row.pk, state=MailState.WAITING).update(
        state=MailState.WITHDRAWN
    )
    if not taken_back:
        raise Refused(_("This email cannot be taken back any more."))
    mail_log(row, gettext_lazy("Email withdrawn: {subject}"), detail=row.to, by=by)


@transaction.atomic
def mail_bounced(*, mail: Mail, said: str, by: User | None) -> None:
    """A mail that a server had taken came back, for the reason that ``said`` gives."""
    row = Mail.objects.select_for_update().get(pk=mail.pk)
    if by is not None:
        _open_for(row, by)
    if row.state not in (MailState.SENT, MailState.UNSURE):
        raise Refused(_("Only an email that was sent can come back."))
    if not said.strip():
        raise Refused(_("Enter what the returned email says."), field="said")
    row.state, row.said = MailState.BOUNCED, said.strip()
    row.save(update_fields=["state", "said"])
    mail_log(row, gettext_lazy("Email came back: {subject}"), detail=f"{row.to}: {row.said}", by=by)


def _open_for(mail: Mail, by: User) -> Mail:
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can send email."))
    return Mail.objects.select_for_update().get(pk=mail.pk)


def mail_log(mail: Mail, what: _StrPromise, *, detail: str, by: User | None = None) -> None:
    """An entry of the order's log; ``what`` may name the subject in its braces."""
    if mail.order is not None:
        log_write(
            order=mail.order,
            by=by,
            who="" if by else PROGRAM,
            what=format_lazy(what, subject=mail.subject),
            detail=detail,
        )

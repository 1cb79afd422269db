"""Delivery reports (RFC 3464): which mail came back, and why."""

from __future__ import annotations

import email
import email.policy
from email.message import EmailMessage

from shop.models import Mail
from shop.outbox.services.queue import mail_bounced
from shop.site.refusals import Refused


class NoReport(ValueError):
    """Not a report that a mail of this shop failed; the text says why."""


def note_returned(raw: bytes) -> Mail:
    """Note on its order that a mail came back. Raises NoReport."""
    message = email.message_from_bytes(raw, policy=email.policy.default)
    if message.get_content_type() != "multipart/report":
        raise NoReport("This is no delivery report (multipart/report).")
    said, message_id = "", ""
    for part in message.walk():
        kind = part.get_content_type()
        if kind == "message/delivery-status":
            said = said or _failure(part)
        elif kind == "message/rfc822":
            message_id = message_id or _id_of(part.get_payload(0))
        elif kind == "text/rfc822-headers":
            message_id = message_id or _id_of(email.message_from_string(str(part.get_payload())))
    if not said:
        raise NoReport("The report names no failed recipient.")
    mail = Mail.objects.filter(message_id=message_id).first() if message_id else None
    if mail is None:
        raise NoReport(f"No mail of this shop has the Message-ID {message_id or '(none)'}.")
    try:
        mail_bounced(mail=mail, said=said, by=None)
    except Refused as refused:
        raise NoReport(refused.reason) from refused
    mail.refresh_from_db()
    return mail


def _failure(report: object) -> str:
    """The diagnostic of the first recipient that failed."""
    blocks = report.get_payload() if isinstance(report, EmailMessage) else []
    for block in blocks if isinstance(blocks, list) else []:
        if isinstance(block, str):
            continue
        if str(block.get("Action", "")).strip().lower() == "failed":
            code = str(block.get("Diagnostic-Code", "")).partition(";")[2].strip()
            return " ".join((code or str(block.get("Status", ""))).split()) or "failed"
    return ""


def _id_of(message: object) -> str:
    return str(message["Message-ID"] or "").strip() if hasattr(message, "keys") else ""  # type: ignore[index]

"""What the pages show of an order's email and of its customer's link."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any
from urllib.parse import quote as quoted

import segno
from django.utils.safestring import SafeString, mark_safe

from shop.languages import speech_of
from shop.models import Mail, MailKind, Quote, WorkOrder
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.outbox.data import Words
from shop.outbox.services.following import sent_and_seen
from shop.outbox.services.server import has_server
from shop.outbox.services.words import link_of, mail_words

if TYPE_CHECKING:
    from django.http import HttpRequest


def sent(order: WorkOrder) -> dict[str, Any]:
    """The mails of an order, the newest first, and what became of its latest quote."""
    mails = list(Mail.objects.filter(order=order).select_related("by"))
    return {
        "order": order,
        "mails": mails,
        "troubles": [mail for mail in mails[:1] if mail.is_trouble],
        "followed": sent_and_seen([order.pk]).get(order.pk),
    }


def link_context(request: HttpRequest, order: WorkOrder) -> dict[str, Any]:
    """The customer's link in every form in which it can be passed on without a mail server."""
    link = link_of(order, request)
    quote = waiting_quote(order)
    kind = MailKind.QUOTE if quote else MailKind.MESSAGE
    words = mail_words(kind, order, quote=quote, link=link)
    return {
        "link": link,
        "qr": qr_svg(link),
        "mailto": mailto(order.customer.email, words),
        "tel": tel(order.customer.phone),
        "has_server": has_server(),
    }


def waiting_quote(order: WorkOrder) -> Quote | None:
    """The quote that an email would be about: the latest, unless it is authorised."""
    quote = quote_latest(order) if order.is_open else None
    return quote if quote is not None and authorisation_of(quote) is None else None


def mailto(to: str, words: Words) -> str:
    """An address that opens a mail program with the email written (RFC 6068)."""
    text = quoted("\r\n".join(words.body.splitlines()))
    return f"mailto:{quoted(to, safe='@')}?subject={quoted(words.subject)}&body={text}"


def tel(phone: str) -> str:
    """An address that dials (RFC 3966); empty for what holds no number."""
    digits = re.sub(r"[^\d+]", "", phone.split("/")[0] if "+" in phone else phone)
    return f"tel:{digits}" if re.search(r"\d", digits) else ""


def qr_svg(text: str) -> SafeString:
    """A QR code (ISO/IEC 18004) as an SVG that needs no style and no script."""
    svg = segno.make(text, error="m", micro=False).svg_inline(
        scale=4, border=4, dark="#000", light="#fff", svgclass="qr", lineclass=None
    )
    return mark_safe(svg)  # noqa: S308 - made here, of nothing but squares


def quote_words(quote: Quote) -> Words:
    """The email with a quote that is not kept yet."""
    return mail_words(MailKind.QUOTE, quote.order, quote=quote)


def preview(order: WorkOrder, *, message: str = "") -> Words:
    """The email as it would go out now."""
    quote = waiting_quote(order)
    kind = MailKind.QUOTE if quote else MailKind.MESSAGE
    said = message
    if kind == MailKind.MESSAGE and not said.strip():
        said = speech_of(order).say("(your message)")
    return mail_words(kind, order, quote=quote, message=said)

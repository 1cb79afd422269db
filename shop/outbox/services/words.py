"""What an email says: the shop's own words or the program's, in the customer's language."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from common.shortened import shortened
from shop.languages import Speech, speech_of
from shop.models import MailKind, MailText, Quote, ShopSettings, WorkOrder
from shop.orders.services.access import customer_link
from shop.outbox.data import Words
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from django.http import HttpRequest

#: Places that a text may name, with what stands there.
PLACES: Mapping[str, str] = {
    "name": gettext_noop("the customer's name"),
    "car": gettext_noop("the vehicle"),
    "number": gettext_noop("number of the order or quote"),
    "total": gettext_noop("total of the quote"),
    "link": gettext_noop("address of the customer's page"),
    "message": gettext_noop("what is typed for this customer"),
    "time": gettext_noop("day and time of the appointment"),
    "shop": gettext_noop("name of the shop"),
    "contact": gettext_noop("telephone and email of the shop"),
}
#: The program's words by kind: subject and text.
OWN: Mapping[str, tuple[str, str]] = {
    MailKind.QUOTE: (
        gettext_noop("Quote {number} from {shop}"),
        gettext_noop(
            "Hello {name},\n\nquote {number} for your {car} is ready: {total}. On this page you"
            " can read it, ask about it and authorise the work:\n{link}\n\n{message}\n\n"
            "{shop}\n{contact}"
        ),
    ),
    MailKind.REMINDER: (
        gettext_noop("Quote {number} from {shop} is waiting for your answer"),
        gettext_noop(
            "Hello {name},\n\nwe sent you quote {number} for your {car} and have not heard from"
            " you yet. It is still here, and a question or a no is an answer, too:\n{link}\n\n"
            "{shop}\n{contact}"
        ),
    ),
    MailKind.ANSWER: (
        gettext_noop("Your question about {number}"),
        gettext_noop(
            "Hello {name},\n\nyou asked about the work on your {car}. Our answer:\n\n{message}\n\n"
            "Everything about the job is on your page:\n{link}\n\n{shop}\n{contact}"
        ),
    ),
    MailKind.APPOINTMENT: (
        gettext_noop("Your appointment at {shop}"),
        gettext_noop(
            "Hello {name},\n\nyour {car} has an appointment with us: {time}.\n\n{message}\n\n"
            "Everything about the job is on your page:\n{link}\n\n{shop}\n{contact}"
        ),
    ),
    MailKind.MESSAGE: (
        gettext_noop("Your {car} at {shop}"),
        gettext_noop(
            "Hello {name},\n\n{message}\n\nEverything about the job on your {car} is on this"
            " page:\n{link}\n\n{shop}\n{contact}"
        ),
    ),
}
#: Kinds without their link would be of no use.
LINKED = (MailKind.QUOTE, MailKind.REMINDER, MailKind.MESSAGE)
PLACE = re.compile(r"\{([^{}]*)\}")


def link_of(order: WorkOrder, request: HttpRequest | None = None) -> str:
    """The whole address of the customer's page; the worker answers no request."""
    return customer_link(request, order)


def own_words(kind: str, speech: Speech) -> Words:
    """The program's words of a kind, with their places still empty."""
    subject, body = OWN[kind]
    return Words(speech.say(subject), speech.say(body))


def shop_words(kind: str, speech: Speech) -> Words:
    """The shop's words of a kind where it typed some, or the program's; places still empty."""
    own = own_words(kind, speech)
    row = MailText.objects.filter(kind=kind, language=speech.language.code).first()
    if row is None:
        return own
    return Words(row.subject or own.subject, row.body or own.body)


def check_places(kind: str, words: Words) -> None:
    """Raises Refused, with the field, for a place that nothing fills and for a missing link."""
    for field, text in (("subject", words.subject), ("body", words.body)):
        unknown = [name for name in PLACE.findall(text) if name not in PLACES]
        stray = re.sub(PLACE, "", text)
        if unknown:
            names = ", ".join(f"{{{name}}}" for name in unknown)
            known = ", ".join(f"{{{name}}}" for name in PLACES)
            raise Refused(
                _("Unknown place: {names}. Expected one of {known}.").format(
                    names=names, known=known
                ),
                field=field,
            )
        if "{" in stray or "}" in stray:
            raise Refused(_("A brace is missing its partner."), field=field)
    if words.body and kind in LINKED and "{link}" not in words.body:
        raise Refused(_("The text must contain {link}.").format(link="{link}"), field="body")


def mail_words(
    kind: str,
    order: WorkOrder,
    *,
    quote: Quote | None = None,
    message: str = "",
    time: str = "",
    link: str = "",
) -> Words:
    """Subject and text for an order's customer, in their language."""
    speech, shop = speech_of(order), ShopSettings.load()
    values = {
        "name": order.customer.name,
        "car": str(order.vehicle),
        "number": quote.number if quote else order.number,
        "total": speech.money(quote.total, quote.currency) if quote else "",
        "link": link or link_of(order),
        "message": message.strip(),
        "time": time,
        "shop": shop.name,
        "contact": "\n".join(part for part in (shop.phone, shop.email) if part),
    }
    words = shop_words(kind, speech)
    subject = " ".join(_filled(words.subject, values).split())
    return Words(shortened(subject, 200), _closed_up(_filled(words.body, values)))


def _filled(text: str, values: Mapping[str, str]) -> str:
    return PLACE.sub(lambda found: values.get(found[1], found[0]), text)


def _closed_up(text: str) -> str:
    """Without the gaps that empty places leave."""
    lines = "\n".join(line.rstrip() for line in text.splitlines())
    return re.sub(r"\n{3,}", "\n\n", lines).strip() + "\n"

"""A quote as a PDF: the same letter for the desk, the customer's link and the mail."""

from __future__ import annotations

from django.http import HttpResponse

from shop.languages import LANGUAGES, Speech, speech_of
from shop.models import Quote, ShopSettings
from shop.money import quote_flow
from shop.orders.services.latest_quote import authorisation_of
from shop.paper.pages import pdf_of
from shop.paper.pdf_styles import Paper


def quote_pdf(quote: Quote) -> bytes:
    """The whole letter, tagged, in the language that the quote was frozen in; a signed quote with
    its signature. A quote that is not saved, a draft, gives the page that it would have."""
    shop = ShopSettings.load()
    speech = _speech_of(quote)
    with speech.active():
        paper = Paper(shop.sheet_size, speech)
        signature = authorisation_of(quote) if quote.pk else None
        flow = [
            *quote_flow.letterhead(quote, shop, paper),
            *quote_flow.differences(quote, paper),
            *quote_flow.lines(quote, paper),
            *quote_flow.deposits(quote, paper),
            *quote_flow.checks(quote, paper),
            *quote_flow.class_rules(quote, paper),
            *quote_flow.options(quote, paper),
            *quote_flow.ending(quote, shop, paper),
            *quote_flow.signed(quote, signature, paper),
        ]
        title = speech.say("Quote {number}", number=quote.number)
        subject = speech.say(
            "Quote {number} for your {car}", number=quote.number, car=quote.order.vehicle
        )
        return pdf_of(flow, paper, title=title, author=shop.name, subject=subject)[0]


def _speech_of(quote: Quote) -> Speech:
    """The customer's units, in the language that the quote's sentences have."""
    theirs = speech_of(quote.order)
    language = LANGUAGES.get(quote.document["language"], theirs.language)
    return Speech(language, theirs.lengths, theirs.angles)


def quote_response(quote: Quote) -> HttpResponse:
    """The PDF as an answer to a browser."""
    response = HttpResponse(quote_pdf(quote), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{quote.number}.pdf"'
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Cache-Control"] = "private, no-store"
    return response

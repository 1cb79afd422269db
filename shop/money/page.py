"""What the pages of lines and quotes show beside their forms."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import QueryDict
from django.urls import reverse

from shop.languages import speech_of_page
from shop.models import ShopSettings, WorkOrder
from shop.money.forms import QuoteForm
from shop.money.services import options_of
from shop.orders.services.latest_quote import authorisation_of, quote_latest


def mixed_of(order: WorkOrder, shop: ShopSettings) -> list[str]:
    """Tax rates of an open order's lines that part from the shop's, where nothing is signed.

    A sentence's worth of rates, empty where all lines have the shop's rate and way of prices.
    """
    if not order.is_open or authorisation_of(quote_latest(order)) is not None:
        return []
    speech = speech_of_page()
    lines = list(order.lines.all())
    rates = sorted({line.tax_rate for line in lines})
    ways = {line.with_tax for line in lines}
    if rates in ([], [shop.tax_rate]) and ways <= {shop.prices_with_tax}:
        return []
    return [f"{speech.plain(rate)} %" for rate in rates]


@dataclass(frozen=True)
class Offered:
    """An option that may stand on the quote: its key, its words, what it would fail, its price."""

    key: str
    words: str
    verdict: str
    fails: tuple[str, ...]
    price: str


def offered_on(order: WorkOrder) -> list[Offered]:
    """Options beside what is chosen, for the writer's page; in the customer's words."""
    speech, currency = speech_of_page(), ShopSettings.load().currency
    return [
        Offered(
            row["key"],
            f"{speech.may_say(note['axle']).capitalize()}: {row['words']}",
            speech.may_say(row["verdict"]),
            tuple(row["fails"]),
            speech.money(row["price"], currency) if row["price"] else "",
        )
        for note in options_of(order)
        for row in note["rows"]
        if row["choice"] != "chosen"
    ]


def preview_address(order: WorkOrder, *, note: str = "", options: Collection[str] = ()) -> str:
    """The PDF of the draft with this note and these options."""
    asked = urlencode({"note": note, "options": list(options)}, doseq=True)
    return f"{reverse('quote_preview_pdf', args=[order.pk])}?{asked}"


def with_digest(form: QuoteForm, digest: str) -> QuoteForm:
    """The form with the digest of the draft that the page shows now."""
    if form.is_bound:
        data = QueryDict(mutable=True)
        for name in form.data:
            values = form.data.getlist(name) if isinstance(form.data, QueryDict) else []
            data.setlist(name, values)
        data["digest"] = digest
        form.data = data
    else:
        form.initial["digest"] = digest
    return form

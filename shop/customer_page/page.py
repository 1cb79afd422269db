"""What the customer's page shows: verdict, price, options, the quote and the answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.customer_page.forms import AuthoriseForm, DeclineForm, QuestionForm
from shop.customer_page.options import options_on
from shop.extensions.panels import rendered
from shop.extensions.points import CUSTOMER_PANELS
from shop.languages import LANGUAGES, speech_of
from shop.models import CustomerAnswer, Quote, ShopSettings, State, WorkOrder
from shop.money.services import QuoteChanged, waits_for_approval
from shop.orders.services.latest_quote import authorisation_of, is_barred, quote_latest
from shop.orders.services.quoted import order_differs
from shop.orders.services.service_intervals import intervals_of

#: So many options stand open on the page.
FIRST_OPTIONS = 2
WORDS = {
    State.ENQUIRY: _("We have your request and are working out what fits and what it costs."),
    State.QUOTED: _("Your quote is below. The work starts after you have authorised it."),
    State.APPROVED: _("You have authorised the work. We will find a time for it."),
    State.BOOKED: _("Your car has an appointment with us."),
    State.ON_LIFT: _("Your car is on the lift."),
    State.ROAD_TEST: _("The work is done, and your car is on its road test."),
    State.HANDED_OVER: _("The work is done, and your car was handed over."),
    State.CANCELLED: _("This order was closed without work."),
}
BARRED = _(
    "What the quote below offers cannot be mounted on your car. We are looking for other parts, "
    "and you will get another quote; there is nothing to authorise yet."
)


def to_read_again(form: AuthoriseForm, quote: Quote) -> AuthoriseForm:
    """The form under the quote as it is now: the name is kept, every tick is given anew."""
    return AuthoriseForm(quote=quote, initial={"name": form.cleaned_data.get("name", "")})


def customer_context(
    order: WorkOrder,
    form: AuthoriseForm | None = None,
    changed: tuple[QuoteChanged, AuthoriseForm] | None = None,
    answers: Mapping[str, forms.Form] | None = None,
) -> dict[str, Any]:
    """Context of the page; ``form``, ``changed`` and ``answers`` (by name: ask, decline,
    choose) are what was sent and not taken."""
    speech, shop = speech_of(order), ShopSettings.load()
    quote = quote_latest(order)
    authorisation = authorisation_of(quote)
    waits = waits_for_approval(order, quote)
    barred = order.is_open and quote is not None and authorisation is None and is_barred(quote)
    outdated = order_differs(order, quote) if waits and quote is not None else []
    may_sign = waits and not outdated
    if may_sign and quote is not None:
        if changed is not None:
            form = to_read_again(changed[1], quote)
        elif form is None:
            form = AuthoriseForm(quote=quote)
    return {
        "changed": changed[0] if changed else None,
        "outdated": outdated,
        "order": order,
        "shop": shop,
        "words": BARRED if barred else WORDS[State(order.state)],
        "measures": f"{speech.length_unit}, {speech.angle_unit}, {speech.torque_unit}",
        "quote": quote,
        "authorisation": authorisation,
        "form": form if may_sign else None,
        **_answering(order, quote if may_sign else None, answers or {}),
        "late_errors": form.non_field_errors() if form and not may_sign else [],
        "bookings": list(order.bookings.select_related("bay"))
        if order.state in (State.BOOKED, State.ON_LIFT)
        else [],
        "panels": rendered(panel(order) for panel in CUSTOMER_PANELS),
        "languages": [one for one in LANGUAGES.values() if one != speech.language],
        "handed_over": order.state == State.HANDED_OVER,
        "after": intervals_of(shop, speech).said,
    }


def _answering(
    order: WorkOrder, quote: Quote | None, sent: Mapping[str, forms.Form]
) -> dict[str, Any]:
    """Forms of the other answers, what was said so far, and the options with their letters."""
    said = list(order.customer_answers.select_related("quote"))
    latest = quote_latest(order)
    of_quote = [one for one in said if latest is not None and one.quote_id == latest.pk]
    kinds = CustomerAnswer.Kind
    chosen = {o.label for o in of_quote if o.kind == kinds.CHOSE and o.settled_at is None}
    declined = [one for one in of_quote if one.kind == kinds.DECLINED and one.settled_at is None]
    decline = sent.get("decline") or (DeclineForm(quote=quote) if quote else None)
    return {
        "questions": [one for one in said if one.kind == kinds.ASKED],
        "ask": (sent.get("ask") or QuestionForm(order=order)) if order.is_open else None,
        "decline": decline if quote else None,
        "refused": [error for form in sent.values() for error in form.non_field_errors()],
        **_options(latest, chosen),
        "may_choose": quote is not None,
        "chosen": chosen,
        "declined": declined[-1] if declined else None,
    }


def _options(quote: Quote | None, chosen: set[str]) -> dict[str, Any]:
    """The first options of a quote, and the rest, which is shown on request; what was chosen, and
    what the quote is for, is always among the first."""
    options = options_on(quote) if quote is not None else []
    named = [one for one in options if one.is_quoted or one.label in chosen]
    others = [one for one in options if one not in named]
    first = named + others[: max(FIRST_OPTIONS - len(named), 0)]
    return {
        "options": [one for one in options if one in first],
        "more_options": [one for one in options if one not in first],
    }

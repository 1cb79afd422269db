"""What a customer sees on their link: no account, no notes, no log, no other order."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_http_methods

from shop.languages import speech_of
from shop.models import Authorisation, ShopSettings, State, WorkOrder
from shop.money.quotes import authorisation_of, quote_authorise, quote_latest
from shop.orders.forms import AuthoriseForm
from shop.orders.page import rendered
from shop.orders.refusals import Refused
from shop.orders.service_intervals import intervals_of
from shop.sheet.views import sheet_response
from shop.site.extension_points import customer_panels
from shop.site.view_helpers import customer_token, render_page

WORDS = {
    State.ENQUIRY: "We have your wish, and are working out what fits and what it costs.",
    State.QUOTED: "Your quote is below. The work starts after you have authorised it.",
    State.APPROVED: "You have authorised the work. We will find a time for it.",
    State.BOOKED: "Your car has a time with us.",
    State.ON_LIFT: "Your car is on the lift.",
    State.ROAD_TEST: "The work is done, and your car is on its road test.",
    State.HANDED_OVER: "The work is done, and your car was handed over.",
    State.CANCELLED: "This order was closed without work.",
}


@customer_token
@require_GET
def customer_order(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    return render_page(request, "shop/customer_order.html", _context(order))


@customer_token
@require_http_methods(["POST"])
def customer_authorise(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Take the signature; a refusal shows the page again with all that was typed."""
    quote = quote_latest(order)
    if quote is None:
        raise Http404
    form = AuthoriseForm(request.POST, quote=quote)
    if form.is_valid():
        try:
            quote_authorise(
                quote=quote,
                name=form.cleaned_data["name"],
                amount=form.cleaned_data["amount"],
                via=Authorisation.Via.LINK,
                signed_warning=form.cleaned_data.get("signed_warning", False),
            )
        except Refused as refused:
            reason = speech_of(order).may_say(refused.reason)
            form.add_error(refused.field if refused.field in form.fields else None, reason)
        else:
            return redirect("customer_order", token=order.token)
    return render_page(request, "shop/customer_order.html", _context(order, form))


@customer_token
@require_GET
def customer_sheet(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    if order.state != State.HANDED_OVER:
        raise Http404
    return sheet_response(order)


def _context(order: WorkOrder, form: AuthoriseForm | None = None) -> dict[str, Any]:
    speech, shop = speech_of(order), ShopSettings.load()
    quote = quote_latest(order)
    authorisation = authorisation_of(quote)
    may_sign = quote is not None and authorisation is None and order.state == State.QUOTED
    if may_sign and form is None and quote is not None:
        form = AuthoriseForm(quote=quote)
    return {
        "order": order,
        "shop": shop,
        "words": speech.say(WORDS[State(order.state)]),
        "measures": f"{speech.length_unit}, {speech.angle_unit}, {speech.torque_unit}",
        "quote": quote,
        "authorisation": authorisation,
        "form": form if may_sign else None,
        "late_errors": form.non_field_errors() if form and not may_sign else [],
        "bookings": list(order.bookings.select_related("bay"))
        if order.state in (State.BOOKED, State.ON_LIFT)
        else [],
        "panels": rendered(customer_panels(order)),
        "handed_over": order.state == State.HANDED_OVER,
        "after": intervals_of(shop, speech).said,
    }

"""What a customer sees on their link: no account, no notes, no log, no other order."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.customer_page.forms import AuthoriseForm, LanguageForm
from shop.customer_page.services import language_keep
from shop.extensions.answers import Question, back_to
from shop.extensions.panels import rendered
from shop.extensions.points import CUSTOMER_PANELS
from shop.languages import LANGUAGES, speech_of
from shop.models import Authorisation, Quote, ShopSettings, State, User, WorkOrder
from shop.money.services import QuoteChanged, quote_authorise, waits_for_approval
from shop.orders.services.access import order_or_404
from shop.orders.services.latest_quote import authorisation_of, is_barred, quote_latest
from shop.orders.services.quoted import order_differs
from shop.orders.services.service_intervals import intervals_of
from shop.sheet.services import sheet_response
from shop.site.refusals import Refused, refuse
from shop.site.sending import repeatable
from shop.site.view_helpers import StaffRequest, customer_token, posted, render_page, role_required

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
            _authorise(form, quote, Authorisation.Via.LINK)
        except QuoteChanged as changed:
            return render_page(
                request, "shop/customer_order.html", _context(order, changed=(changed, form))
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            return redirect("customer_order", token=order.token)
    return render_page(request, "shop/customer_order.html", _context(order, form))


def _authorise(
    form: AuthoriseForm, quote: Quote, via: Authorisation.Via, by: User | None = None
) -> None:
    data = form.cleaned_data
    quote_authorise(
        quote=quote,
        number=data["number"],
        digest=data["digest"],
        name=data["name"],
        via=via,
        signed_warning=data.get("signed_warning", False),
        by=by,
    )


def _to_read_again(form: AuthoriseForm, quote: Quote) -> AuthoriseForm:
    """The form under the quote as it is now: the name is kept, every tick is given anew."""
    return AuthoriseForm(quote=quote, initial={"name": form.cleaned_data.get("name", "")})


@customer_token
@require_http_methods(["POST"])
@repeatable
def customer_language(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Keep the language that a customer chose; nothing else changes."""
    form = LanguageForm(request.POST)
    if not form.is_valid():
        messages.error(request, str(form.errors["language"][0]))
        return render_page(request, "shop/customer_order.html", _context(order), status=422)
    language_keep(customer=order.customer, language=form.cleaned_data["language"])
    return redirect("customer_order", token=order.token)


@customer_token
@require_GET
def customer_sheet(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    if order.state != State.HANDED_OVER:
        raise Http404
    return sheet_response(order)


def _context(
    order: WorkOrder,
    form: AuthoriseForm | None = None,
    changed: tuple[QuoteChanged, AuthoriseForm] | None = None,
) -> dict[str, Any]:
    speech, shop = speech_of(order), ShopSettings.load()
    quote = quote_latest(order)
    authorisation = authorisation_of(quote)
    waits = waits_for_approval(order, quote)
    barred = order.is_open and quote is not None and authorisation is None and is_barred(quote)
    outdated = order_differs(order, quote) if waits and quote is not None else []
    may_sign = waits and not outdated
    if may_sign and quote is not None:
        if changed is not None:
            form = _to_read_again(changed[1], quote)
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
        "late_errors": form.non_field_errors() if form and not may_sign else [],
        "bookings": list(order.bookings.select_related("bay"))
        if order.state in (State.BOOKED, State.ON_LIFT)
        else [],
        "panels": rendered(panel(order) for panel in CUSTOMER_PANELS),
        "languages": [one for one in LANGUAGES.values() if one != speech.language],
        "handed_over": order.state == State.HANDED_OVER,
        "after": intervals_of(shop, speech).said,
    }


@role_required("writer")
@require_http_methods(["GET", "POST"])
def quote_sign(request: StaffRequest, pk: int) -> HttpResponse:
    """The customer signs the latest quote here, on the shop's own screen."""
    order = order_or_404(pk)
    quote = quote_latest(order)
    if quote is None or not waits_for_approval(order, quote):
        messages.error(request, _("No quote of this order is waiting for a signature."))
        return redirect(order)
    form = AuthoriseForm(posted(request), quote=quote)
    changed: QuoteChanged | None = None
    if request.method == "POST" and form.is_valid():
        try:
            _authorise(form, quote, Authorisation.Via.IN_PERSON, request.user)
        except QuoteChanged as other:
            changed = other
            form = _to_read_again(form, quote)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{number} is approved.").format(number=order.number))
            return back_to(order, Question.COST)
    context = {
        "order": order,
        "quote": quote,
        "form": form,
        "shop": ShopSettings.load(),
        "changed": changed,
        "outdated": order_differs(order, quote),
    }
    return render_page(request, "shop/quote_sign.html", context)

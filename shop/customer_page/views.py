"""What a customer sees on their link: no account, no notes, no log, no other order."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.customer_page.forms import AuthoriseForm, LanguageForm
from shop.customer_page.page import customer_context, to_read_again
from shop.customer_page.services import language_keep
from shop.extensions.answers import Question, back_to
from shop.models import Authorisation, Quote, ShopSettings, State, User, WorkOrder
from shop.money.services import QuoteChanged, quote_authorise, waits_for_approval
from shop.orders.services.access import order_or_404
from shop.orders.services.latest_quote import quote_latest
from shop.orders.services.quoted import order_differs
from shop.outbox.services.following import link_opened
from shop.sheet.services import sheet_response
from shop.site.refusals import Refused, refuse
from shop.site.sending import repeatable
from shop.site.view_helpers import StaffRequest, customer_token, posted, render_page, role_required


@customer_token
@require_GET
def customer_order(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    if not request.user.is_authenticated:
        link_opened(order=order)
    return render_page(request, "shop/customer_order.html", customer_context(order))


@customer_token
@require_http_methods(["GET", "POST"])
def customer_authorise(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Take the signature; a refusal shows the page again with all that was typed."""
    if request.method == "GET":
        return redirect("customer_order", token=order.token)
    quote = quote_latest(order)
    if quote is None:
        raise Http404
    form = AuthoriseForm(request.POST, quote=quote)
    if form.is_valid():
        try:
            _authorise(form, quote, Authorisation.Via.LINK)
        except QuoteChanged as changed:
            return render_page(
                request,
                "shop/customer_order.html",
                customer_context(order, changed=(changed, form)),
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            return redirect("customer_order", token=order.token)
    return render_page(request, "shop/customer_order.html", customer_context(order, form))


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


@customer_token
@require_http_methods(["POST"])
@repeatable
def customer_language(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Keep the language that a customer chose; nothing else changes."""
    form = LanguageForm(request.POST)
    if not form.is_valid():
        messages.error(request, str(form.errors["language"][0]))
        return render_page(request, "shop/customer_order.html", customer_context(order), status=422)
    language_keep(customer=order.customer, language=form.cleaned_data["language"])
    return redirect("customer_order", token=order.token)


@customer_token
@require_GET
def customer_sheet(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    if order.state != State.HANDED_OVER:
        raise Http404
    return sheet_response(order)


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
            form = to_read_again(form, quote)
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

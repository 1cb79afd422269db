"""Lines, quotes, signatures, and the ordering of parts."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods

from shop.extensions.points import LINE_HINTS
from shop.models import Authorisation, Quote, ShopSettings
from shop.money.services import authorisation_of, lines_change, quote_authorise, quote_latest
from shop.money.services import quote_send as do_send
from shop.order_page.page import class_context, customer_link
from shop.orders.forms import AuthoriseForm, MoveForm, QuoteForm, line_formset
from shop.orders.services.cautions import class_caution
from shop.orders.services.gates import GateClosed, gates_ask
from shop.orders.views import order_or_404, posted, refuse
from shop.site.refusals import Refused
from shop.site.view_helpers import render_page, role_required
from shop.values.amounts import totals_of
from shop.work.services import parts_order as do_parts_order


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_lines(request: HttpRequest, pk: int) -> HttpResponse:
    """All lines on one page, with empty rows below for more."""
    order = order_or_404(request, pk)
    shop = ShopSettings.load()
    rows = line_formset(order, shop, posted(request))
    refusal = ""
    if request.method == "POST" and rows.is_valid():
        try:
            lines_change(order=order, by=request.user, lines=rows.lines(), gone=rows.gone())
        except Refused as refused:
            refusal = refused.reason
        else:
            messages.success(request, "The lines are saved.")
            return redirect("order_lines" if "more" in request.POST else "order", pk=order.pk)
    context = {
        "order": order,
        "rows": rows,
        "shop": shop,
        "refusal": refusal,
        "totals": totals_of(order.lines.all()),
        "hints": [hint for tell in LINE_HINTS for hint in tell(order)],
    }
    return render_page(request, "shop/order_lines.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def quote_send(request: HttpRequest, pk: int) -> HttpResponse:
    """Look at what would be sent, then freeze it."""
    order = order_or_404(request, pk)
    form = QuoteForm(posted(request))
    if request.method == "POST" and form.is_valid():
        try:
            quote = do_send(order=order, by=request.user, note=form.cleaned_data["note"])
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(
                request,
                f"Quote {quote.number} is frozen. The link to send to the customer is below it.",
            )
            return redirect(quote)
    lines = list(order.lines.select_related("part"))
    context = {
        "order": order,
        "form": form,
        "lines": lines,
        "totals": totals_of(lines),
        "warnings": [v for v in gates_ask(order) if v.is_warning],
        "class_caution": class_caution(order),
        **class_context(order),
    }
    return render_page(request, "shop/quote_send.html", context)


@role_required()
@require_GET
def quote(request: HttpRequest, pk: int) -> HttpResponse:
    """The letter as it was frozen."""
    quotes = Quote.objects.visible_to(request.user).select_related(
        "order__customer", "order__vehicle", "sent_by", "authorisation"
    )
    quote = get_object_or_404(quotes, pk=pk)
    latest = quote_latest(quote.order)
    context = {
        "quote": quote,
        "order": quote.order,
        "authorisation": authorisation_of(quote),
        "shop": ShopSettings.load(),
        "is_latest": latest is not None and latest.pk == quote.pk,
        "customer_link": customer_link(request, quote.order),
    }
    return render_page(request, "shop/quote.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def quote_sign(request: HttpRequest, pk: int) -> HttpResponse:
    """The customer signs the latest quote here, on the shop's own screen."""
    order = order_or_404(request, pk)
    quote = quote_latest(order)
    if quote is None or authorisation_of(quote) is not None:
        messages.error(request, "No quote of this order waits for a signature.")
        return redirect(order)
    form = AuthoriseForm(posted(request), quote=quote)
    if request.method == "POST" and form.is_valid():
        try:
            quote_authorise(
                quote=quote,
                name=form.cleaned_data["name"],
                amount=form.cleaned_data["amount"],
                via=Authorisation.Via.IN_PERSON,
                signed_warning=form.cleaned_data.get("signed_warning", False),
                by=request.user,
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, f"{order.number} is agreed.")
            return redirect(order)
    context = {"order": order, "quote": quote, "form": form, "shop": ShopSettings.load()}
    return render_page(request, "shop/quote_sign.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def parts_order(request: HttpRequest, pk: int) -> HttpResponse:
    """Look at the parts once more, then put on record that they were ordered."""
    order = order_or_404(request, pk)
    form = MoveForm(posted(request), wants_reason=False)
    closed: GateClosed | None = None
    if request.method == "POST" and form.is_valid():
        try:
            do_parts_order(order=order, by=request.user)
        except GateClosed as gate:
            closed = gate
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, "The parts are ordered; the order waits for them.")
            return redirect(order)
    context = {
        "order": order,
        "form": form,
        "closed": closed,
        "parts": order.lines.filter(kind="part").select_related("part"),
        "class_caution": class_caution(order),
        "verdicts": [v for v in gates_ask(order) if v.answer.result != "not needed"],
    }
    return render_page(request, "shop/parts_order.html", context)

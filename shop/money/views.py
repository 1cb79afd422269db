"""Lines, quotes, signatures, and the ordering of parts."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.extensions.answers import Question, back_to
from shop.extensions.points import LINE_HINTS
from shop.languages import speech_of_page
from shop.models import Quote, ShopSettings
from shop.money.forms import QuoteForm, line_formset
from shop.money.services import lines_change, waits_for_approval
from shop.money.services import quote_send as do_send
from shop.orders.services.access import customer_link, order_or_404, order_to_change
from shop.orders.services.cautions import class_caution
from shop.orders.services.class_rules import class_context
from shop.orders.services.gates import gates_ask
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.quoted import order_differs
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required
from shop.values.amounts import totals_of


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_lines(request: StaffRequest, pk: int) -> HttpResponse:
    """All lines on one page, with empty rows below for more."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    shop = ShopSettings.load()
    rows = line_formset(order, shop, posted(request))
    refusal = ""
    if request.method == "POST" and rows.is_valid():
        try:
            lines_change(order=order, by=request.user, lines=rows.lines(), gone=rows.gone())
        except Refused as refused:
            refusal = refused.reason
        else:
            messages.success(request, _("Quote lines saved."))
            if "more" in request.POST:
                return redirect("order_lines", pk=order.pk)
            return back_to(order, Question.COST)
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
def quote_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Look at what would be sent, then freeze it."""
    order = order_or_404(pk)
    form = QuoteForm(posted(request))
    if request.method == "POST" and form.is_valid():
        try:
            quote = do_send(order=order, by=request.user, note=form.cleaned_data["note"])
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(
                request,
                _("Quote {number} is ready. Send the link below to the customer.").format(
                    number=quote.number
                ),
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
def quote(request: StaffRequest, pk: int) -> HttpResponse:
    """The letter as it was frozen."""
    quotes = Quote.objects.select_related(
        "order__customer", "order__vehicle", "sent_by", "authorisation"
    )
    quote = get_object_or_404(quotes, pk=pk)
    latest = quote_latest(quote.order)
    waits = latest == quote and waits_for_approval(quote.order, latest)
    context = {
        "quote": quote,
        "order": quote.order,
        "authorisation": authorisation_of(quote),
        "shop": ShopSettings.load(),
        "is_latest": latest == quote,
        "waits": waits,
        "outdated": order_differs(quote.order, quote, reader=speech_of_page()) if waits else [],
        "customer_link": customer_link(request, quote.order),
    }
    return render_page(request, "shop/quote.html", context)

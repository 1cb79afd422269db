"""Lines, quotes, signatures, and the ordering of parts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.extensions.answers import Question, back_to
from shop.languages import speech_of_page
from shop.models import Line, Quote, ShopSettings, WorkOrder
from shop.money.forms import LineFormSet, OrderDiscountForm, QuoteForm, line_formset
from shop.money.package_forms import PackageForm
from shop.money.page import mixed_of, offered_on, preview_address, with_digest
from shop.money.services import (
    gaps_of,
    gaps_on_card,
    lines_change,
    lines_fill,
    package_add,
    quote_draft,
    quote_response,
    waits_for_approval,
)
from shop.money.services import quote_send as do_send
from shop.orders.services.access import customer_link, order_or_404, order_to_change
from shop.orders.services.latest_quote import authorisation_of, quote_latest
from shop.orders.services.quoted import order_differs, read_digest
from shop.outbox.services.shown import link_context, quote_words, sent
from shop.outbox.services.words import link_of
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_lines(request: StaffRequest, pk: int) -> HttpResponse:
    """All lines on one page, with empty rows below for more, and what the plan asks lines for."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    shop = ShopSettings.load()
    rows = line_formset(order, shop, posted(request))
    all_off = OrderDiscountForm(posted(request), initial={"discount": order.discount})
    packages = PackageForm(posted(request))
    refusal = ""
    if request.method == "POST" and all([rows.is_valid(), all_off.is_valid(), packages.is_valid()]):
        try:
            _keep_lines(request, order, rows, all_off)
            added = _added(request, order, packages)
        except Refused as refused:
            refusal = refused.reason
        else:
            messages.success(request, _("Quote lines saved."))
            _say_added(request, added)
            if {"more", "fill", "add_package"} & set(request.POST):
                return redirect("order_lines", pk=order.pk)
            return back_to(order, Question.COST)
    context = {
        "order": order,
        "rows": rows,
        "all_off": all_off,
        "packages": packages,
        "shop": shop,
        "refusal": refusal,
        "totals": order.totals,
        "gaps": gaps_of(order),
        "mixed": mixed_of(order, shop),
    }
    return render_page(request, "shop/order_lines.html", context)


def _keep_lines(
    request: StaffRequest, order: WorkOrder, rows: LineFormSet, all_off: OrderDiscountForm
) -> None:
    lines_change(
        order=order,
        by=request.user,
        lines=rows.lines(),
        gone=rows.gone(),
        discount=all_off.cleaned_data["discount"],
    )


def _added(request: StaffRequest, order: WorkOrder, packages: PackageForm) -> list[Line]:
    """The lines that the button asked for beside saving: from the plan, or of a package."""
    if "fill" in request.POST:
        return lines_fill(order=order, by=request.user)
    chosen = packages.cleaned_data.get("package")
    if "add_package" in request.POST and chosen is not None:
        return package_add(order=order, package=chosen, by=request.user)
    return []


def _say_added(request: StaffRequest, added: Sequence[Line]) -> None:
    unpriced = [line.description for line in added if not line.unit_price]
    if added:
        said = ngettext("{count} line added.", "{count} lines added.", len(added))
        messages.success(request, said.format(count=len(added)))
    if unpriced:
        said = _("No price is recorded for: {names}. Enter one before the quote is sent.")
        messages.warning(request, said.format(names="; ".join(unpriced)))


@role_required("writer")
@require_POST
def lines_from_plan(request: StaffRequest, pk: int) -> HttpResponse:
    """One press on the order's page: a line for each planned thing that has none."""
    order = order_to_change(pk)
    try:
        added = lines_fill(order=order, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
    else:
        if not added:
            messages.info(request, _("Everything that is planned has its line."))
        _say_added(request, added)
    return redirect("order_lines", pk=order.pk)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def quote_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Look at the very quote that would be sent, then freeze it.

    Another note or other options than those of the preview make a new preview first.
    """
    order = order_or_404(pk)
    offered = offered_on(order)
    form = QuoteForm(
        posted(request), order=order, offered=[(one.key, one.words) for one in offered]
    )
    sending = request.method == "POST" and "preview" not in request.POST
    chosen: dict[str, Any] = {"note": "", "options": ()}
    if request.method == "POST" and form.is_valid():
        chosen = {"options": (), **{k: form.cleaned_data[k] for k in form.fields if k in chosen}}
        if sending:
            try:
                quote = do_send(
                    order=order,
                    by=request.user,
                    digest=form.cleaned_data["digest"],
                    mail_to=form.mail_to,
                    link=link_of(order, request),
                    **chosen,
                )
            except Refused as refused:
                refuse(form, refused)
            else:
                messages.success(request, _sent_words(quote, form.mail_to))
                return redirect(quote)
    draft = quote_draft(order, request.user, **chosen) if order.lines.exists() else None
    if draft is not None:
        form = with_digest(form, read_digest(draft))
    context = {
        "order": order,
        "form": form,
        "quote": draft,
        "preview": quote_words(draft) if draft is not None else None,
        "offered": offered,
        "unpriced": order.lines.filter(unit_price=0),
        "chosen": set(chosen["options"]),
        "shop": ShopSettings.load(),
        "gaps": gaps_on_card(order),
        "mixed": mixed_of(order, ShopSettings.load()),
        "preview_pdf": preview_address(order, **chosen),
        "needs_signature": draft is not None and draft.signature_needed,
    }
    return render_page(request, "shop/quote_send.html", context)


def _sent_words(quote: Quote, mail_to: str) -> str:
    if mail_to:
        words = _("Quote {number} is on its way to {to}.")
        return words.format(number=quote.number, to=mail_to)
    words = _("Quote {number} is ready. Send the link below to the customer.")
    return words.format(number=quote.number)


@role_required("writer")
@require_GET
def quote_preview_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The PDF of the quote that would be sent, with a note and options from the address."""
    order = order_or_404(pk)
    if not order.lines.exists():
        raise Http404
    note, options = request.GET.get("note", ""), request.GET.getlist("options")
    return quote_response(quote_draft(order, request.user, note=note, options=options))


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
        **link_context(request, quote.order),
        **sent(quote.order),
    }
    return render_page(request, "shop/quote.html", context)


@role_required()
@require_GET
def quote_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    quotes = Quote.objects.select_related(
        "order__customer", "order__vehicle", "sent_by", "authorisation"
    )
    return quote_response(get_object_or_404(quotes, pk=pk))

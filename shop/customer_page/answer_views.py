"""The customer's question, decline and choice on their link, and the shop's page of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.customer_page.answers import (
    answer_reply,
    option_choose,
    question_ask,
    quote_decline,
)
from shop.customer_page.forms import ChooseForm, DeclineForm, QuestionForm, ReplyForm
from shop.customer_page.page import customer_context
from shop.models import CustomerAnswer, WorkOrder
from shop.money.services import MAY_BE_QUOTED
from shop.orders.services.access import order_or_404
from shop.orders.services.latest_quote import quote_latest
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, customer_token, render_page, role_required

THANKS = {
    "ask": _("Your question is with us. The answer will stand on this page."),
    "decline": _("Thank you for telling us. We will be in touch."),
    "choose": _("Your choice is with us. You will get a quote for it."),
}


def _answered(
    request: HttpRequest, order: WorkOrder, name: str, form: forms.Form, act: Callable[[], Any]
) -> HttpResponse:
    """Back to the page, or the page again with what was typed and what is wrong with it."""
    if form.is_valid():
        try:
            act()
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, THANKS[name])
            return redirect("customer_order", token=order.token)
    context = customer_context(order, answers={name: form})
    return render_page(request, "shop/customer_order.html", context)


@customer_token
@require_http_methods(["GET", "POST"])
def customer_ask(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Take a question."""
    if request.method == "GET":
        return redirect("customer_order", token=order.token)
    form = QuestionForm(request.POST, order=order)
    return _answered(
        request,
        order,
        "ask",
        form,
        lambda: question_ask(order=order, text=form.cleaned_data["text"]),
    )


@customer_token
@require_http_methods(["GET", "POST"])
def customer_decline(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Take a no."""
    if request.method == "GET":
        return redirect("customer_order", token=order.token)
    quote = quote_latest(order)
    if quote is None:
        raise Http404
    form = DeclineForm(request.POST, quote=quote)
    return _answered(
        request,
        order,
        "decline",
        form,
        lambda: quote_decline(
            order=order,
            number=form.cleaned_data["number"],
            reason=form.cleaned_data["reason"],
        ),
    )


@customer_token
@require_http_methods(["GET", "POST"])
def customer_choose(request: HttpRequest, order: WorkOrder) -> HttpResponse:
    """Take the choice of another option."""
    if request.method == "GET":
        return redirect("customer_order", token=order.token)
    quote = quote_latest(order)
    if quote is None:
        raise Http404
    form = ChooseForm(request.POST, quote=quote)
    return _answered(
        request,
        order,
        "choose",
        form,
        lambda: option_choose(
            order=order,
            number=form.cleaned_data["number"],
            label=form.cleaned_data["option"],
        ),
    )


@role_required()
@require_GET
def customer_answers(request: HttpRequest, pk: int) -> HttpResponse:
    """What the customer of an order said on their page, open things first."""
    return _page(request, order_or_404(pk))


@role_required("writer")
@require_http_methods(["POST"])
def customer_reply(request: StaffRequest, pk: int) -> HttpResponse:
    """Reply to a question, or settle a decline or a choice."""
    answer = get_object_or_404(CustomerAnswer.objects.select_related("order__customer"), pk=pk)
    form = ReplyForm(request.POST, pk=answer.pk)
    form.fields["text"].required = answer.kind == CustomerAnswer.Kind.ASKED
    if form.is_valid():
        try:
            answer_reply(answer=answer, by=request.user, text=form.cleaned_data["text"])
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Settled. The customer sees replies on their page."))
            return redirect("customer_answers", pk=answer.order_id)
    return _page(request, order_or_404(answer.order_id), {answer.pk: form})


def _page(
    request: HttpRequest, order: WorkOrder, forms_sent: dict[int, ReplyForm] | None = None
) -> HttpResponse:
    said = list(order.customer_answers.select_related("settled_by", "quote"))
    rows = [(one, (forms_sent or {}).get(one.pk) or ReplyForm(pk=one.pk)) for one in said]
    context = {
        "order": order,
        "open": [row for row in rows if row[0].settled_at is None],
        "settled": [one for one in said if one.settled_at is not None],
        "may_quote": order.state in MAY_BE_QUOTED,
    }
    return render_page(request, "shop/customer_answers.html", context)

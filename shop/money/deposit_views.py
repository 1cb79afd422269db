"""Noting deposits."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from shop.models import Deposit
from shop.money.forms import DepositForm
from shop.money.services import deposit_keep
from shop.orders.services.access import order_or_404
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def deposit_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Note that a deposit was asked for, or came in at once."""
    order = order_or_404(pk)
    return _deposit(request, DepositForm(posted(request), instance=Deposit(order=order)))


@role_required("writer")
@require_http_methods(["GET", "POST"])
def deposit_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """Note that it came in, when, how."""
    deposit = get_object_or_404(Deposit.objects.select_related("order__vehicle"), pk=pk)
    return _deposit(request, DepositForm(posted(request), instance=deposit))


def _deposit(request: StaffRequest, form: DepositForm) -> HttpResponse:
    order = form.instance.order
    if request.method == "POST" and form.is_valid():
        try:
            form.claim()
            deposit_keep(order=order, deposit=form.instance, by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Deposit noted."))
            return redirect(order)
    return render_page(request, "shop/deposit_form.html", {"form": form, "order": order})

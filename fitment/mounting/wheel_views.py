"""Choosing what an order mounts."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from fitment.mounting.services.wheels import order_wheels_choose
from fitment.mounting.wheel_forms import OrderWheelsForm
from shop.orders.services.access import order_or_404, order_to_change
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_wheels(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose wheel, tyre and spacer for each axle of an order."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    form = OrderWheelsForm(posted(request), order=order)
    if request.method == "POST" and form.is_valid():
        try:
            order_wheels_choose(order=order, choices=form.choices(), by=request.user)
        except Refused as refused:
            form.add_error(None, refused.reason)
        else:
            messages.success(request, _("Wheels saved. Check clearance next."))
            return redirect("clearance", pk=order.pk)
    return render_page(request, "fitment/order_wheels.html", {"order": order, "form": form})

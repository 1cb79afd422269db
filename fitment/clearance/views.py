"""The clearance check of an order: as it stands, run anew, and as it once was."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_POST

from fitment.clearance.page import any_chance_of, clearance_page, corner_views
from fitment.clearance.services import CheckNotPossible, check_run
from fitment.models import ClearanceCheck
from fitment.text.render import stored_text
from shop.models import WorkOrder
from shop.models.orders import uses_said
from shop.site.sending import long_work
from shop.site.view_helpers import StaffRequest, render_page, role_required


def _order(pk: int) -> WorkOrder:
    return get_object_or_404(
        WorkOrder.objects.select_related("customer", "vehicle__car_model"), pk=pk
    )


@role_required()
@require_GET
def clearance(request: StaffRequest, pk: int) -> HttpResponse:
    """The check of an order as it stands, with what to do next."""
    return render_page(request, "fitment/clearance.html", clearance_page(_order(pk)))


@role_required()
@require_POST
@long_work
def clearance_run(request: StaffRequest, pk: int) -> HttpResponse:
    """Run the check on the order as it is now, and show it."""
    order = _order(pk)
    try:
        check = check_run(order=order, by=request.user)
    except CheckNotPossible:
        messages.error(request, _("Nothing was checked: something is still missing. See below."))
    else:
        messages.success(request, f"{_('Checked.')} {stored_text(check)}")
    return redirect("clearance", pk=order.pk)


@role_required()
@require_GET
def clearance_check(request: StaffRequest, pk: int) -> HttpResponse:
    """An earlier check with its own inputs, answer and drawings."""
    check = get_object_or_404(
        ClearanceCheck.objects.select_related("order__customer", "order__vehicle__car_model", "by"),
        pk=pk,
    )
    use = check.inputs.get("duty", {})
    context = {
        "order": check.order,
        "check": check,
        "said": stored_text(check),
        "corners": corner_views(check),
        "any_chance": any_chance_of(check),
        "use": use,
        "use_name": uses_said(use.get("name", "")),
    }
    return render_page(request, "fitment/clearance_check.html", context)

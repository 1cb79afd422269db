"""What each axle of an order is to be set to."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from alignment.models import PlannedSetting
from alignment.plans.forms import PlanForm
from alignment.plans.page import target_choices
from alignment.plans.services.edit_conflict import COMPARE, SavedMeanwhile
from alignment.plans.services.plans import plan_save
from shop.extensions.answers import back_to
from shop.models import WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def plan_edit(request: StaffRequest, pk: int) -> HttpResponse:
    orders = WorkOrder.objects.select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    plans = list(PlannedSetting.objects.of_order(order))
    data = request.POST if request.method == "POST" else None
    form = PlanForm(data, order=order, plans=plans)
    if data is not None and form.is_valid() and _save(request, order, form):
        messages.success(request, _("Planned settings saved."))
        return back_to(order, "plan")
    status = 422 if form.errors else 200
    context = {"form": form, "order": order, "is_new": not plans, **target_choices(order)}
    return render_page(request, "alignment/plan_form.html", context, status=status)


def _save(request: StaffRequest, order: WorkOrder, form: PlanForm) -> bool:
    try:
        plan_save(
            order=order,
            by=request.user,
            axles=form.wanted,
            versions=form.versions(),
            why=form.cleaned_data.get("why", ""),
        )
    except SavedMeanwhile as conflict:
        form.add_error(None, f"{conflict} {COMPARE}")
        form.meet(list(PlannedSetting.objects.of_order(order)))
        return False
    except Refused as refusal:
        form.add_error(refusal.field or None, refusal.reason)
        return False
    return True

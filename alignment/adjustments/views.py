"""The adjustments of an order, corner by corner, and accepting them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from alignment.adjustments.accept import CHANGED, Taken, adjustments_accept, versions_of
from alignment.adjustments.page import LEAVE, CornerPage, adjustments_page, shown_digest, taken_of
from alignment.models import PlannedSetting, RackVisit
from shop.models import Corner, WorkOrder
from shop.orders.services.cautions import Moment, cautions_at, job_of
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required("technician")
@require_GET
def adjustments(request: StaffRequest, pk: int) -> HttpResponse:
    order = _order_or_404(pk)
    corners = adjustments_page(order)
    context = {
        "order": order,
        "corners": corners,
        "shown": shown_digest(corners),
        "may_accept": order.is_open and any(corner.has_moves for corner in corners),
        "all_accepted": all(
            one.is_accepted or one.chosen == LEAVE for one in corners if one.has_moves
        ),
        "has_readings": RackVisit.objects.filter(order=order).exists(),
        "has_plan": PlannedSetting.objects.filter(order=order).exists(),
        "cautions": cautions_at(job_of(order), Moment.ADJUST),
    }
    return render_page(request, "alignment/adjustments.html", context)


@role_required("technician")
@require_POST
def adjustments_take(request: StaffRequest, pk: int) -> HttpResponse:
    """Keep the options that were chosen, as they were shown."""
    order = _order_or_404(pk)
    versions = versions_of(order)
    corners = adjustments_page(order)
    try:
        if request.POST.get("shown") != shown_digest(corners):
            raise Refused(str(CHANGED))
        taken = _taken(request.POST, corners)
        kept = adjustments_accept(order=order, by=request.user, taken=taken, versions=versions)
    except Refused as refusal:
        messages.error(request, refusal.reason)
    else:
        said = _("Adjustments accepted.") if kept else _("These adjustments were accepted before.")
        then = _("Make them, toe last, then read the car again.")
        messages.success(request, f"{said} {then}")
    return redirect("adjustments", order.pk)


def _taken(data: QueryDict, corners: list[CornerPage]) -> list[Taken]:
    """The options that were chosen. Raises Refused for one that is not offered."""
    taken = []
    for corner in corners:
        chosen = data.get(corner.field, LEAVE)
        if not corner.has_moves or chosen == LEAVE:
            continue
        if chosen not in {str(index) for index in range(len(corner.options))}:
            name = Corner(corner.adjustments.corner).label
            raise Refused(_("{corner}: this option is not offered.").format(corner=name))
        taken.append(taken_of(corner, chosen))
    return taken


def _order_or_404(pk: int) -> WorkOrder:
    orders = WorkOrder.objects.select_related("customer", "vehicle__car_model")
    return get_object_or_404(orders, pk=pk)

"""What a technician has to move, corner by corner."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from alignment.models import PlannedSetting, RackVisit
from alignment.moves_page import moves_page
from shop.models import WorkOrder
from shop.web import render_page, role_required


@role_required("technician")
@require_GET
def moves(request: HttpRequest, pk: int) -> HttpResponse:
    orders = WorkOrder.objects.visible_to(request.user).select_related(
        "customer", "vehicle__pattern"
    )
    order = get_object_or_404(orders, pk=pk)
    context = {
        "order": order,
        "corners": moves_page(order),
        "has_readings": RackVisit.objects.filter(order=order).exists(),
        "has_plan": PlannedSetting.objects.filter(order=order).exists(),
    }
    return render_page(request, "alignment/moves.html", context)

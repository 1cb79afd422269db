"""Parts of the order page that this app renders."""

from __future__ import annotations

from django.http import HttpRequest

from alignment.models import PlannedSetting, RackVisit, TargetSheet
from alignment.targets.page import target_choices
from alignment.text.labels import plan_phrases
from alignment.visits.comparison import compare, sheet_of
from alignment.visits.legal_limits_page import beyond_limits
from shop.models import CarModel, OrderKind, Vehicle, WorkOrder
from shop.site.extension_points import Panel
from shop.site.view_helpers import has_role


def plan_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """Planned settings in words; nothing on a job that cannot have any."""
    plans = list(PlannedSetting.objects.of_order(order))
    if not plans and (order.kind == OrderKind.SURVEY_VISIT or not order.moves_wheel_or_height):
        return None
    context = {
        "order": order,
        "plans": [
            {"title": p.get_axle_display(), "phrases": plan_phrases(p), "plan": p} for p in plans
        ],
        "may_plan": order.is_open and has_role(request.user, "writer", "technician"),
        **target_choices(order),
    }
    return Panel("Planned settings", "alignment/panels/plan.html", context, "plan")


def vehicle_readings_panel(request: HttpRequest, vehicle: Vehicle) -> Panel | None:
    """The way to what the rack has read of a vehicle over the years."""
    visits = RackVisit.objects.visible_to(request.user).filter(vehicle=vehicle)
    context = {"vehicle": vehicle, "count": visits.count(), "last": visits.last()}
    return Panel("On the rack", "alignment/panels/vehicle.html", context, "rack")


def readings_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """Before, after, target and what is off, with the way to each visit."""
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    plans = list(PlannedSetting.objects.filter(order=order)) if visits else []
    comparison = compare(visits, plans, sheet_of(order)) if visits else None
    latest = (comparison.after or comparison.before) if comparison else None
    is_technician = has_role(request.user, "technician")
    context = {
        "order": order,
        "visits": visits,
        "table": comparison,
        "beyond_limits": beyond_limits(order, latest),
        "may_enter": order.is_open and is_technician,
        "may_move": is_technician and (_may_move(order, plans) if visits else False),
    }
    return Panel("Readings", "alignment/panels/readings.html", context, "readings")


def _may_move(order: WorkOrder, plans: list[PlannedSetting]) -> bool:
    """Moves of an open order, or those that a closed one keeps."""
    return bool(plans) if order.is_open else order.accepted_adjustments.exists()


def targets_panel(request: HttpRequest, car_model: CarModel) -> Panel:
    """The current target sheets of a pattern, on its page."""
    context = {
        "car_model": car_model,
        "sheets": TargetSheet.objects.filter(car_model=car_model).current(),
        "may_write": has_role(request.user, "writer", "technician"),
    }
    return Panel("Targets", "alignment/panels/targets.html", context, "targets")

"""Parts of the order page that this app renders."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _

from alignment.models import PlannedSetting, RackVisit
from alignment.plans.services.order_targets import sheet_of
from alignment.visits.comparison import compare
from alignment.visits.legal_limits_page import beyond_limits
from shop.extensions.panels import Panel
from shop.models import Vehicle, WorkOrder
from shop.site.view_helpers import has_role


def vehicle_readings_panel(request: HttpRequest, vehicle: Vehicle) -> Panel | None:
    """A vehicle's visits to the rack, with the link to their readings."""
    visits = RackVisit.objects.filter(vehicle=vehicle)
    context = {"vehicle": vehicle, "count": visits.count(), "last": visits.last()}
    return Panel(_("On the rack"), "alignment/panels/vehicle.html", context, "rack")


def readings_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """Before, after, target and what is off, with a link to each visit."""
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
        "may_adjust": is_technician and (_may_adjust(order, plans) if visits else False),
    }
    return Panel(_("Readings"), "alignment/panels/readings.html", context, "readings")


def _may_adjust(order: WorkOrder, plans: list[PlannedSetting]) -> bool:
    """Adjustments of an open order, or those that a closed one keeps."""
    return bool(plans) if order.is_open else order.accepted_adjustments.exists()

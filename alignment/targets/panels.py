"""The part of a pattern's page about its target sheets."""

from __future__ import annotations

from django.http import HttpRequest

from alignment.models import TargetSheet
from shop.extensions.panels import Panel
from shop.models import CarModel
from shop.site.view_helpers import has_role


def targets_panel(request: HttpRequest, car_model: CarModel) -> Panel:
    """The current target sheets of a pattern, on its page."""
    context = {
        "car_model": car_model,
        "sheets": TargetSheet.objects.filter(car_model=car_model).current(),
        "may_write": has_role(request.user, "writer", "technician"),
    }
    return Panel("Targets", "alignment/panels/targets.html", context, "targets")

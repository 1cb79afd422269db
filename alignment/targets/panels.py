"""The part of a car model's page about its target sheets."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _

from alignment.models import TargetSheet
from shop.extensions.panels import Panel
from shop.models import CarModel
from shop.site.view_helpers import has_role


def targets_panel(request: HttpRequest, car_model: CarModel) -> Panel:
    """The current target sheets of a car model, on its page."""
    context = {
        "car_model": car_model,
        "sheets": TargetSheet.objects.filter(car_model=car_model).current(),
        "may_write": has_role(request.user, "writer", "technician"),
    }
    return Panel(_("Targets"), "alignment/panels/targets.html", context, "targets")

"""Panels of the order page: what it mounts, mounting checks, fitment tables and earlier jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from fitment.job.fitted import fitted_once
from fitment.job.state import state_once
from fitment.models import Guide
from fitment.mounting.earlier_jobs import earlier_jobs_once
from fitment.mounting.guides import guides_held
from fitment.mounting.page import mounting_page
from shop.extensions.panels import Panel
from shop.models import OrderKind
from shop.site.view_helpers import has_role
from shop.values.first_rows import first_rows

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import CarModel, WorkOrder

#: Spots of earlier jobs that are shown, the nearest job first.
LINES_SHOWN = 12


def wheels_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """What the order mounts on each axle."""
    if order.kind == OrderKind.SURVEY_VISIT:
        return None
    context = {
        "order": order,
        "wheels": fitted_once(order),
        "may_choose": order.is_open and has_role(request.user, "writer"),
    }
    return Panel(_("Wheels and tyres"), "fitment/panels/wheels.html", context, "wheels")


def mounting_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """Whether wheels and tyres go on the car, and may: what fails first, then what is open."""
    if not order.needs_check:
        return None
    context = mounting_page(order, state_once(order))
    if not context:
        return None
    may = order.is_open and has_role(request.user, "writer", "technician")
    return Panel(
        _("Mounting checks"),
        "fitment/panels/mounting.html",
        {**context, "may_change": may},
        "mounting",
    )


def guides_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """What makers publish about this car, condition by condition."""
    if not order.needs_check or order.vehicle.car_model_id is None:
        return None
    state = state_once(order)
    fitted = fitted_once(order)
    guides, outdated = guides_held(order, state, earlier_jobs_once(order), fitted)
    if not guides and not outdated:
        return None
    context = {
        "order": order,
        "guides": guides,
        "outdated": outdated,
        "quote": order.quotes.first() if outdated else None,
        "may_rely": order.is_open and has_role(request.user, "writer"),
    }
    return Panel(_("Fitment tables"), "fitment/panels/guides.html", context, "guides")


def car_model_guides_panel(request: HttpRequest, car_model: CarModel) -> Panel:
    """The tables that are on record for a car model."""
    guides = Guide.objects.current().filter(car_model=car_model)
    context = {"car_model": car_model, "guides": guides}
    return Panel(_("Fitment tables"), "fitment/panels/car_model_guides.html", context, "guides")


def earlier_jobs_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """Earlier jobs on this car model: what was measured, beside what is predicted here."""
    if not order.needs_check:
        return None
    lines = earlier_jobs_once(order)
    if not lines:
        return None
    context = {"order": order, "lines": first_rows(lines, LINES_SHOWN)}
    return Panel(_("Earlier jobs"), "fitment/panels/earlier_jobs.html", context, "seen")

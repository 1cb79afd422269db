"""Corners of a car on its car model's page and on a survey visit: surveyed, or to be measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from fitment.models.surveys import SurveyLogEntry
from fitment.surveys.progress import corners_to_measure
from shop.extensions.panels import Panel
from shop.models import OrderKind
from shop.site.view_helpers import has_role
from shop.values.first_rows import first_rows

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import CarModel, WorkOrder

#: Entries of the log that are shown.
LOG_SHOWN = 8


def survey_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """On a survey visit: the corners to measure, how far each is, and what to read next."""
    if order.kind != OrderKind.SURVEY_VISIT:
        return None
    car_model = order.vehicle.car_model
    context = {
        "order": order,
        "car_model": car_model,
        "corners": corners_to_measure(car_model) if car_model else [],
        "may_measure": order.is_open and has_role(request.user, "technician"),
    }
    return Panel(_("Corners to measure"), "fitment/panels/survey.html", context, "survey")


def surveys_panel(request: HttpRequest, car_model: CarModel) -> Panel | None:
    """On a car model's page: its corners, how far each is, and what was done to them."""
    corners = corners_to_measure(car_model)
    surveys = (corner.survey for corner in corners)
    context = {
        "car_model": car_model,
        "corners": corners,
        "any_corner": next((survey.corner for survey in surveys if survey), ""),
        "may_measure": has_role(request.user, "technician"),
        "log": first_rows(SurveyLogEntry.objects.filter(car_model=car_model), LOG_SHOWN),
    }
    return Panel(_("Surveys"), "fitment/panels/surveys.html", context, "surveys")

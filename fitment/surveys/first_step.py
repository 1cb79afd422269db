"""The first survey among the first steps of an empty shop."""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

from fitment.models import CornerSurvey
from shop.extensions.first_steps import FirstStep

FIRST_SURVEY = FirstStep(
    _("Measure the first corner"),
    _("Open a car model and survey a corner: clearance is calculated from it."),
    "car_model_list",
    lambda: CornerSurvey.objects.exists(),
    ("technician",),
)

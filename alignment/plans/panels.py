"""The part of the order page about what each axle is to be set to."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _

from alignment.models import PlannedSetting
from alignment.plans.page import target_choices
from alignment.text.labels import plan_phrases
from shop.extensions.panels import Panel
from shop.languages import speech_of_page
from shop.models import OrderKind, WorkOrder
from shop.site.view_helpers import has_role


def _moves_nothing(order: WorkOrder) -> bool:
    return order.kind == OrderKind.SURVEY_VISIT or not order.moves_wheel_or_height


def plan_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """Planned settings in words; nothing on a job that cannot have any."""
    plans = list(PlannedSetting.objects.of_order(order))
    if not plans and order.kind != OrderKind.ALIGNMENT and _moves_nothing(order):
        return None
    speech = speech_of_page()
    context = {
        "order": order,
        "plans": [
            {"title": p.get_axle_display(), "phrases": plan_phrases(p, speech), "plan": p}
            for p in plans
        ],
        "may_plan": order.is_open and has_role(request.user, "writer", "technician"),
        **target_choices(order),
    }
    return Panel(_("Planned settings"), "alignment/panels/plan.html", context, "plan")

"""The part of the order page about what each axle is to be set to."""

from __future__ import annotations

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from alignment.models import PlannedSetting
from alignment.plans.page import target_choices
from alignment.text.labels import plan_phrases
from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.languages import speech_of_page
from shop.models import OrderKind, WorkOrder
from shop.site.view_helpers import has_role


def _moves_nothing(order: WorkOrder) -> bool:
    return order.kind == OrderKind.SURVEY_VISIT or not order.moves_wheel_or_height


def plan_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """Planned settings in words; nothing on a job that cannot have any."""
    plans = list(PlannedSetting.objects.of_order(order))
    if not plans and order.kind != OrderKind.ALIGNMENT and _moves_nothing(order):
        return []
    speech = speech_of_page()
    said = [f"{p.get_axle_display()}: {', '.join(plan_phrases(p, speech))}." for p in plans]
    may_plan = order.is_open and has_role(request.user, "writer", "technician")
    label = _("Planned settings")
    if may_plan:
        label = _("Edit planned settings") if plans else _("Plan the settings")
    return [
        OrderAnswer(
            Question.FITS,
            _("Planned settings"),
            " ".join(said) or _("Nothing is planned yet."),
            links=(AnswerLink(label, reverse("plan_edit", args=[order.pk]), is_act=may_plan),),
            detail=_from_sheet(order),
            anchor="plan",
        )
    ]


def _from_sheet(order: WorkOrder) -> str:
    """The target sheet that the order was planned from, and what has to be known of it."""
    choices = target_choices(order)
    target, newer = choices["target"], choices["newer"]
    if target is None:
        return ""
    said = [_("Planned from {sheet}.").format(sheet=target.sheet)]
    if target.reason:
        said.append(_("Differs: {reason}").format(reason=target.reason))
    if newer is not None:
        words = _("Version {number} is newer; this order keeps its own.")
        said.append(words.format(number=newer.version))
    return " ".join(said)

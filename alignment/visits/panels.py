"""Parts of the order page that this app renders."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from alignment.models import RackVisit
from alignment.visits.order_readings_page import OrderReadings, readings_of
from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.extensions.panels import Panel
from shop.models import Vehicle, WorkOrder
from shop.site.view_helpers import has_role


def vehicle_readings_panel(request: HttpRequest, vehicle: Vehicle) -> Panel | None:
    """A vehicle's visits to the rack, with the link to their readings."""
    visits = RackVisit.objects.filter(vehicle=vehicle)
    context = {"vehicle": vehicle, "count": visits.count(), "last": visits.last()}
    return Panel(_("On the rack"), "alignment/panels/vehicle.html", context, "rack")


def readings_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """How the car stood on the rack, in a sentence; the table has a page of its own."""
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    may_enter = order.is_open and has_role(request.user, "technician")
    if not visits:
        enter = AnswerLink(
            _("Enter readings before the work"),
            reverse("visit_new", args=[order.pk]),
            is_act=True,
        )
        return [_answer(_("The car has not been on the rack yet."), (enter,) if may_enter else ())]
    shown = readings_of(order, visits)
    links = [AnswerLink(_("Readings"), reverse("order_readings", args=[order.pk]))]
    if may_enter:
        url = f"{reverse('visit_new', args=[order.pk])}?stage=after"
        links.append(AnswerLink(_("Enter readings"), url, is_act=True))
    if has_role(request.user, "technician") and shown.may_adjust:
        label = _("Suggested adjustments") if may_enter else _("Adjustments made")
        links.append(AnswerLink(label, reverse("adjustments", args=[order.pk]), is_act=may_enter))
    return [_answer(_words_of(visits, shown), tuple(links), tuple(shown.beyond_limits))]


def _answer(
    words: str, links: tuple[AnswerLink, ...], cautions: tuple[str, ...] = ()
) -> OrderAnswer:
    title = _("Readings")
    return OrderAnswer(
        Question.DONE, title, words, links=links, cautions=cautions, anchor="readings"
    )


def _words_of(visits: Sequence[RackVisit], shown: OrderReadings) -> str:
    stages = ", ".join(dict.fromkeys(str(visit.get_stage_display()) for visit in visits))
    if out := len(shown.table.out_of_tolerance):
        return ngettext(
            "{stages}: {out} figure out of tolerance.",
            "{stages}: {out} figures out of tolerance.",
            out,
        ).format(stages=stages, out=out)
    return _("{stages}: no figure out of tolerance.").format(stages=stages)

"""Corners of a car on its car model's page and on a survey visit: surveyed, or to be measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext as _

from common.corners import CORNERS
from common.verdicts import GateResult
from fitment.models.surveys import SurveyLogEntry
from fitment.surveys.progress import CornerProgress, corners_to_measure
from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.extensions.panels import Panel
from shop.languages import speech_of_page
from shop.languages.formatting import capital
from shop.models import OrderKind
from shop.site.view_helpers import has_role
from shop.values.first_rows import first_rows

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import CarModel, WorkOrder

#: Entries of the log that are shown.
LOG_SHOWN = 8


def survey_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """On a survey visit: each corner to measure, how far it is, and the way to its readings."""
    if order.kind != OrderKind.SURVEY_VISIT:
        return []
    car_model = order.vehicle.car_model
    if car_model is None:
        choose = AnswerLink(
            _("Choose its car model"), reverse("vehicle_edit", args=[order.vehicle_id]), is_act=True
        )
        words = _("The vehicle has no car model yet. Then its corners can be measured.")
        title = _("Corners to measure")
        return [OrderAnswer(Question.DONE, title, words, links=(choose,), anchor="survey")]
    may_measure = order.is_open and has_role(request.user, "technician")
    corners = zip(CORNERS, corners_to_measure(car_model), strict=True)
    return [_corner_answer(order, name, one, may_measure) for name, one in corners]


def _corner_answer(
    order: WorkOrder, key: str, corner: CornerProgress, may_measure: bool
) -> OrderAnswer:
    name = capital(speech_of_page().say(corner.name))
    links = [AnswerLink(_("Survey, {corner}").format(corner=name), corner.url)]
    if corner.broken:
        url = reverse("session_withdraw", args=[corner.broken])
        links.append(AnswerLink(_("Withdraw a reading"), url))
    if may_measure:
        label = _("Continue measuring: {corner}") if corner.is_begun else _("Measure: {corner}")
        url = f"{corner.measure_url}?order={order.pk}"
        links.append(AnswerLink(label.format(corner=name), url, is_act=True))
    return OrderAnswer(
        Question.DONE,
        name,
        _corner_words(corner),
        verdict=None if corner.survey else GateResult.UNMEASURED,
        links=tuple(links),
        anchor=f"survey-{key}",
    )


def _corner_words(corner: CornerProgress) -> str:
    if corner.broken:
        return _("Begun, but the readings cannot be worked out.")
    if corner.is_begun:
        return _("{done} of {steps} steps done. Next: {next_words}.").format(
            done=corner.done, steps=corner.steps, next_words=corner.next_words
        )
    if corner.survey:
        return _("Version {version}, measured {day}.").format(
            version=corner.survey.version, day=speech_of_page().day(corner.survey.measured_on)
        )
    if corner.other_side:
        return _("Not begun; the other side is on record and can be copied.")
    return _("Not begun.")


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

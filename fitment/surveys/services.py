"""Surveys of a car model's corners: new versions, the other side, and over from elsewhere."""

from __future__ import annotations

import copy
import math
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from common.corners import OTHER_SIDE
from fitment.engine import checkfile
from fitment.engine.defaults import FEATURE
from fitment.engine.model import LINK
from fitment.models import CornerSurvey
from fitment.surveys.log import survey_log_write
from shop.languages import speech_of_shop
from shop.models import CarModel
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User

Document = dict[str, Any]
#: Added to every place when a corner stands in for the other side: bodies are not symmetric
#: to the millimetre. Standard uncertainty, mm; a judgement of this project.
MIRROR_SIGMA_MM = 2.0
#: What the log says of a survey that was saved, where nothing more is known.
SAVED = gettext_lazy("Survey saved")
#: Offered when a corner is taken over from another car model: sheet metal of a sister body sits
#: within some millimetres. Standard uncertainty, mm; a judgement of this project, no source.
COPY_SIGMA_MM = 5.0


@transaction.atomic
def survey_save(
    *,
    car_model: CarModel,
    corner: str,
    document: Document,
    measured_on: date,
    measured_by: str,
    notes: str = "",
    mirrored_from: CornerSurvey | None = None,
    copied_from: CornerSurvey | None = None,
    fit: Document | None = None,
    by: User | None = None,
    what: str | Promise = SAVED,
) -> CornerSurvey:
    """Keep a document as the next version of a corner's survey; ``fit`` as in the model.

    ``what`` was done, by whom, is written to the car model's log. Raises checkfile.BadCheckFile if
    the document is not one.
    """
    checkfile.parse_corner_survey(document)
    CarModel.objects.select_for_update().get(pk=car_model.pk)
    versions = CornerSurvey.objects.filter(car_model=car_model, corner=corner)
    newest = versions.aggregate(newest=Max("version"))["newest"] or 0
    survey = CornerSurvey.objects.create(
        car_model=car_model,
        corner=corner,
        version=newest + 1,
        measured_on=measured_on,
        measured_by=measured_by,
        document=document,
        notes=notes,
        mirrored_from=mirrored_from,
        copied_from=copied_from,
        fit=fit or {},
    )
    survey_log_write(
        car_model=car_model,
        corner=corner,
        what=speech_of_shop().say(
            "{what}: version {version}",
            what=speech_of_shop().say(what),
            version=survey.version,
        ),
        detail=notes,
        by=by,
        who=measured_by,
    )
    return survey


def fit_still_true(before: CornerSurvey | None, document: Document) -> Document:
    """The record of fitted joints, as long as a new document has the same joints."""
    if before is None or not before.fit:
        return {}
    was, now = (dict(whole["suspension"]) for whole in (before.document, document))
    for suspension in (was, now):
        suspension.pop("reach", None)
        suspension.pop("measured", None)
    return before.fit if was == now else {}


def survey_mirror(*, survey: CornerSurvey, by: User) -> CornerSurvey:
    """Take a corner's survey for the other side of the car, with the uncertainty that this adds.

    The frame of a corner is mirrored already, so the figures stay; every spot's standard
    uncertainty becomes the root of its square plus :data:`MIRROR_SIGMA_MM` squared.
    """
    document = mirrored(survey.document)
    return survey_save(
        car_model=survey.car_model,
        corner=OTHER_SIDE[survey.corner],
        document=document,
        measured_on=survey.measured_on,
        measured_by=survey.measured_by,
        mirrored_from=survey,
        fit=survey.fit,
        by=by,
        what=gettext_lazy("Taken over from the other side"),
        notes=speech_of_shop().say(
            "Taken over from the {corner}, version {version}, by {person} on {day}; {sigma} mm "
            "were added to the uncertainty of every spot.",
            corner=speech_of_shop().say(survey.corner_name),
            version=survey.version,
            person=by.shown_name,
            day=f"{timezone.localdate():%d.%m.%Y}",
            sigma=f"{MIRROR_SIGMA_MM:g}",
        ),
    )


@transaction.atomic
def survey_copy(
    *, survey: CornerSurvey, car_model: CarModel, sigma_mm: float, why: str, by: User
) -> CornerSurvey:
    """Take a corner over for another car model: wider, and every spot marked to be confirmed.

    ``why`` says why both should be alike. Raises Refused within one car model.
    """
    if car_model.pk == survey.car_model_id:
        raise Refused(_("This survey belongs to that car model already."))
    return survey_save(
        car_model=car_model,
        corner=survey.corner,
        document=copied(survey.document, sigma_mm),
        measured_on=survey.measured_on,
        measured_by=survey.measured_by,
        copied_from=survey,
        fit=survey.fit,
        by=by,
        what=speech_of_shop().say("Taken over from {car_model}", car_model=survey.car_model),
        notes=speech_of_shop().say(
            "Taken over from {car_model}, version {version}, by {person} on {day}, because: {why} "
            "{sigma} mm were added to the uncertainty of every spot, and every spot is to be "
            "confirmed; joints and stops are those of that car.",
            car_model=survey.car_model,
            version=survey.version,
            person=by.shown_name,
            day=f"{timezone.localdate():%d.%m.%Y}",
            why=why,
            sigma=f"{sigma_mm:g}",
        ),
    )


def copied(document: Document, sigma_mm: float) -> Document:
    """The document for another car model: same figures, wider, and none of them confirmed there."""
    other = widened(document, sigma_mm)
    for feature in other["survey"]["features"]:
        if feature["carried_by"] != LINK:  # a tube is where its joints are
            feature["to_confirm"] = True
    return other


def mirrored(document: Document) -> Document:
    """The document for the other side: same figures, wider uncertainties."""
    return widened(document, MIRROR_SIGMA_MM)


def widened(document: Document, sigma_mm: float) -> Document:
    """A document with so much added to the uncertainty of every place, in quadrature.

    What jobs taught of a place is taught of that side of that model alone.
    """
    other = copy.deepcopy(document)
    for feature in other["survey"]["features"]:
        feature.pop("learned", None)
        sigma = feature.get("sigma_mm")
        own = FEATURE.value if sigma is None else float(sigma)
        feature["sigma_mm"] = round(math.hypot(own, sigma_mm), 3)
    return other

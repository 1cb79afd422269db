"""Surveys of a pattern's corners: new versions, the other side, and check files in and out."""

from __future__ import annotations

import copy
import math
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from fitment.engine import checkfile
from fitment.engine.checkfile.reader import json_document
from fitment.engine.defaults import FEATURE
from fitment.models import CORNER_NAMES, OTHER_SIDE, CornerSurvey
from shop.models import Pattern

if TYPE_CHECKING:
    from shop.models import User

Document = dict[str, Any]
#: What a survey keeps of a check file's corner.
SURVEY_KEYS = ("survey", "suspension", "limits", "compliance")
#: Added to every place when a corner stands in for the other side: bodies are not symmetric
#: to the millimetre. Standard uncertainty, mm; a judgement of this project.
MIRROR_SIGMA_MM = 2.0


@transaction.atomic
def survey_save(
    *,
    pattern: Pattern,
    corner: str,
    document: Document,
    measured_on: date,
    measured_by: str,
    notes: str = "",
    mirrored_from: CornerSurvey | None = None,
    fit: Document | None = None,
) -> CornerSurvey:
    """Keep a document as the next version of a corner's survey; ``fit`` as in the model.

    Raises checkfile.BadCheckFile if the document is not one.
    """
    checkfile.parse_corner_survey(document)
    Pattern.objects.select_for_update().get(pk=pattern.pk)
    versions = CornerSurvey.objects.filter(pattern=pattern, corner=corner)
    newest = versions.aggregate(newest=Max("version"))["newest"] or 0
    return CornerSurvey.objects.create(
        pattern=pattern,
        corner=corner,
        version=newest + 1,
        measured_on=measured_on,
        measured_by=measured_by,
        document=document,
        notes=notes,
        mirrored_from=mirrored_from,
        fit=fit or {},
    )


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
    """Take a corner's survey for the other side of the car, with the doubt that this adds.

    The frame of a corner is mirrored already, so the figures stay; every place's standard
    uncertainty becomes the root of its square plus :data:`MIRROR_SIGMA_MM` squared.
    """
    document = mirrored(survey.document)
    return survey_save(
        pattern=survey.pattern,
        corner=OTHER_SIDE[survey.corner],
        document=document,
        measured_on=survey.measured_on,
        measured_by=survey.measured_by,
        mirrored_from=survey,
        fit=survey.fit,
        notes=f"Taken over from the {survey.corner_name}, version {survey.version}, by "
        f"{by.shown_name} on {timezone.localdate():%d.%m.%Y}; "
        f"{MIRROR_SIGMA_MM:g} mm were added to the uncertainty of every place.",
    )


def mirrored(document: Document) -> Document:
    """The document for the other side: same figures, wider uncertainties."""
    other = copy.deepcopy(document)
    for feature in other["survey"]["features"]:
        sigma = feature.get("sigma_mm")
        own = FEATURE.value if sigma is None else float(sigma)
        feature["sigma_mm"] = round(math.hypot(own, MIRROR_SIGMA_MM), 3)
    return other


def survey_export(survey: CornerSurvey) -> Document:
    """A check file that holds this corner's survey and leaves wheel, tyre and plan open."""
    corner = {key: survey.document[key] for key in SURVEY_KEYS if survey.document.get(key)}
    return {
        "archroom_check": 1,
        "label": str(survey),
        "corners": {survey.corner: corner},
    }


def survey_of_file(text: str | bytes, corner: str) -> Document:
    """The survey of one corner out of a check file, whole or without wheel, tyre and plan.

    Takes the corner that is asked for or, if the file has just one, that one.
    Raises checkfile.BadCheckFile with every problem, paths as in the file.
    """
    whole = json_document(text)
    name, part = _corner_of(whole, corner)
    document = {key: part[key] for key in SURVEY_KEYS if part.get(key) is not None}
    try:
        checkfile.parse_corner_survey(document)
    except checkfile.BadCheckFile as bad:
        raise checkfile.BadCheckFile(
            checkfile.Problem(f"corners.{name}.{problem.path}".rstrip("."), problem.message)
            for problem in bad.problems
        ) from None
    return document


def _corner_of(whole: object, wanted: str) -> tuple[str, Document]:
    def refuse(path: str, message: str) -> checkfile.BadCheckFile:
        return checkfile.BadCheckFile([checkfile.Problem(path, message)])

    if not isinstance(whole, dict) or whole.get("archroom_check") != 1:
        raise refuse("archroom_check", "is not 1, so this is not a check file that can be read")
    corners = whole.get("corners")
    if not isinstance(corners, dict) or not corners:
        raise refuse("corners", "is missing or empty")
    if wanted in corners:
        name = wanted
    elif len(corners) == 1:
        name = next(iter(corners))
    else:
        raise refuse("corners", f"has no {wanted}, the {CORNER_NAMES[wanted]} corner")
    part = corners[name]
    if not isinstance(part, dict):
        raise refuse(f"corners.{name}", "should be an object with named values")
    return name, part

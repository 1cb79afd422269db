"""The log of a car model's surveys: written in the transaction of the act that it tells of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.functional import Promise

from common.shortened import shortened
from fitment.models.surveys import SurveyLogEntry
from shop.languages import speech_of_shop

#: Characters that a name or an act may have in the log.
LONGEST = 120

if TYPE_CHECKING:
    from shop.models import CarModel, User


def survey_log_write(
    *,
    car_model: CarModel,
    corner: str,
    what: str | Promise,
    detail: str = "",
    by: User | None,
    who: str = "",
) -> SurveyLogEntry:
    """Add one entry; a lazy text is written in the shop's language.

    ``who`` where the one who did it is no user here.
    """
    name, said = by.shown_name if by else who, speech_of_shop().say(what)
    return SurveyLogEntry.objects.create(
        car_model=car_model,
        corner=corner,
        by=by,
        who=shortened(name, LONGEST),
        what=shortened(said, LONGEST),
        detail=detail,
    )

"""The log of a car model's surveys: written in the transaction of the act that it tells of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitment.models.surveys import SurveyLogEntry

if TYPE_CHECKING:
    from shop.models import CarModel, User


def survey_log_write(
    *, car_model: CarModel, corner: str, what: str, detail: str = "", by: User | None, who: str = ""
) -> SurveyLogEntry:
    """Add one entry; ``who`` where the one who did it is no user here."""
    name = by.shown_name if by else who
    return SurveyLogEntry.objects.create(
        car_model=car_model, corner=corner, by=by, who=name[:120], what=what[:120], detail=detail
    )

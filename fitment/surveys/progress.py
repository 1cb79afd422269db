"""How far a car model's surveys are, by corner, for the pages that lead to measuring."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from django.urls import reverse

from common.corners import CORNER_NAMES, OTHER_SIDE
from common.message import Message
from fitment.engine import checkfile
from fitment.engine.survey.notes import taken_for_granted
from fitment.engine.survey.steps import minutes_left, steps
from fitment.models import CornerSurvey, SurveySession
from fitment.surveys.session_next import asked_of
from fitment.surveys.sessions import SoFar
from fitment.surveys.worked_out import worked_out

if TYPE_CHECKING:
    from shop.models import CarModel


@dataclass(frozen=True)
class CornerProgress:
    """One corner: the survey on record, and how far a session there has come."""

    name: str
    url: str
    measure_url: str
    survey: CornerSurvey | None
    other_side: CornerSurvey | None
    granted: tuple[Message, ...] = ()
    done: int = 0
    steps: int = 0
    minutes: int = 0
    next_words: str = ""
    #: The session whose readings cannot be worked out; 0 where there is none.
    broken: int = 0

    @property
    def is_begun(self) -> bool:
        return self.steps > 0


def corners_to_measure(car_model: CarModel) -> list[CornerProgress]:
    """All four corners of a car model."""
    current = CornerSurvey.objects.current_by_corner(car_model)
    open_now = SurveySession.objects.going_on().filter(car_model=car_model)
    sessions = {
        session.corner: session for session in open_now.select_related("car_model", "survey")
    }
    return [_progress(car_model, corner, current, sessions.get(corner)) for corner in CORNER_NAMES]


def _progress(
    car_model: CarModel,
    corner: str,
    current: dict[str, CornerSurvey],
    session: SurveySession | None,
) -> CornerProgress:
    survey, other = current.get(corner), current.get(OTHER_SIDE[corner])
    granted = worked_out(f"What {survey} takes for granted", lambda: _granted(survey)) or ()
    at = [car_model.pk, corner]
    standing = CornerProgress(
        CORNER_NAMES[corner],
        reverse("survey", args=at),
        reverse("survey_measure", args=at),
        survey,
        other,
        granted,
    )
    if session is None:
        return standing
    begun = worked_out(f"How far session {session.pk} is", lambda: _begun(standing, session))
    return begun or replace(standing, broken=session.pk)


def _granted(survey: CornerSurvey | None) -> tuple[Message, ...]:
    if survey is None:
        return ()
    return taken_for_granted(checkfile.parse_corner_survey(survey.document))


def _begun(standing: CornerProgress, session: SurveySession) -> CornerProgress:
    """The corner with how far its session is: steps done, all steps, minutes, what is next."""
    so_far = SoFar(session)
    wanted = steps(so_far.sheet, steered=so_far.steered)
    asked = asked_of(so_far, wanted)
    return replace(
        standing,
        done=sum(step.done for step in wanted),
        steps=len(wanted),
        minutes=minutes_left(wanted),
        next_words=asked.words if asked else "finish it",
    )

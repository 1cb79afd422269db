"""Readings as they were typed, without working anything out: to withdraw one, or all of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.readings import POSES
from fitment.models import SurveyReading, SurveySession
from fitment.text.corner_names import corner_said

#: The template of such a page.
BARE = "fitment/survey_withdraw.html"


@dataclass(frozen=True)
class BareRow:
    """One reading in words; ``typed`` is what was typed, figure by figure."""

    kept: SurveyReading
    words: str
    pose: str
    typed: str


def bare_session(session: SurveySession, *, failed: bool = False) -> dict[str, Any]:
    """Context of the page; ``failed`` where the session's own page could not be worked out."""
    readings = session.readings.select_related("by", "struck_by")
    return {
        "session": session,
        "car_model": session.car_model,
        "corner_name": corner_said(session.corner),
        "rows": [bare_row(reading) for reading in readings],
        "failed": failed,
    }


def bare_row(kept: SurveyReading) -> BareRow:
    """A reading as it was typed, odd forms and figures too."""
    form = FORMS.get(kept.form)
    names = {figure.name: figure.words for figure in form.figures} if form else {}
    values = kept.values if isinstance(kept.values, dict) else {"": kept.values}
    typed = "; ".join(
        f"{names.get(name, name)} {_typed(value)}"
        for name, value in values.items()
        if name != "step"
    )
    pose = POSES.get(kept.pose, kept.pose) if form is None or form.in_pose else ""
    return BareRow(kept, form.words if form else kept.form, pose, typed)


def _typed(value: Any) -> str:
    if not isinstance(value, dict):
        return str(value)
    return str(value.get("typed") or value.get("value", ""))

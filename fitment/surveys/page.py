"""What a corner's survey page shows: the survey in numbers and in drawings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from common.corners import CORNER_NAMES, OTHER_SIDE
from fitment.drawings.drawn import Drawing, drawn
from fitment.engine import checkfile
from fitment.engine.defaults import FEATURE
from fitment.engine.drawing.scene import Scene
from fitment.engine.model import LINK, Feature
from fitment.engine.survey.notes import taken_for_granted
from fitment.engine.survey.stops_reached import jam
from fitment.models import CornerSurvey
from fitment.models.surveys import SurveyLogEntry
from fitment.surveys.curves import joint_rows
from fitment.surveys.joints import moved_joints
from fitment.surveys.scene import front_scene, section_scene, side_scene
from fitment.surveys.services import MIRROR_SIGMA_MM
from fitment.text.corner_names import corner_said
from fitment.text.labels import KIND_WORDS, ROD_WORDS, adjuster_text
from shop.languages.figures import fixed
from shop.models import CarModel
from shop.values.first_rows import first_rows

#: Entries of the log that are shown.
LOG_SHOWN = 20


@dataclass(frozen=True)
class FeatureRow:
    feature: Feature
    count: int
    clocks: str
    sigma_mm: float
    sigma_assumed: bool


def survey_heads(car_model: CarModel, corner: str, shown: CornerSurvey | None) -> dict[str, Any]:
    """What the page shows of any survey."""
    return {
        "car_model": car_model,
        "corner": corner,
        "corner_name": corner_said(corner),
        "other_side": corner_said(OTHER_SIDE[corner]),
        "mirror_sigma_mm": MIRROR_SIGMA_MM,
        "corners": CORNER_NAMES.items(),
        "shown": shown,
    }


def survey_page(car_model: CarModel, corner: str, shown: CornerSurvey | None) -> dict[str, Any]:
    """Context of the page; ``shown`` None while the corner is not measured."""
    context = survey_heads(car_model, corner, shown)
    if shown is None:
        return context
    measured = checkfile.parse_corner_survey(shown.document)
    return context | {
        "measured": measured,
        "kind": KIND_WORDS[measured.suspension.kind],
        "features": [_row(feature) for feature in measured.survey.features],
        "granted": taken_for_granted(measured),
        "jam": jam(measured.survey, measured.suspension, measured.limits),
        "log": first_rows(
            SurveyLogEntry.objects.filter(car_model=car_model, corner=corner), LOG_SHOWN
        ),
        "reach": [
            (adjuster_text(name), low, high)
            for name, (low, high) in measured.suspension.reach.items()
        ],
        "drawings": list(_drawings(shown, measured)),
        "sheet": measured.suspension.measured,
        "moved": joint_rows(
            moved_joints(shown.fit.get("moved_mm", {}), shown.document["suspension"])
        ),
        "has_joints": not measured.suspension.is_read_as_curves,
    }


def _drawings(shown: CornerSurvey, measured: checkfile.Measured) -> Iterator[Drawing]:
    scenes: list[Scene] = [
        side_scene(measured.survey, measured.suspension),
        section_scene(measured.survey),
    ]
    if not measured.suspension.is_read_as_curves:
        scenes.append(front_scene(measured.suspension))
    return drawn(scenes, id_prefix=f"survey-{shown.pk}")


def _row(feature: Feature) -> FeatureRow:
    clocks = [point.clock_deg for point in feature.points]
    return FeatureRow(
        feature=feature,
        count=len(feature.points) or len(feature.xyz_mm),
        clocks=_span(clocks) if clocks else _without_clocks(feature),
        sigma_mm=FEATURE.value if feature.sigma_mm is None else feature.sigma_mm,
        sigma_assumed=feature.sigma_mm is None,
    )


def _without_clocks(feature: Feature) -> str:
    if feature.carried_by == LINK:
        return _("between the joints of {rod}").format(
            rod=_(ROD_WORDS[feature.link]) if feature.link in ROD_WORDS else feature.link
        )
    return _("as x, y, z")


def _span(clocks: list[float]) -> str:
    first, last = (fixed(end, 0, signed=True) for end in (min(clocks), max(clocks)))
    return _("{first}° to {last}°").format(first=first, last=last)

"""What a wheel was seen to do, brought into a survey: a bump-steer sheet, or fitted joints."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from alignment.geometry.joint_fit import READING_SIGMA_DEG, Fit, fit_joints
from alignment.geometry.model import JOINT_SIGMA_MM, Suspension, TravelReading
from common.numerals import fixed
from fitment.engine import checkfile
from fitment.engine.checkfile.write import dump_fitted
from fitment.models import CornerSurvey
from fitment.surveys.services import survey_save

Document = dict[str, Any]
#: A joint that had to go farther than this many of its own uncertainties is worth another look.
FAR_SIGMAS = 2.0


@dataclass(frozen=True)
class MovedJoint:
    """How far a joint went, in mm and in its own standard uncertainties."""

    name: str
    moved_mm: float
    sigma_mm: float

    @property
    def sigmas(self) -> float:
        return self.moved_mm / self.sigma_mm

    @property
    def is_far(self) -> bool:
        return self.sigmas > FAR_SIGMAS


def sheet_save(
    *, survey: CornerSurvey, sheet: Document | None, measured_on: date, measured_by: str
) -> CornerSurvey:
    """A new version of a survey with a bump-steer sheet beside its model, or without one.

    Raises checkfile.BadCheckFile with every problem of the sheet.
    """
    document = copy.deepcopy(survey.document)
    document["suspension"].pop("measured", None)
    notes = "The bump-steer sheet was taken away."
    if sheet is not None:
        document["suspension"]["measured"] = sheet
        does = "stands instead of" if sheet["use"] == "instead" else "corrects"
        notes = f"A bump-steer sheet of {len(sheet['rows'])} heights {does} the model."
    return survey_save(
        car_model=survey.car_model,
        corner=survey.corner,
        document=document,
        measured_on=measured_on,
        measured_by=measured_by,
        notes=notes,
        mirrored_from=survey.mirrored_from,
        fit=survey.fit,
    )


def as_measured(survey: CornerSurvey) -> Document:
    """The suspension with the joints as they were measured, before any fit."""
    kept: Document = survey.fit.get("suspension") or survey.document["suspension"]
    return kept


def fitted(survey: CornerSurvey, readings: Sequence[TravelReading], sigma_deg: float | None) -> Fit:
    """Fit the measured joints to readings. Raises alignment.geometry.joint_fit.CannotFit."""
    document = {**survey.document, "suspension": as_measured(survey)}
    measured = checkfile.parse_corner_survey(document)
    return fit_joints(
        measured.suspension,
        measured.survey.camber_deg,
        measured.survey.toe_deg,
        tuple(readings),
        sigma_deg or READING_SIGMA_DEG,
    )


def moved_joints(moved_mm: Mapping[str, float], suspension: Document) -> list[MovedJoint]:
    """Joints by how many of their own uncertainties they moved, the farthest first.

    ``suspension`` is the document that says how well joints were read.
    """
    sigma = float(suspension.get("sigma_joints_mm", JOINT_SIGMA_MM))
    rows = [MovedJoint(name, moved, sigma) for name, moved in moved_mm.items()]
    return sorted(rows, key=lambda row: -row.sigmas)


def fit_save(
    *,
    survey: CornerSurvey,
    fit: Fit,
    readings: Sequence[TravelReading],
    measured_on: date,
    measured_by: str,
) -> CornerSurvey:
    """A new version with the fitted joints; the measured ones and the readings are kept in it."""
    document = copy.deepcopy(survey.document)
    document["suspension"] = with_joints(document["suspension"], fit.suspension)
    farthest = moved_joints(fit.moved_mm, document["suspension"])[0]
    return survey_save(
        car_model=survey.car_model,
        corner=survey.corner,
        document=document,
        measured_on=measured_on,
        measured_by=measured_by,
        notes=f"Joints fitted to {len(readings)} heights: camber and toe were off by "
        f"{fixed(fit.before_deg, 2)}° and are now by {fixed(fit.after_deg, 2)}°. The farthest, "
        f"{farthest.name.replace('_', ' ')}, moved {fixed(farthest.moved_mm, 1)} mm. "
        "The measured joints are kept with this version.",
        mirrored_from=survey.mirrored_from,
        fit=fit_record(as_measured(survey), readings, fit),
    )


def fit_record(suspension: Document, readings: Sequence[TravelReading], fit: Fit) -> Document:
    """What is kept of a fit: the joints as measured, the readings, and how far each joint went."""
    return {
        "suspension": suspension,
        "readings": [asdict(reading) for reading in readings],
        "moved_mm": {name: round(moved, 3) for name, moved in fit.moved_mm.items()},
        "before_deg": round(fit.before_deg, 4),
        "after_deg": round(fit.after_deg, 4),
    }


def with_joints(suspension: Document, fitted_to: Suspension) -> Document:
    """A suspension's document with the joints of another of its kind, to a hundredth of a mm, and
    what those were fitted to."""
    document = copy.deepcopy(suspension)
    if fitted_to.fitted is not None:
        document["fitted"] = dump_fitted(fitted_to.fitted)
    if fitted_to.has_named_rods:
        for row, rod in zip(document["links"], fitted_to.links, strict=True):
            row["inner"], row["outer"] = _rounded(rod.inner), _rounded(rod.outer)
        return document
    for name, point in fitted_to.joints.items():
        document[name] = _rounded(point)
    return document


def _rounded(point: Sequence[float]) -> list[float]:
    return [round(value, 2) for value in point]

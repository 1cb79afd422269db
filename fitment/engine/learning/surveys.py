"""Between what was learned and the surveys and checks that carry it."""

from __future__ import annotations

from dataclasses import replace

from fitment.engine.learning.evidence import REPORTING, NextJob, Prior
from fitment.engine.model import Feature, Learned, SpotAnswer, Survey


def taught(survey: Survey, spot: str, learned: Learned | None) -> Survey:
    """The survey with what earlier jobs taught of one spot, or with nothing, for None.

    Raises KeyError for a spot that the survey has not.
    """
    if spot not in {feature.place for feature in survey.features}:
        raise KeyError(spot)
    return _with(survey, {spot: learned})


def as_it_was_measured(survey: Survey) -> Survey:
    """The survey with nothing learned: what evidence is always held against."""
    return _with(survey, {feature.place: None for feature in survey.features})


def _with(survey: Survey, lessons: dict[str, Learned | None]) -> Survey:
    def changed(feature: Feature) -> Feature:
        lesson = lessons.get(feature.place, feature.learned)
        return replace(feature, learned=lesson)

    return replace(survey, features=tuple(changed(feature) for feature in survey.features))


def prior_of(spot: SpotAnswer, reporting: float = REPORTING) -> Prior:
    """What is known of a spot beforehand, from a check of a survey with nothing learned and a car
    with no gaps read. Raises ValueError where its survey or its cars have no uncertainty."""
    parts = spot.sigma_parts
    return Prior(parts.survey_mm, parts.between_cars_mm, reporting)


def job_of(spot: SpotAnswer) -> NextJob:
    """A job at a spot, from its check: all that earlier jobs and gaps added taken off again."""
    return NextJob(spot.clearance_mm - spot.shift_mm, spot.sigma_parts.job_mm)

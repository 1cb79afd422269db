"""What is learned goes into a survey, and a check of that survey states what was proposed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fitment.engine.check import run
from fitment.engine.checkfile import dump, parse
from fitment.engine.learning.evidence import Gap, Observation
from fitment.engine.learning.proposals import check_chance, proposal
from fitment.engine.learning.surveys import as_it_was_measured, job_of, prior_of, taught
from fitment.engine.model import Check, Learned, Survey
from tests.engine.files import STRUT, document

CHECK = parse(document(STRUT))
NAME, CORNER = next(iter(CHECK.corners.items()))
SPOT = CORNER.survey.features[0].place


def with_survey(survey: Survey) -> Check:
    return replace(CHECK, corners={NAME: replace(CORNER, survey=survey)})


def test_gaps_become_a_version_whose_check_states_what_was_proposed() -> None:
    before, *others = run(CHECK).corners[NAME].places
    job = job_of(before)
    short = job.predicted_mm - 4.0
    gaps = [Observation(str(car), job.predicted_mm, 0.7, Gap(short, 0.7)) for car in range(6)]
    told = proposal(prior_of(before), gaps, [job])
    version = with_survey(taught(CORNER.survey, SPOT, told.learned))
    after, *rest = run(parse(dump(version))).corners[NAME].places
    assert after.clearance_mm == pytest.approx(before.clearance_mm + told.learned.shift_mm)
    assert after.sigma_mm**2 == pytest.approx(
        told.spot_sigma_mm[1] ** 2 + before.sigma_parts.job_mm**2
    )
    assert after.touch_chance == pytest.approx(check_chance(told.learned, job), abs=0.02)
    assert [one.clearance_mm for one in rest] == [one.clearance_mm for one in others]
    # the next evidence is held against what was measured, not against what was learned
    assert job_of(after).predicted_mm == pytest.approx(job.predicted_mm)
    assert job_of(after).sigma_mm == pytest.approx(job.sigma_mm)


def test_what_was_learned_can_be_taken_back() -> None:
    learned = Learned(-1.3, 1.8, 2.8, cars=4, observations=11)
    survey = taught(CORNER.survey, SPOT, learned)
    assert survey != CORNER.survey
    assert taught(survey, SPOT, None) == CORNER.survey
    assert as_it_was_measured(survey) == CORNER.survey


def test_a_spot_that_the_survey_has_not_cannot_be_taught() -> None:
    with pytest.raises(KeyError):
        taught(CORNER.survey, "a spot of another car", None)

"""The learning file: the open JSON format in which a spot's evidence is given and answered."""

from __future__ import annotations

from typing import Any

from fitment.engine.checkfile import plausible
from fitment.engine.checkfile.reader import (
    BadCheckFile,
    Node,
    Problem,
    Range,
    Table,
    json_document,
    listed,
)
from fitment.engine.learning.evidence import (
    REPORTING,
    Gap,
    Looked,
    NextJob,
    Observation,
    Prior,
    Question,
    Silent,
)
from fitment.engine.learning.posterior import Posterior

FORMAT_KEY, ANSWER_KEY = "archroom_learning", "archroom_learned"
FORMAT = 1

#: What the figures can sensibly be; a clearance below nothing is an overlap.
CLEARANCE = Range(-300, 500, "mm")
SIGMA_BEFOREHAND = Range(0.01, 50, "mm")
KILOMETRES = Range(0, 1e6, "km")
SHARE = Range(0, 1)
#: More than any shop finds out about one spot.
MOST = 20_000

#: What an observation may have found, each by its own key.
GAP, TOUCHED, SILENT = KINDS = ("gap_mm", "touched", "silent_km")


def loads(text: str | bytes) -> Question:
    """Read a learning file's text. Raises BadCheckFile with every problem in it."""
    return parse(json_document(text))


def parse(document: object) -> Question:
    """Read a learning file that is already JSON. Raises BadCheckFile with every problem in it."""
    problems: list[Problem] = []
    with Node(document, "", problems).table() as file:
        _refuse_other_formats(file)
        prior = _prior(file)
        rows = file.need("observations")
        observations = _observations(rows) if rows else []
        jobs = [_job(row) for row in file.rows("next", most=MOST)]
    if problems:
        raise BadCheckFile(problems)
    return Question(
        Prior(*prior), tuple(Observation(*one) for one in observations if one), tuple(jobs)
    )


def answer_dump(found: Posterior) -> dict[str, Any]:
    """The answer as a JSON document: millimetres and chances, unrounded."""
    return {
        ANSWER_KEY: FORMAT,
        "shift_mm": found.shift_mm,
        "sigma_mm": found.sigma_mm,
        "interval_90_mm": list(found.interval_mm),
        "between_cars_mm": found.between_cars_mm,
        "next": [{"touch_chance": found.touch_chance(job)} for job in found.question.jobs],
    }


def dump(question: Question) -> dict[str, Any]:
    """A question as a learning file."""
    prior = question.prior
    return {
        FORMAT_KEY: FORMAT,
        "prior": {
            "survey_sigma_mm": prior.survey_sigma_mm,
            "between_cars_mm": prior.between_cars_mm,
            "reporting": prior.reporting,
        },
        "observations": [_observation_dump(one) for one in question.observations],
        "next": [
            {"predicted_mm": job.predicted_mm, "sigma_mm": job.sigma_mm} for job in question.jobs
        ],
    }


def _observation_dump(one: Observation) -> dict[str, Any]:
    if isinstance(one.found, Gap):
        found = {GAP: one.found.gap_mm, "gap_sigma_mm": one.found.sigma_mm}
    elif isinstance(one.found, Looked):
        found = {TOUCHED: one.found.touched}
    else:
        found = {SILENT: one.found.km}
    return {"car": one.car, "predicted_mm": one.predicted_mm, "sigma_mm": one.sigma_mm, **found}


def _refuse_other_formats(file: Table) -> None:
    node = file.need(FORMAT_KEY)
    if node is not None and (type(node.value) is not int or node.value != FORMAT):
        node.problem(f"should be {FORMAT}, the only version of the format known here")


def _prior(file: Table) -> tuple[float, float, float]:
    with file.table("prior") as prior:
        return (
            prior.number("survey_sigma_mm", SIGMA_BEFOREHAND),
            prior.number("between_cars_mm", SIGMA_BEFOREHAND),
            prior.number("reporting", SHARE, default=REPORTING),
        )


def _job(row: Node) -> NextJob:
    with row.table() as job:
        return NextJob(
            job.number("predicted_mm", CLEARANCE), job.number("sigma_mm", plausible.SIGMA_MM)
        )


Row = tuple[str, float, float, Gap | Looked | Silent]


def _observations(rows: Node) -> list[Row | None]:
    """What each row holds, None for one with problems. The same twice is a problem."""
    read = [(row, _observation(row)) for row in rows.rows(most=MOST)]
    first: dict[Row, str] = {}
    for row, one in read:
        if one is None:
            continue
        if one in first:
            row.problem(f"is the same observation as {first[one]}; each counts once")
        first.setdefault(one, row.path)
    return [one for _, one in read]


def _observation(row: Node) -> Row | None:
    before = len(row.problems)
    with row.table() as one:
        car = one.text("car")
        predicted = one.number("predicted_mm", CLEARANCE)
        sigma = one.number("sigma_mm", plausible.SIGMA_MM)
        found = _found(one)
        if found is not None:
            _refuse_certainty(one, sigma, found)
    if found is None or len(row.problems) > before:
        return None
    return car, predicted, sigma, found


def _found(one: Table) -> Gap | Looked | Silent | None:
    """What was found; None, with a problem, unless it is exactly one thing."""
    given = [key for key in KINDS if one.has(key)]
    gap_sigma = one.maybe("gap_sigma_mm")
    if not given:
        one.node.problem(f"should say what was found, by {listed(KINDS)}")
        return None
    if len(given) > 1:
        one.node.problem(f"holds {' and '.join(given)}, where one of them belongs")
        return None
    if gap_sigma is not None and given != [GAP]:
        gap_sigma.problem(f"belongs to {GAP} only")
    if given == [GAP]:
        gap = one.number(GAP, CLEARANCE)
        return Gap(gap, one.number("gap_sigma_mm", plausible.SIGMA_MM))
    if given == [TOUCHED]:
        return Looked(one.flag(TOUCHED))
    return Silent(one.number(SILENT, KILOMETRES))


def _refuse_certainty(one: Table, sigma_mm: float, found: Gap | Looked | Silent) -> None:
    """An uncertainty of nothing, where one is needed."""
    if sigma_mm != 0 or (isinstance(found, Gap) and found.sigma_mm != 0):
        return
    if isinstance(found, Gap):
        one.problem("sigma_mm", "should be above zero where gap_sigma_mm is zero")
    else:
        one.problem("sigma_mm", "should be above zero; only a gap with its own may do without")

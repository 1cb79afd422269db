"""What the page of a measuring session shows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext

from alignment.text.render import render
from common.corners import is_left
from fitment.drawings.drawn import Drawing, drawn
from fitment.engine.checkfile import Problem
from fitment.engine.defaults import GAP_READING
from fitment.engine.survey.next_reading import uses
from fitment.engine.survey.notes import taken_for_granted
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_questions import questions
from fitment.engine.survey.reading_sheet import Point
from fitment.engine.survey.readings import PLACES
from fitment.engine.survey.steps import PARTS, Step, minutes_left, steps
from fitment.engine.uncertainty.this_car import is_explained
from fitment.models import SurveyReading
from fitment.surveys.session_form_state import Asked, step_words
from fitment.surveys.session_next import settling_words, what_settles
from fitment.surveys.session_scene import clock_scene, section_scene
from fitment.surveys.sessions import SoFar
from fitment.surveys.withdraw_page import bare_row
from fitment.text.corner_names import corner_said


@dataclass(frozen=True)
class Row:
    """A reading as taken, the point that it gave, and what is asked about it."""

    kept: SurveyReading
    words: str
    pose: str
    typed: str
    point: Point | None
    question: str
    struck: bool = False
    sigma_mm: float | None = None

    @property
    def is_explained(self) -> bool:
        """Whether uncertainty explains the difference between the gap read and the one expected."""
        off = self.off_mm
        return off is not None and self.sigma_mm is not None and is_explained(off, self.sigma_mm)

    @property
    def off_mm(self) -> float | None:
        """A gap read less the gap expected."""
        if self.kept.expected_mm is None or "gap_mm" not in self.kept.values:
            return None
        return float(self.kept.values["gap_mm"]["value"]) - self.kept.expected_mm


def gaps_url(so_far: SoFar) -> str:
    """Where a gap that settles the check at hand is read: on the page of that very car."""
    found, check = what_settles(so_far), so_far.check_at_hand
    if found is None or check is None or found.form != "gap":
        return ""
    return reverse("gaps", args=[check.order.pk, so_far.session.corner])


def measure_page(so_far: SoFar) -> dict[str, Any]:
    """Context of the page, without the form of the next reading."""
    wanted = steps(so_far.sheet, steered=so_far.steered)
    asked = questions(so_far.sheet, so_far.other_side)
    measured = so_far.measured
    rows = {row.pk: bare_row(row) for row in so_far.rows}
    own_wheel = so_far.own_wheel
    return {
        "session": so_far.session,
        "corner_name": corner_said(so_far.session.corner),
        "so_far": so_far,
        "parts": list(_parts(wanted)),
        "done": sum(step.done for step in wanted),
        "left_out": sum(bool(step.left_out) for step in wanted),
        "minutes": minutes_left(wanted),
        "wanted": wanted,
        "uses": uses(measured, so_far.sheet, steered=so_far.steered),
        "own_wheel": own_wheel,
        "own_wheel_guesses": [(said, rows.get(key)) for key, said in own_wheel.guesses],
        "granted": taken_for_granted(measured) if measured else (),
        "settling": settling_words(so_far),
        "gaps_url": gaps_url(so_far),
        "questions": [(told, rows.get(key)) for key, told in asked],
        "rows": list(_rows(so_far, {key: render(told) for key, told in asked})),
        "forms": [(name, form.words) for name, form in FORMS.items() if name != "left_out"],
        "places": _places(so_far),
        "gap_sigma": GAP_READING.value,
        "needed": needed_words(so_far.problems),
        "bump": so_far.sheet.bump,
        "bump_used": so_far.sheet.bump_used,
    }


#: What is missing for a survey, by where a check file would have it.
NEEDED: dict[str, str] = {
    "survey.setting": "camber, toe and height as it stands",
    "survey.features": "a place that was read",
    "suspension.steer_axis": "the steering axis: caster, inclination, and how far inboard it is",
    "suspension.kind": "how it moves: its joints, or camber and toe at a second height",
    "suspension": "how it moves: its joints, or camber and toe at a second height",
    "limits.droop_mm": "the height as it hangs: how far it goes down",
    "limits": "the turn plate at both locks",
}


def needed_words(problems: Sequence[Problem]) -> list[str]:
    """What keeps readings from being a survey, for the technician."""
    found = []
    for problem in problems:
        words = NEEDED.get(problem.path) or f"{problem.path}: {problem.message}"
        if words not in found:
            found.append(words)
    return found


@dataclass(frozen=True)
class PartSteps:
    """One part of the survey with its steps."""

    words: str
    steps: list[tuple[Step, str]]
    done: int

    @property
    def is_open(self) -> bool:
        return any(step.is_open for step, _ in self.steps)


def _parts(wanted: tuple[Step, ...]) -> Iterator[PartSteps]:
    for part, words in PARTS.items():
        mine = [(step, step_words(step)) for step in wanted if step.part == part]
        if mine:
            yield PartSteps(words, mine, sum(step.done for step, _ in mine))


def _places(so_far: SoFar) -> list[str]:
    base = so_far.sheet.base
    known = [feature.place for feature in base.survey.features] if base else []
    return list(dict.fromkeys([*known, *PLACES]))


def _rows(so_far: SoFar, asked: dict[int, str]) -> Iterator[Row]:
    points = {point.reading.key: point for point in so_far.sheet.points}
    for kept in so_far.rows:
        question = asked.get(kept.pk, "")
        expected = None
        if kept.expected_mm is not None:
            expected = so_far.gap(kept.place, kept.pose)
        sigma = expected.sigma_mm if expected else None
        row = _row(kept, points.get(kept.pk), question, sigma_mm=sigma)
        if row.off_mm is not None and sigma is not None and not row.is_explained and not question:
            row = replace(
                row,
                question=gettext(
                    "More than the uncertainty explains. Same spot, wheel and height? If so, the "
                    "survey is off here."
                ),
            )
        yield row
    for kept in so_far.struck:
        yield _row(kept, None, "", struck=True)


def _row(
    kept: SurveyReading,
    point: Point | None,
    question: str,
    *,
    struck: bool = False,
    sigma_mm: float | None = None,
) -> Row:
    bare = bare_row(kept)
    return Row(kept, bare.words, bare.pose, bare.typed, point, question, struck, sigma_mm)


def drawings(so_far: SoFar, wanted: tuple[Step, ...], asked: Asked | None) -> Iterator[Drawing]:
    """Drawings that fill, with what is asked now marked."""
    now = asked.steps if asked else ()
    left = is_left(so_far.session.corner)
    scenes = (clock_scene(so_far.sheet, wanted, now, left=left), section_scene(so_far.sheet))
    return drawn(scenes, id_prefix=f"measure-{so_far.session.pk}")

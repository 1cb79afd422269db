"""What the page of a measuring session shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from fitment.engine.defaults import GAP_READING
from fitment.engine.next_reading import (
    GAP_OFF_MM,
    PARTS,
    Settling,
    Step,
    next_step,
    questions,
    settling,
    steps,
    uses,
)
from fitment.engine.readings import FORMS, PLACES, POSES
from fitment.engine.scene_svg import scene_svg
from fitment.engine.sheet import Point
from fitment.measure_scene import clock_scene, section_scene
from fitment.models import CORNER_NAMES, SurveyReading
from fitment.services.measuring import SoFar


@dataclass(frozen=True)
class Drawing:
    title: str
    svg: SafeString
    legend: tuple[str, ...]


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

    @property
    def off_mm(self) -> float | None:
        """A gap read less the gap expected."""
        if self.kept.expected_mm is None:
            return None
        return float(self.kept.values["gap_mm"]["value"]) - self.kept.expected_mm


@dataclass(frozen=True)
class Asked:
    """The reading that the page asks for: its form, where, in which pose, and why."""

    form: str
    place: str
    pose: str
    clock_deg: float | None
    why: str

    @property
    def words(self) -> str:
        """What to read, in words."""
        at = f", {self.place}" if self.place else ""
        clock = "" if self.clock_deg is None else f" at {self.clock_deg:+.0f}°".replace("-", "−")
        pose = f", {POSES[self.pose]}" if FORMS[self.form].in_pose else ""
        return f"{FORMS[self.form].words}{at}{clock}{pose}"

    @property
    def tool(self) -> str:
        return FORMS[self.form].tool

    def initial(self) -> dict[str, Any]:
        """What the form starts with."""
        clock = {} if self.clock_deg is None else {"clock_deg": self.clock_deg}
        return {"place": self.place, "pose": self.pose, **clock}


def asked_of(so_far: SoFar, wanted: tuple[Step, ...]) -> Asked | None:
    """The next reading: what settles a check's doubt first, else the next of the survey."""
    found = _settling(so_far)
    ready = so_far.sheet.newest("setting") is not None
    if found is not None and ready and found.form != "gap":
        return Asked(found.form, "", found.pose, None, settling_words(so_far))
    step = next_step(wanted)
    return Asked(step.form, step.place, step.pose, step.clock_deg, step.why) if step else None


def settling_words(so_far: SoFar) -> str:
    """Which reading would cut the doubt of the check at hand most, and how far; or empty."""
    found, check = _settling(so_far), so_far.check_at_hand
    if found is None or check is None:
        return ""
    return (
        f"The check of {check.order.number} hangs most on {found.what}: that would bring the "
        f"doubt at the {found.place.place} from ±{found.before_mm:.1f} to ±{found.after_mm:.1f} mm."
    )


def _settling(so_far: SoFar) -> Settling | None:
    """What settles the check at hand, unless it was read in this session."""
    if so_far.check_at_hand is None:
        return None
    found = settling(so_far.check_at_hand.places)
    if found is None:
        return None
    place = found.place.place if FORMS[found.form].at_place else None
    pose = found.pose if FORMS[found.form].in_pose else None
    return None if so_far.sheet.newest(found.form, pose, place) else found


def gaps_url(so_far: SoFar) -> str:
    """Where a gap that settles the check at hand is read: on the page of that very car."""
    found, check = _settling(so_far), so_far.check_at_hand
    if found is None or check is None or found.form != "gap":
        return ""
    return reverse("gaps", args=[check.order.pk, so_far.session.corner])


def measure_page(so_far: SoFar) -> dict[str, Any]:
    """Context of the page, without the form of the next reading."""
    wanted = steps(so_far.sheet, steered=so_far.steered)
    asked = questions(so_far.sheet, so_far.other_side)
    return {
        "session": so_far.session,
        "corner_name": CORNER_NAMES[so_far.session.corner],
        "so_far": so_far,
        "parts": [(f"{part}. {words}", _steps_of(wanted, part)) for part, words in PARTS.items()],
        "done": sum(step.done for step in wanted),
        "wanted": wanted,
        "uses": uses(so_far.measured, so_far.sheet, steered=so_far.steered),
        "settling": settling_words(so_far),
        "gaps_url": gaps_url(so_far),
        "questions": [words for _, words in asked],
        "rows": list(_rows(so_far, dict(asked))),
        "drawings": list(_drawings(so_far, wanted)),
        "forms": [(name, form.words) for name, form in FORMS.items()],
        "places": _places(so_far),
        "gap_sigma": GAP_READING.value,
    }


def _steps_of(wanted: tuple[Step, ...], part: str) -> list[tuple[Step, Asked]]:
    return [
        (step, Asked(step.form, step.place, step.pose, step.clock_deg, step.why))
        for step in wanted
        if step.part == part
    ]


def _places(so_far: SoFar) -> list[str]:
    base = so_far.sheet.base
    known = [feature.place for feature in base.survey.features] if base else []
    return list(dict.fromkeys([*known, *PLACES]))


def _rows(so_far: SoFar, asked: dict[int, str]) -> Iterator[Row]:
    points = {point.reading.key: point for point in so_far.sheet.points}
    for kept in so_far.rows:
        question = asked.get(kept.pk, "")
        row = _row(kept, points.get(kept.pk), question)
        off = row.off_mm
        if off is not None and abs(off) > GAP_OFF_MM and not question:
            far = f"{off:+.0f} mm from what the survey expects. Same spot, wheel and height?"
            row = _row(kept, points.get(kept.pk), far.replace("-", "−"))
        yield row
    for kept in so_far.struck:
        yield _row(kept, None, "", struck=True)


def _row(kept: SurveyReading, point: Point | None, question: str, *, struck: bool = False) -> Row:
    form = FORMS[kept.form]
    names = {figure.name: figure.words for figure in form.figures}
    typed = "; ".join(
        f"{names.get(name, name)} {value['typed'] or value['value']}"
        for name, value in kept.values.items()
    )
    pose = POSES[kept.pose] if form.in_pose else ""
    return Row(kept, form.words, pose, typed, point, question, struck)


def _drawings(so_far: SoFar, wanted: tuple[Step, ...]) -> Iterator[Drawing]:
    for count, scene in enumerate((clock_scene(so_far.sheet, wanted), section_scene(so_far.sheet))):
        svg = scene_svg(scene, id_prefix=f"measure-{so_far.session.pk}-{count}")
        yield Drawing(scene.title, mark_safe(svg), scene.legend)  # noqa: S308  our own writer escapes

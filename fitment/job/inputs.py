"""From an order's rows to the question that the engine answers: a check file, or why not.

Everything that decides a check goes through here, so that the digest of what comes out tells
whether an older check still holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from django.urls import reverse

from common.canonical_json import digest_of
from common.corners import AXLES, CORNER_NAMES, axle_of
from fitment.engine import checkfile
from fitment.engine.check import ENGINE_VERSION
from fitment.job.car import (
    Car,
    Document,
    camber_methods_in,
    car_of_order,
    has_adjuster,
    planned_document,
)
from fitment.job.data import CheckInputs, Problem, Spoken
from fitment.job.uses import use_of_order
from fitment.models import CornerSurvey
from fitment.text import problems as problem_words
from shop.languages import speech_of_page
from shop.languages.formatting import capital
from shop.models import Use

if TYPE_CHECKING:
    from alignment.models import PlannedSetting
    from shop.models import WorkOrder


def _problem(spoken: Spoken, url: str, link: str) -> Problem:
    return Problem(spoken(speech_of_page()), url, link, spoken)


@dataclass(frozen=True)
class _Asked:
    """What one check is asked from."""

    order: WorkOrder
    car: Car
    use: Document | None
    without_profile: tuple[str, ...]


def _digest(document: Document | None, unmeasured: Mapping[str, Document]) -> str:
    """The digest of all inputs and the engine's version.

    ``unmeasured`` holds what is to be mounted and set at corners without a survey: an override
    given for them falls, too, when that changes.
    """
    return digest_of({"engine": ENGINE_VERSION, "document": document, "unmeasured": unmeasured})


def check_inputs(order: WorkOrder) -> CheckInputs:
    """Collect an order's wheels, plan, surveys, parts and use into a check file.

    Nothing is guessed: what is missing or senseless comes back as a problem, and a corner
    without a survey by name. A car of which no corner was measured is unmeasured first of
    all, before anything else that is missing.
    """
    rows = _Asked(order, car_of_order(order), *use_of_order(order))
    if not rows.car.surveys:
        wanted = _touched(rows)
        return CheckInputs(None, _digest(None, wanted), unmeasured=tuple(wanted))
    problems: list[Problem] = list(_missing_choices(rows))
    unmeasured: dict[str, Document] = {}
    corners: dict[str, Document] = {}
    for corner, asked in _touched(rows).items():
        axle, survey = axle_of(corner), rows.car.surveys.get(corner)
        wheels, plan = rows.car.wheels.get(axle), rows.car.plans.get(axle)
        if wheels is None or plan is None:
            continue
        if survey is None:
            unmeasured[corner] = asked
            continue
        found = list(_senseless(rows, corner, plan, survey))
        problems += [problem for problem in found if problem not in problems]
        height = float((plan.adjusters or {}).get("ride_height_mm") or 0.0)
        corners[corner] = rows.car.corner_document(corner, height) | asked
    document = _document(rows, corners)
    if document is not None and not problems:
        problems += _parse_problems(rows, document)
    return CheckInputs(
        document=document,
        digest=_digest(document, unmeasured),
        problems=tuple(problems),
        unmeasured=tuple(unmeasured),
        car=rows.car,
    )


def _touched(rows: _Asked) -> dict[str, Document]:
    """By corner, what the order mounts and sets there; every corner if nothing is chosen yet."""
    nothing_chosen = not rows.car.wheels and not rows.car.plans
    touched: dict[str, Document] = {}
    for corner in CORNER_NAMES:
        wheels, plan = rows.car.wheels.get(axle_of(corner)), rows.car.plans.get(axle_of(corner))
        asked: Document = {}
        if plan is not None:
            asked["planned"] = planned_document(
                toe_deg=plan.toe_deg,
                camber_deg=plan.camber_deg,
                camber_by=plan.camber_by,
                adjusters=plan.adjusters or {},
                rolled_lips=plan.rolled_lips,
            )
        if wheels is not None:
            asked["wheel"] = wheels.wheel.as_document(spacer_mm=wheels.spacer_mm)
            asked["tyre"] = wheels.tyre_document()
        if asked or nothing_chosen:
            touched[corner] = asked
    return touched


def _document(rows: _Asked, corners: Mapping[str, Document]) -> Document | None:
    if not corners or rows.use is None:
        return None
    return {
        "archroom_check": 1,
        "label": f"{rows.order.number}, {rows.order.vehicle}",
        "duty": rows.use,
        "corners": dict(corners),
    }


def _missing_choices(rows: _Asked) -> Iterable[Problem]:
    order = rows.order
    to_wheels = reverse("order_wheels", args=[order.pk])
    to_plan = reverse("plan_edit", args=[order.pk])
    if not rows.car.wheels and not rows.car.plans:
        yield _problem(problem_words.nothing_chosen, to_wheels, "Choose wheels")
    for axle in AXLES:
        plan = rows.car.plans.get(axle)
        if axle in rows.car.wheels and plan is None:
            yield _problem(partial(problem_words.wheels_alone, axle), to_plan, "Plan settings")
        if plan is not None and axle not in rows.car.wheels:
            yield _problem(partial(problem_words.settings_alone, axle), to_wheels, "Choose wheels")
    for name in rows.without_profile:
        use = partial(problem_words.no_use, Use(name).label)
        yield _problem(use, reverse("use_list"), "See the use profiles")


def _senseless(
    rows: _Asked, corner: str, plan: PlannedSetting, survey: CornerSurvey
) -> Iterable[Problem]:
    """Settings and parts that this corner's kind of suspension does not have."""
    to_plan = reverse("plan_edit", args=[rows.order.pk])
    suspension = survey.document["suspension"]
    axle = axle_of(corner)
    kind = survey.kind
    camber_method = camber_methods_in(suspension)
    if plan.camber_deg is not None and plan.camber_by not in camber_method:
        said = partial(
            problem_words.senseless_camber_method, plan.camber_by, axle, kind, camber_method
        )
        yield _problem(said, to_plan, "Change the means")
    for adjuster, value in (plan.adjusters or {}).items():
        if value is not None and not has_adjuster(suspension, adjuster):
            said = partial(problem_words.senseless_adjuster, adjuster, axle, kind)
            yield _problem(said, to_plan, "Change the plan")
    for adjuster, part in rows.car.reaches[corner].items():
        if part.for_this_axle and not has_adjuster(suspension, adjuster):
            said = partial(problem_words.senseless_part, part.part, adjuster, axle, kind)
            yield _problem(said, reverse("order_lines", args=[rows.order.pk]), "Change the parts")


def _parse_problems(rows: _Asked, document: Document) -> list[Problem]:
    """What the check file's own reader finds wrong, each led to where it can be mended."""
    try:
        checkfile.parse(document)
    except checkfile.BadCheckFile as bad:
        return [_at_its_place(rows, problem.path, problem.message) for problem in bad.problems]
    return []


def _at_its_place(rows: _Asked, path: str, message: str) -> Problem:
    order, car_model = rows.order, rows.order.vehicle.car_model
    steps = path.replace("[", ".").replace("]", "").strip("$.").split(".")
    corner = steps[1] if len(steps) > 1 and steps[0] == "corners" else ""
    part = steps[2] if len(steps) > 2 else steps[0]
    where = f"{capital(CORNER_NAMES[corner])}, " if corner in CORNER_NAMES else ""
    record = f"{where}{'.'.join(steps[2:]) if corner else path}: {message}"
    said = partial(problem_words.wrong_figure, record, corner)
    axle = axle_of(corner) if corner in CORNER_NAMES else ""
    if part == "planned":
        return _problem(said, reverse("plan_edit", args=[order.pk]), "Change the plan")
    if part == "wheel" and axle in rows.car.wheels:
        wheel = rows.car.wheels[axle].wheel
        return _problem(said, reverse("wheel_edit", args=[wheel.pk]), "Correct the wheel")
    if part == "tyre" and axle in rows.car.wheels:
        tyre = rows.car.wheels[axle].tyre
        return _problem(said, reverse("tyre_edit", args=[tyre.pk]), "Correct the tyre")
    if part == "duty":
        return _problem(said, reverse("use_list"), "See the use profiles")
    if part == "present":
        url = reverse("gaps", args=[order.pk, corner])
        return _problem(said, url, "Correct the gaps read on this car")
    if corner and car_model is not None:
        url = reverse("survey_edit", args=[car_model.pk, corner])
        return _problem(said, url, "Correct the survey")
    return _problem(said, reverse("order_wheels", args=[order.pk]), "Change the wheels")

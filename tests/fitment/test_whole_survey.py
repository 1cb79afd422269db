"""A whole corner measured step by step on a simulated car, and the corner got back."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse

from fitment.demo.surveys import STRUT_FRONT, WISHBONES_FRONT
from fitment.engine import checkfile
from fitment.engine.survey.readings import STANDING
from fitment.engine.survey.steps import Step
from fitment.models import CornerSurvey
from tests.factories import make_car_model
from tests.fitment.simulated_car import Car

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
#: Figures are typed to a hundredth of a millimetre or degree, and a point hangs on several.
WITHIN_MM = 0.15


def told(car: Car, step: Step, nth: int) -> Step:
    """A step with which of a place's points is read, where nothing asks for a clock."""
    if step.form == "hub_bar" and step.clock_deg is None:
        name = ("first", "last")[nth] if car.feature(step.place).xyz_mm else str(nth)
        return Step(**{**step.__dict__, "joint": name})
    return step


def answers(car: Car, asked: Any) -> dict[str, str]:
    """What is typed into the form that the page shows."""
    kept = {"place": asked.first.place, "pose": asked.pose}
    if not asked.is_series:
        return kept | car.read(told(car, asked.first, 0))
    for index, step in enumerate(asked.steps):
        for name, value in car.read(told(car, step, index)).items():
            is_shared = name in ("block_mm", "thickness_mm", "depth_side")
            kept[name if is_shared else f"row{index}-{name}"] = value
    return kept


def walked(browser: Client, url: str, car: Car) -> Iterator[Any]:
    """Every page of a survey until nothing more is asked, with what it asked."""
    started = browser.post(url, {"act": "start", **car.read(Step("A", "plan", ""))})
    assert started.status_code == 302, started.context["form"].errors
    for _ in range(60):
        page = browser.get(url)
        asked = page.context["asked"]
        if asked is None:
            return
        yield asked
        step = asked.first
        out_of_reach = step.form == "gap" and car.has(step.place) and not car.over_the_tread(step)
        if step.place and (out_of_reach or not car.has(step.place)):
            why = {"act": "leave", "steps": asked.key, "leave-why": "Nothing there."}
            assert browser.post(url, why).status_code == 302
            continue
        sent = {"act": "read", "form": asked.form, "steps": asked.key, **answers(car, asked)}
        answer = browser.post(url, sent)
        assert answer.status_code == 302, (asked.words, answer.context["form"].errors)
    raise AssertionError("the survey does not end")


@pytest.mark.parametrize(
    ("truth", "kind"), [(STRUT_FRONT, "a strut"), (WISHBONES_FRONT, "two wishbones")]
)
def test_a_survey_read_step_by_step_gives_the_corner_back(
    client_of: Browsers, technician: Any, truth: dict[str, Any], kind: str
) -> None:
    document = copy.deepcopy(truth)
    if kind != "a strut":  # such a corner has no strut tube; something else stands for the knuckle
        tube = next(f for f in STRUT_FRONT["survey"]["features"] if f["place"] == "strut tube")
        document["survey"]["features"] = [
            f for f in document["survey"]["features"] if f["place"] != "strut tube"
        ] + [{**copy.deepcopy(tube), "carried_by": "knuckle"}]
    car = Car(checkfile.parse_corner_survey(document), kind)
    car_model, browser = make_car_model(), client_of(technician)
    url = reverse("survey_measure", args=[car_model.pk, "LF"])
    pages = list(walked(browser, url, car))
    assert len(pages) <= 24
    last = browser.get(url)
    questions = [q.code for q, _ in last.context["questions"] if q.code != "ask.inside-tyre"]
    assert questions == []
    assert last.context["so_far"].problems == ()
    answer = browser.post(url, {"act": "finish", "base_version": "0"})
    assert answer.status_code == 302
    survey = CornerSurvey.objects.get()
    found = checkfile.parse_corner_survey(survey.document)
    limits = car.truth.limits
    assert found.limits.bump_mm == pytest.approx(limits.bump_mm, abs=0.2)
    assert found.limits.droop_mm == pytest.approx(-car.hanging_mm, abs=0.2)
    assert (found.limits.steer_in_deg, found.limits.steer_out_deg) == pytest.approx(
        (limits.steer_in_deg, limits.steer_out_deg)
    )
    for name, place in car.truth.suspension.joints.items():
        assert found.suspension.joints[name] == pytest.approx(place, abs=0.3), name
    assert survey.fit["after_deg"] <= 0.02
    for feature in found.survey.features:
        if feature.place in ("arch lip", "inner panel"):
            edge = car.edge(feature.place)
            for point in feature.points:
                wheel = car.wheel(STANDING)
                at = wheel.place(point.clock_deg, point.radius_mm, point.axial_mm)
                away = float(np.linalg.norm(edge - at, axis=1).min())
                assert away < WITHIN_MM + 0.9 * (feature.place == "inner panel"), feature.place
    for place in ("frame rail", "strut tube"):
        ends = next(f for f in found.survey.features if f.place == place).xyz_mm
        true_ends = car.feature(place).xyz_mm
        apart = [min(np.linalg.norm(np.subtract(end, one)) for one in true_ends) for end in ends]
        assert max(apart) < 1.0, place
    caliper = next(f for f in found.survey.features if f.place == "brake caliper")
    true = {(p.radius_mm, p.axial_mm) for p in car.feature("brake caliper").points[:3]}
    assert {(p.radius_mm, p.axial_mm) for p in caliper.points} == true

"""Give under side load that is assumed: named on the plan or the survey, said wherever used."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from alignment.text.labels import plan_sentence
from fitment.clearance.services import check_run
from fitment.demo.surveys import STRUT_FRONT
from fitment.job.state import check_state
from fitment.models import CornerSurvey
from tests.factories import make_car_model
from tests.fitment.factories import make_ready_order, make_survey
from tests.fitment.test_surveys import send, typed

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def unmeasured_compliance() -> dict[str, Any]:
    document = copy.deepcopy(STRUT_FRONT)
    del document["compliance"]
    return document


def order_without_compliance(**values: Any) -> Any:
    """An order for track use on a car whose compliance was not measured."""
    car_model = make_car_model()
    for corner in ("LF", "RF"):
        make_survey(car_model, corner, document=unmeasured_compliance())
    return make_ready_order(car_model=car_model, use="track", **values)


def plan_with(browser: Client, order: Any, bushes: str) -> None:
    plan = order.planned_settings.get()
    answer = browser.post(
        reverse("plan_edit", args=[order.pk]),
        {
            "toe_unit": "deg",
            "front_version": str(plan.version),
            "rear_version": "0",
            "front_camber": "-2.4",
            "front_camber_by": "top_mount",
            "front_toe": "0.05",
            "front_ride_height_mm": "-15",
            "front_bushes": bushes,
        },
    )
    assert answer.status_code == 302


def test_bushes_chosen_on_the_plan_enter_the_check_and_make_older_checks_stale(
    client_of: Browsers, writer: Any
) -> None:
    order = order_without_compliance()
    first = check_run(order=order, by=writer)
    assert "compliance" not in first.inputs["corners"]["LF"]
    assert "side load" not in str(first.answer["corners"]["LF"].get("assumed"))
    plan_with(client_of(writer), order, "worn")
    assert check_state(order).is_stale
    again = check_run(order=order, by=writer)
    assert again.inputs["corners"]["LF"]["compliance"] == "worn"
    text = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
    assert "Camber under side load +0.9 °/g" in text
    assert "about twice that of good rubber, judgement, no source" in text
    assert "was not measured" not in text


def test_bushes_of_the_plan_go_before_what_was_measured_on_the_car_model(writer: Any) -> None:
    order = make_ready_order(use="track")
    measured = check_run(order=order, by=writer).inputs["corners"]["LF"]["compliance"]
    assert measured == STRUT_FRONT["compliance"]
    order.planned_settings.update(bushes="solid")
    assert check_run(order=order, by=writer).inputs["corners"]["LF"]["compliance"] == "solid"


def test_the_plan_says_which_bushes_were_assumed() -> None:
    order = make_ready_order()
    order.planned_settings.update(bushes="worn")
    assert plan_sentence(order.planned_settings.get()).endswith(
        "compliance of worn rubber bushes assumed."
    )


def test_a_survey_without_measured_give_may_name_bushes(
    client_of: Browsers, technician: Any
) -> None:
    car_model = make_car_model()
    make_survey(car_model, "LF", document=unmeasured_compliance())
    sent = typed(unmeasured_compliance(), bushes="rubber")
    assert send(client_of(technician), car_model, sent).status_code == 302
    saved = CornerSurvey.objects.current(car_model, "LF")
    assert saved
    assert saved.document["compliance"] == "rubber"
    page = client_of(technician).get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    assert "per g: assumed, not measured" in page
    # and stays so when the form is saved again
    assert typed(saved.document)["bushes"] == "rubber"


def test_give_is_measured_or_assumed_not_both(client_of: Browsers, technician: Any) -> None:
    car_model = make_car_model()
    make_survey(car_model, "LF")
    answer = send(client_of(technician), car_model, typed(STRUT_FRONT, bushes="solid"))
    assert "Either measured or assumed" in answer.content.decode()
    assert CornerSurvey.objects.filter(car_model=car_model).count() == 1

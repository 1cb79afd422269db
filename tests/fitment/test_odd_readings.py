"""Odd readings: no page ever fails for what a form takes, and all of it can be withdrawn."""

from __future__ import annotations

import copy
import random
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.readings import KIND_CHOICES, PLACES, POSES, WHOLE
from fitment.models import SurveySession
from tests.factories import make_car_model, make_order, make_vehicle
from tests.fitment.factories import DOCUMENTS, make_survey
from tests.fitment.test_measuring import SETTING, SPACE, TYRE
from tests.nights import day_and_night

pytestmark = pytest.mark.django_db

FIGURES = ["0", "-3000", "3000", "0.01", "31.1", "89.9", "90", "-90", "180", "1e-9", "360", "45"]
SIZES = ["225/45R17", "335/25R22", "145/80R10"]
ASKED = [name for name in FORMS if name not in ("plan", "left_out")]


def typed(form: str, pose: str, drawn: random.Random) -> dict[str, str]:
    """What may be typed into a form: anything from a usual figure to nonsense."""
    values = {"place": drawn.choice([*PLACES, "heat shield"]), "pose": pose}
    for figure in FORMS[form].figures_in(pose):
        if figure.choices:
            values[figure.name] = drawn.choice(figure.choices)
        elif figure.text:
            values[figure.name] = drawn.choice(SIZES) if figure.name == "size" else ""
        elif figure.required or drawn.random() < 0.8:
            usual = [f"{drawn.uniform(-500, 500):.1f}", f"{drawn.uniform(10, 45):.1f}", "-1.2"]
            values[figure.name] = drawn.choice([*FIGURES, *usual, *usual, *usual])
    return values


def measured(browser: Client, drawn: random.Random) -> tuple[SurveySession, Any]:
    """A session of odd readings, over a survey or none, and a visit that shows it."""
    car_model, corner = make_car_model(), drawn.choice(["LF", "RF", "LR"])
    base = drawn.choice(["", "strut", "linked"])
    if base:
        make_survey(car_model, corner, document=copy.deepcopy(DOCUMENTS[base][corner]))
    measure = reverse("survey_measure", args=[car_model.pk, corner])
    plan = {"level": WHOLE, "kind": drawn.choice(list(KIND_CHOICES))}
    browser.post(measure, {"act": "start", **plan})
    for form, values in (("setting", SETTING), ("front_space", SPACE), ("present_tyre", TYRE)):
        browser.post(measure, {"act": "read", "form": form, **values})
    for _ in range(drawn.randint(4, 12)):
        form, pose = drawn.choice(ASKED), drawn.choice(list(POSES))
        answer = browser.post(measure, {"act": "read", "form": form, **typed(form, pose, drawn)})
        assert answer.status_code in (200, 302)
    visit = make_order(kind="survey_visit", vehicle=make_vehicle(car_model=car_model))
    return SurveySession.objects.get(car_model=car_model), visit


@pytest.mark.parametrize("seed", day_and_night(range(8), range(300)))
def test_no_page_fails_for_what_was_read(seed: int, client_of: Any, technician: Any) -> None:
    browser = client_of(technician)
    session, visit = measured(browser, random.Random(seed))
    measure = session.get_absolute_url()
    version = session.car_model.surveys.count()
    sent = {"act": "finish", "base_version": str(version), "own_wheel_why": "as it was read"}
    for page in (
        measure,
        f"{measure}?form=gap&pose=lock_in",
        f"{measure}?form=gap&pose=lock_out",
        reverse("survey_session", args=[session.pk]),
        reverse("session_withdraw", args=[session.pk]),
        reverse("car_model", args=[session.car_model_id]),
        reverse("order", args=[visit.pk]),
    ):
        answer = browser.get(page)
        assert answer.status_code == 200
        assert not answer.context.get("failed"), "worked out by the page that needs no figures"
    assert browser.post(measure, sent).status_code == 302
    for page in (reverse("survey", args=[session.car_model_id, session.corner]), measure):
        answer = browser.get(page)
        assert answer.status_code == 200
        assert not answer.context.get("failed")
    link = reverse("session_withdraw", args=[session.pk])
    assert browser.post(link, {"why": "none of it is right"}).status_code == 302
    session.refresh_from_db()
    assert session.discarded_by == technician

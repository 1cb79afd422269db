"""Joints fitted to readings at heights, bump-steer sheets, and tubes carried by rods."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.demo.car import AT_HEIGHTS, SHEET
from fitment.demo.surveys import STRUT_FRONT, WISHBONES_FRONT, tube
from fitment.engine import checkfile
from fitment.job.state import check_state
from fitment.models import CornerSurvey
from fitment.surveys.entry_forms import SurveyEntry
from fitment.surveys.joints import fit_save, fitted, sheet_save
from fitment.surveys.services import survey_mirror
from shop.models import CarModel
from tests.factories import make_car_model
from tests.fitment.factories import make_ready_order, make_survey

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
WHO = {"measured_on": "2026-03-04", "measured_by": "Tomas"}


def saloon() -> CornerSurvey:
    return make_survey(make_car_model(), document=copy.deepcopy(WISHBONES_FRONT))


def newest(car_model: CarModel) -> CornerSurvey:
    survey = CornerSurvey.objects.current(car_model, "LF")
    assert survey is not None
    return survey


def address(name: str, survey: CornerSurvey) -> str:
    return reverse(name, args=[survey.car_model_id, survey.corner])


# Joints


READ = WHO | {
    "standing_camber_deg": "-0,4",
    "standing_toe_deg": "0,08",
    "hanging_travel_mm": "-58",
    "hanging_camber_deg": "-1,95",
    "hanging_toe_deg": "0,55",
    "jacked_travel_mm": "38",
    "jacked_camber_deg": "-0,18",
    "jacked_toe_deg": "-0,08",
}


def test_a_fit_is_looked_at_before_it_is_kept(client_of: Browsers, technician: Any) -> None:
    survey, browser = saloon(), client_of(technician)
    text = browser.post(address("joint_fit", survey), READ | {"act": "try"}).content.decode()
    assert "Camber and toe were off by" in text
    assert "Toe link or tie rod, at the body" in text
    assert newest(survey.car_model) == survey
    browser.post(address("joint_fit", survey), READ | {"act": "save"})
    kept = newest(survey.car_model)
    assert kept.version == 2
    assert "measured joints are kept" in kept.notes
    assert kept.fit["suspension"] == survey.document["suspension"]
    assert kept.document["suspension"]["tie_inner"] != survey.document["suspension"]["tie_inner"]
    assert kept.fit["after_deg"] < 0.5 * kept.fit["before_deg"]
    page = browser.get(address("survey", kept)).content.decode()
    assert "How far the fit moved each joint" in page


def test_a_second_fit_starts_from_the_joints_as_measured() -> None:
    survey = saloon()
    fit = fitted(survey, AT_HEIGHTS, None)
    kept = fit_save(survey=survey, fit=fit, readings=AT_HEIGHTS, **WHO)
    again = fitted(kept, AT_HEIGHTS, None)
    assert again.before_deg == pytest.approx(fit.before_deg)
    assert again.moved_mm == pytest.approx(fit.moved_mm)


def test_the_other_side_and_a_correction_keep_what_was_fitted(technician: Any) -> None:
    survey = saloon()
    fit = fitted(survey, AT_HEIGHTS, None)
    kept = fit_save(survey=survey, fit=fit, readings=AT_HEIGHTS, **WHO)
    assert survey_mirror(survey=kept, by=technician).fit == kept.fit


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"hanging_travel_mm": "58"}, "hanging wheel is in droop"),
        ({"jacked_travel_mm": "-38"}, "jacked up is in bump"),
        ({"hanging_travel_mm": ""}, "how far from standing"),
        ({"standing_toe_deg": ""}, "required"),
        ({"jacked_camber_deg": "", "jacked_toe_deg": ""}, "what was read at this height"),
    ],
)
def test_readings_that_make_no_sense_are_refused(
    client_of: Browsers, technician: Any, changed: dict[str, str], said: str
) -> None:
    survey = saloon()
    sent = READ | changed | {"act": "save"}
    text = client_of(technician).post(address("joint_fit", survey), sent).content.decode()
    assert said in text
    assert newest(survey.car_model) == survey


def test_a_fit_needs_one_height_away_from_standing(client_of: Browsers, technician: Any) -> None:
    sent = WHO | {"standing_camber_deg": "-0.4", "standing_toe_deg": "0.08", "act": "try"}
    text = client_of(technician).post(address("joint_fit", saloon()), sent).content.decode()
    assert "at least one height" in text


# Sheets


def test_a_sheet_is_typed_drawn_and_used_by_the_check(client_of: Browsers, technician: Any) -> None:
    order = make_ready_order()
    check_run(order=order, by=technician)
    browser, survey = client_of(technician), newest(order.vehicle.car_model)
    rows = "-40 0,4 -0,30\n-20  0.2  -\n20 -0.15 0.2\n40  -0.3  0.45"
    sent = WHO | {"rows": rows, "use": "correct"}
    text = browser.post(address("travel_sheet", survey), sent, follow=True).content.decode()
    measured = newest(survey.car_model).document["suspension"]["measured"]
    assert measured["use"] == "correct"
    assert [row["travel_mm"] for row in measured["rows"]] == [-40, -20, 0, 20, 40]
    assert "toe_deg" not in measured["rows"][1]
    assert text.count('class="scene"') == 1
    assert "used" in text
    assert check_state(order).is_stale
    check = check_run(order=order, by=technician)
    curves = reverse("clearance_curves", args=[check.pk, "LF"])
    page = browser.get(curves, {"show": "toe"}).content.decode()
    assert ">read</th>" in page


def test_a_sheet_may_stand_instead_of_the_model_and_be_taken_away() -> None:
    survey = saloon()
    kept = sheet_save(survey=survey, sheet=SHEET | {"use": "instead"}, **WHO)
    assert checkfile.parse_corner_survey(kept.document).suspension.measured.instead
    assert "stands instead of the model" in kept.notes
    gone = sheet_save(survey=kept, sheet=None, **WHO)
    assert "measured" not in gone.document["suspension"]
    assert gone.document == survey.document


def test_correcting_a_survey_keeps_its_sheet() -> None:
    kept = sheet_save(survey=saloon(), sheet=SHEET, **WHO)
    entry = SurveyEntry(kind="wishbones", document=kept.document, measured_by="Tomas")
    sent: dict[str, str] = {}
    for form in (entry.form, *entry.features.forms, entry.features.management_form):
        for field in form:
            shown = field.field.prepare_value(field.value())
            sent[field.html_name] = "" if shown in (None, False) else str(shown)
    sent["measured_on"] = "2026-03-05"
    typed = SurveyEntry(kind="wishbones", data=sent, document=kept.document)
    assert typed.is_valid()
    assert typed.document()["suspension"]["measured"] == SHEET


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("0 0 0\n20 x 0", "is not a number"),
        ("20\n40 1 1", "travel, change of camber"),
        ("0 0.2 0\n20 0.1 0.1", "change nothing at travel 0"),
        ("20 0 0\n20 1 1", "does not rise"),
    ],
)
def test_a_sheet_that_makes_no_sense_is_refused_at_its_field(
    client_of: Browsers, technician: Any, rows: str, said: str
) -> None:
    survey = saloon()
    sent = WHO | {"rows": rows, "use": "correct"}
    answer = client_of(technician).post(address("travel_sheet", survey), sent)
    assert said in answer.content.decode()
    assert newest(survey.car_model) == survey


# Tubes


def test_a_tube_is_typed_by_its_rod_and_its_radius() -> None:
    document = copy.deepcopy(STRUT_FRONT)
    document["survey"]["features"].append(tube("tie rod", "tie_rod", radius=9.0))
    entry = SurveyEntry(kind="strut", document=document, measured_by="Tomas")
    sent: dict[str, str] = {}
    for form in (entry.form, *entry.features.forms, entry.features.management_form):
        for field in form:
            shown = field.field.prepare_value(field.value())
            sent[field.html_name] = "" if shown in (None, False) else str(shown)
    sent["measured_on"] = "2026-03-05"
    typed = SurveyEntry(kind="strut", data=sent, document=document)
    assert typed.is_valid()
    assert typed.document()["survey"]["features"][-1] == document["survey"]["features"][-1]


def test_a_survey_with_a_tube_says_between_which_joints_it_runs(
    client_of: Browsers, technician: Any
) -> None:
    page = client_of(technician).get(address("survey", _with_tube())).content.decode()
    assert "between the joints of tie rod or toe link" in page


def _with_tube() -> CornerSurvey:
    document = copy.deepcopy(STRUT_FRONT)
    document["survey"]["features"].append(tube("tie rod", "tie_rod", radius=9.0))
    return make_survey(make_car_model(), document=document)

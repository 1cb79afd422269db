"""Surveys typed, taken over to the other side, and passed on as check files."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.demo.surveys import LINKS_REAR, STRUT_FRONT, WISHBONES_FRONT
from fitment.engine import checkfile
from fitment.models import CornerSurvey
from fitment.surveys.entry_forms import SurveyEntry
from fitment.surveys.files import corners_of_file, survey_export
from fitment.surveys.services import mirrored, survey_mirror
from shop.models import CarModel
from tests.factories import make_car_model
from tests.fitment.factories import make_ready_order, make_survey

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]

CURVES_REAR: dict[str, Any] = {
    **copy.deepcopy(LINKS_REAR),
    "survey": {
        **copy.deepcopy(LINKS_REAR["survey"]),
        "features": [f for f in LINKS_REAR["survey"]["features"] if f["carried_by"] != "link"],
    },
    "suspension": {
        "kind": "curves",
        "table": [
            {"travel_mm": -70, "camber_deg": 1.2, "toe_deg": -0.1, "out_mm": -3, "forward_mm": 0},
            {"travel_mm": 0, "camber_deg": 0, "toe_deg": 0, "out_mm": 0, "forward_mm": 0},
            {"travel_mm": 70, "camber_deg": -1.4, "toe_deg": 0.1, "out_mm": -4, "forward_mm": 0},
        ],
        "camber_pivots": {"upper_arm": [0, -120, -120]},
    },
}


def typed(document: dict[str, Any], **changes: str) -> dict[str, str]:
    """What a browser sends when this survey stands in the form, with some fields retyped."""
    entry = SurveyEntry(kind=document["suspension"]["kind"], document=document, measured_by="Tomas")
    sent: dict[str, str] = {}
    forms = [entry.form, *entry.features.forms, entry.features.management_form]
    for form in forms:
        for field in form:
            value = field.value()
            shown = field.field.prepare_value(value)
            sent[field.html_name] = "" if shown is None or shown is False else str(shown)
            if callable(value):
                sent[field.html_name] = str(value())
    return sent | changes


def send(browser: Client, car_model: CarModel, sent: dict[str, str], kind: str = "") -> Any:
    url = reverse("survey_edit", args=[car_model.pk, "LF"])
    newest = CornerSurvey.objects.current(car_model, "LF")
    sent = {"base_version": str(newest.version if newest else 0)} | {
        name: value for name, value in sent.items() if name != "base_version" or value
    }
    return browser.post(f"{url}?kind={kind}" if kind else url, sent)


@pytest.mark.parametrize("document", [STRUT_FRONT, WISHBONES_FRONT, LINKS_REAR, CURVES_REAR])
def test_a_survey_that_is_saved_untouched_means_the_same(
    client_of: Browsers, technician: Any, document: dict[str, Any]
) -> None:
    car_model = make_car_model()
    make_survey(car_model, "LF", document=copy.deepcopy(document))
    answer = send(client_of(technician), car_model, typed(document))
    assert answer.status_code == 302, answer.context["entry"].form.errors
    saved = CornerSurvey.objects.current(car_model, "LF")
    assert saved is not None
    assert saved.version == 2
    assert checkfile.parse_corner_survey(saved.document) == checkfile.parse_corner_survey(document)


def test_a_first_survey_is_typed_from_nothing(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    assert (
        "This corner is not measured"
        in browser.get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    )
    assert send(browser, car_model, typed(WISHBONES_FRONT), "wishbones").status_code == 302
    text = browser.get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    assert "double-wishbone corner" in text
    assert text.count('class="scene"') == 3
    assert "style=" not in text


def test_numbers_may_be_typed_with_a_comma_and_a_long_minus(
    client_of: Browsers, technician: Any
) -> None:
    car_model = make_car_model()
    sent = typed(STRUT_FRONT, camber_deg="−1,4", **{"feature-0-sigma_mm": "1,5"})
    assert send(client_of(technician), car_model, sent).status_code == 302
    saved = CornerSurvey.objects.get()
    assert saved.document["survey"]["setting"]["camber_deg"] == -1.4


@pytest.mark.parametrize(
    ("changes", "form", "field", "why"),
    [
        ({"camber_deg": "-45"}, "head", "camber_deg", "outside what is plausible"),
        ({"strut_top": "1 2"}, "head", "strut_top", "2 numbers where 3 belong"),
        ({"strut_top": "-12 -178 62"}, "head", "strut_lower", "has no length"),
        ({"steer_in_deg": ""}, "head", "steer_in_deg", "steers the other way"),
        ({"reach": "toe_lonk_mm -3 3"}, "head", "reach", "no such adjuster"),
        ({"reach": "toe_link_mm"}, "head", "reach", "Line 1"),
        ({"open": "inboard 60 20 50"}, "head", "open", "should come after"),
        ({"open": "above 0 20 50"}, "head", "open", "write the side"),
        ({"camber_deg_per_g": "9"}, "head", "camber_deg_per_g", "outside what is plausible"),
        ({"aft_mm_per_g": "99"}, "head", "aft_mm_per_g", "outside what is plausible"),
        ({"tyre_side_mm_per_g": "-1"}, "head", "tyre_side_mm_per_g", "outside"),
        ({"feature-0-points": "-75 374 66\n0 366 oops"}, 0, "points", "Line 2"),
        ({"feature-0-points": "-75 374 66\n0 3 85"}, 0, "points", "line 2 radius_mm"),
        ({"feature-0-points": ""}, 0, "points", "is missing"),
        ({"feature-1-place": "Arch lip"}, 1, "place", "is named already"),
        ({"feature-1-place": ""}, 1, "place", "should not be empty"),
        ({"feature-2-sigma_mm": "-1"}, 2, "sigma_mm", "outside what is plausible"),
        ({"feature-0-taken_at_steer_deg": "99"}, 0, "taken_at_steer_deg", "outside"),
        ({"feature-0-xyz_mm": "0 0 0\n1 1 400"}, 0, "xyz_mm", "one of the two"),
    ],
)
def test_every_problem_stands_at_its_field_and_nothing_is_lost(
    client_of: Browsers,
    technician: Any,
    changes: dict[str, str],
    form: str | int,
    field: str,
    why: str,
) -> None:
    car_model = make_car_model()
    answer = send(client_of(technician), car_model, typed(STRUT_FRONT, **changes), "strut")
    assert answer.status_code == 200
    entry = answer.context["entry"]
    shown = entry.form if form == "head" else entry.features.forms[form]
    assert why in " ".join(shown.errors.get(field, [])), (shown.errors, entry.features.errors)
    assert not CornerSurvey.objects.exists()
    text = answer.content.decode()
    assert "-85  355  -352" in text  # the inner panel, which is in order
    for value in changes.values():
        for line in value.splitlines():
            assert line in text


def test_all_problems_come_at_once(client_of: Browsers, technician: Any) -> None:
    sent = typed(STRUT_FRONT, camber_deg="-45", droop_mm="999", **{"feature-2-sigma_mm": "-1"})
    entry = send(client_of(technician), make_car_model(), sent, "strut").context["entry"]
    assert set(entry.form.errors) == {"camber_deg", "droop_mm"}
    assert entry.features.forms[2].errors
    assert entry.feature_errors == [("inner panel", "place-3")]


def test_a_place_that_was_struck_out_is_left_out(client_of: Browsers, technician: Any) -> None:
    car_model = make_car_model()
    sent = typed(STRUT_FRONT, **{"feature-1-remove": "on"})
    assert send(client_of(technician), car_model, sent, "strut").status_code == 302
    places = [f["place"] for f in CornerSurvey.objects.get().document["survey"]["features"]]
    assert "arch liner" not in places
    assert len(places) == 5


def test_space_for_more_spots_keeps_what_was_typed(client_of: Browsers, technician: Any) -> None:
    sent = typed(STRUT_FRONT, act="more", **{"feature-6-place": "brake hose"})
    answer = send(client_of(technician), make_car_model(), sent, "strut")
    assert answer.status_code == 200
    assert len(answer.context["entry"].features.forms) == int(sent["feature-TOTAL_FORMS"]) + 2
    assert "brake hose" in answer.content.decode()
    assert not CornerSurvey.objects.exists()


def test_an_unknown_bump_stays_unknown_and_the_corner_unmeasured() -> None:
    order = make_ready_order()
    car_model = order.vehicle.car_model
    document = copy.deepcopy(STRUT_FRONT)
    del document["limits"]["bump_mm"]
    make_survey(car_model, "LF", version=2, document=document)
    assert check_run(order=order, by=None).verdict == "unmeasured"


def test_curves_are_not_typed_but_kept(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    assert (
        browser.get(
            reverse("survey_edit", args=[car_model.pk, "LF"]), {"kind": "curves"}
        ).status_code
        == 404
    )
    make_survey(car_model, "LF", document=copy.deepcopy(CURVES_REAR))
    text = browser.get(reverse("survey_edit", args=[car_model.pk, "LF"])).content.decode()
    assert "stay as they are" in text


def test_an_earlier_version_can_be_read(client_of: Browsers, writer: Any) -> None:
    car_model = make_car_model()
    make_survey(car_model, "LF")
    make_survey(car_model, "LF", version=2, measured_by="Somebody later")
    url = reverse("survey", args=[car_model.pk, "LF"])
    assert "not the current one" in client_of(writer).get(url, {"version": "1"}).content.decode()
    assert client_of(writer).get(url, {"version": "9"}).status_code == 404


def test_a_version_saved_meanwhile_is_not_covered_up_silently(
    client_of: Browsers, technician: Any
) -> None:
    car_model = make_car_model()
    make_survey(car_model, "LF")
    make_survey(car_model, "LF", version=2, measured_by="Somebody")
    browser = client_of(technician)
    answer = send(browser, car_model, typed(STRUT_FRONT, base_version="1"))
    assert "Somebody saved version 2" in answer.content.decode()
    assert 'name="base_version" value="2"' in answer.content.decode()
    assert send(browser, car_model, typed(STRUT_FRONT, base_version="2")).status_code == 302
    assert CornerSurvey.objects.filter(car_model=car_model).count() == 3


# The other side


def test_the_other_side_gets_the_figures_and_more_uncertainty(technician: Any) -> None:
    survey = make_survey(make_car_model(), "LF")
    other = survey_mirror(survey=survey, by=technician)
    assert (other.corner, other.version, other.mirrored_from) == ("RF", 1, survey)
    before = survey.document["survey"]["features"]
    after = other.document["survey"]["features"]
    for one, two in zip(before, after, strict=True):
        assert two["sigma_mm"] == pytest.approx(math.hypot(one["sigma_mm"], 2.0), abs=0.001)
        assert {**two, "sigma_mm": 0} == {**one, "sigma_mm": 0}
    assert "2 mm were added" in other.notes


def test_a_place_without_a_stated_uncertainty_is_given_the_usual_one_first() -> None:
    document = copy.deepcopy(STRUT_FRONT)
    del document["survey"]["features"][0]["sigma_mm"]
    assert mirrored(document)["survey"]["features"][0]["sigma_mm"] == pytest.approx(
        math.hypot(2.0, 2.0), abs=0.001
    )
    assert "sigma_mm" not in document["survey"]["features"][0]


def test_taking_over_is_one_press(client_of: Browsers, technician: Any) -> None:
    car_model = make_survey(make_car_model(), "RR").car_model
    answer = client_of(technician).post(
        reverse("survey_mirror", args=[car_model.pk, "RR"]), follow=True
    )
    text = answer.content.decode()
    assert "2 mm were added to the uncertainty" in text
    assert CornerSurvey.objects.current(car_model, "LR") is not None


def test_there_is_nothing_to_take_over_from_an_unmeasured_corner(
    client_of: Browsers, technician: Any
) -> None:
    url = reverse("survey_mirror", args=[make_car_model().pk, "LF"])
    assert client_of(technician).post(url).status_code == 404


# Check files


def upload(browser: Client, car_model: CarModel, content: bytes, corner: str = "LF") -> Any:
    return browser.post(
        reverse("survey_import", args=[car_model.pk, corner]),
        {
            "file": SimpleUploadedFile("survey.json", content),
            "measured_on": "2026-03-02",
            "measured_by": "Tomas",
        },
    )


def test_what_goes_out_comes_back_the_same(client_of: Browsers, technician: Any) -> None:
    first, second = make_survey(make_car_model(), "LF").car_model, make_car_model()
    browser = client_of(technician)
    sent = browser.get(reverse("survey_export", args=[first.pk, "LF"]))
    assert sent["Content-Type"] == "application/json"
    assert "attachment" in sent["Content-Disposition"]
    assert upload(browser, second, sent.content).status_code == 302
    assert CornerSurvey.objects.get(car_model=second).document == STRUT_FRONT


def test_a_whole_check_file_gives_its_corner(client_of: Browsers, technician: Any) -> None:
    check = check_run(order=make_ready_order(), by=None)
    car_model = make_car_model()
    answer = upload(client_of(technician), car_model, json.dumps(check.inputs).encode(), "RF")
    assert answer.status_code == 302
    assert CornerSurvey.objects.get(car_model=car_model).corner == "RF"


def test_a_file_of_one_corner_serves_another() -> None:
    text = json.dumps(survey_export([make_survey(make_car_model(), "LF")]))
    assert corners_of_file(text, "RR")["RR"].document == STRUT_FRONT


def _file(**changes: Any) -> bytes:
    corner = copy.deepcopy(STRUT_FRONT) | changes
    return json.dumps({"archroom_check": 1, "corners": {"LF": corner}}).encode()


@pytest.mark.parametrize(
    ("content", "path", "message"),
    [
        (b"{", "the file", "not JSON"),
        (b"\xff\xfe", "the file", "UTF-8"),
        (b"[]", "archroom_check", "is not 1"),
        (b'{"archroom_check": 2}', "archroom_check", "is not 1"),
        (b'{"archroom_check": 1}', "corners", "is missing"),
        (b'{"archroom_check": 1, "corners": {"RF": {}, "RR": {}}}', "corners", "has no LF"),
        (b'{"archroom_check": 1, "corners": {"LF": 3}}', "corners.LF", "should be an object"),
        (_file(limits={"droop_mm": "60"}), "corners.LF.limits.droop_mm", "should be a number"),
        (_file(survey={"setting": {}}), "corners.LF.survey.setting.camber_deg", "is missing"),
        (_file(suspension={"kind": "beam"}), "corners.LF.suspension.kind", "one of"),
    ],
)
def test_a_bad_file_is_refused_with_path_and_reason(
    client_of: Browsers, technician: Any, content: bytes, path: str, message: str
) -> None:
    answer = upload(client_of(technician), make_car_model(), content)
    assert answer.status_code == 200
    text = answer.content.decode()
    assert "Nothing was imported" in text
    assert f"<code>{path}</code>" in text
    assert message in text
    assert not CornerSurvey.objects.exists()


def test_every_problem_of_a_file_is_listed(client_of: Browsers, technician: Any) -> None:
    content = _file(
        limits={"droop_mm": "60", "bumb_mm": 3}, compliance={"toe_deg_per_g": "0", "aft_mm": 4}
    )
    answer = upload(client_of(technician), make_car_model(), content)
    assert len(answer.context["problems"]) == 4


def test_a_key_that_stands_twice_is_not_swallowed(client_of: Browsers, technician: Any) -> None:
    content = _file().replace(b'"droop_mm": 60', b'"droop_mm": 60, "droop_mm": 61')
    answer = upload(client_of(technician), make_car_model(), content)
    assert "stands more than once" in answer.content.decode()


def test_a_file_that_is_too_large_is_refused(client_of: Browsers, technician: Any) -> None:
    answer = upload(client_of(technician), make_car_model(), b" " * 1_000_001 + _file())
    assert "larger than" in answer.content.decode()


def test_no_file_is_said_at_its_field(client_of: Browsers, technician: Any) -> None:
    answer = client_of(technician).post(
        reverse("survey_import", args=[make_car_model().pk, "LF"]), {"measured_by": "T"}
    )
    assert answer.context["form"].errors["file"]

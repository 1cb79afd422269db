"""Surveys from elsewhere: taken over from another car model, and in and out by check files."""

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
from fitment.demo.surveys import STRUT_FRONT, STRUT_REAR
from fitment.engine import checkfile
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import Reading
from fitment.engine.survey.steps import steps, together
from fitment.job.state import check_state
from fitment.models import CornerSurvey, SurveyReading, SurveySession
from fitment.models.surveys import SurveyLogEntry
from fitment.surveys.files import survey_export
from fitment.surveys.services import survey_copy
from fitment.surveys.sessions import reading_take, session_open
from shop.site.refusals import Refused
from tests.factories import make_car_model
from tests.fitment.factories import make_ready_order, make_survey

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
WHY = "The same floor, another tailgate."


def copied(technician: Any, sigma_mm: float = 5.0) -> CornerSurvey:
    return survey_copy(
        survey=make_survey(make_car_model(name="Sedan"), "LF"),
        car_model=make_car_model(name="Estate"),
        sigma_mm=sigma_mm,
        why=WHY,
        by=technician,
    )


def test_a_survey_of_another_car_model_comes_wider_and_to_be_confirmed(technician: Any) -> None:
    survey = copied(technician)
    source = survey.copied_from
    assert source is not None
    measured = checkfile.parse_corner_survey(survey.document)
    for was, now in zip(
        checkfile.parse_corner_survey(source.document).survey.features,
        measured.survey.features,
        strict=True,
    ):
        assert now.to_confirm
        assert now.points == was.points
        own = 2.0 if was.sigma_mm is None else was.sigma_mm
        assert now.sigma_mm == pytest.approx(math.hypot(own, 5.0), abs=1e-3)
    assert survey.document["suspension"] == source.document["suspension"]
    entry = SurveyLogEntry.objects.get(car_model=survey.car_model)
    assert entry.by == technician
    assert "Taken over from Sedan" in entry.what
    assert WHY in entry.detail


def test_a_survey_is_not_taken_over_within_its_own_car_model(technician: Any) -> None:
    survey = make_survey(make_car_model(), "LF")
    with pytest.raises(Refused):
        survey_copy(survey=survey, car_model=survey.car_model, sigma_mm=5, why=WHY, by=technician)


def test_taking_over_in_the_browser_says_what_is_to_be_confirmed(
    client_of: Browsers, technician: Any
) -> None:
    source = make_survey(make_car_model(name="Sedan"), "LF")
    older = make_survey(make_car_model(name="Wagon"), "LF")
    make_survey(older.car_model, "LF", version=2)
    estate, browser = make_car_model(name="Estate"), client_of(technician)
    url = reverse("survey_copy", args=[estate.pk, "LF"])
    offered = [str(row) for row in browser.get(url).context["sources"]]
    assert offered == ["Sedan, front left, version 1", "Wagon, front left, version 2"]
    without = browser.post(url, {"source": source.pk, "sigma_mm": "0", "why": ""})
    assert set(without.context["form"].errors) == {"sigma_mm", "why"}
    answer = browser.post(url, {"source": source.pk, "sigma_mm": "4,5", "why": WHY}, follow=True)
    text = answer.content.decode()
    assert "not confirmed on this one: arch lip" in text
    assert "to be confirmed</span>" in text
    assert WHY in text


def test_a_spot_that_lies_where_it_did_confirms_its_place_and_no_other(
    client_of: Browsers, technician: Any
) -> None:
    survey, browser = copied(technician), client_of(technician)
    url = reverse("survey_measure", args=[survey.car_model_id, "LF"])
    browser.post(url, {"act": "start"})
    page = browser.get(url).content.decode()
    assert "Edge beside a straightedge on blocks, arch lip" in page
    lip = checkfile.parse_corner_survey(survey.document).survey.features[0].points
    middle = lip[len(lip) // 2]
    for form, values in (
        ("front_space", {"front_space_mm": "62", "cap_depth_mm": "30"}),
        (
            "straightedge",
            {
                "place": "arch lip",
                "pose": "standing",
                "block_mm": "30",
                "along_mm": str(middle.radius_mm + 2),
                "edge_mm": str(middle.axial_mm - 92),
                "clock_deg": str(middle.clock_deg),
            },
        ),
    ):
        answer = browser.post(url, {"act": "read", "form": form, **values})
        assert answer.status_code == 302, answer.context["form"].errors
    browser.post(url, {"act": "finish", "base_version": "1"})
    newest = CornerSurvey.objects.current(survey.car_model, "LF")
    assert newest.version == 2
    features = checkfile.parse_corner_survey(newest.document).survey.features
    assert [f.place for f in features if not f.to_confirm] == ["arch lip"]
    assert features[0].sigma_mm >= 5.0  # the other spots are as unsure as they came


def test_the_mark_survives_being_typed_over_and_can_be_taken_off(
    client_of: Browsers, technician: Any
) -> None:
    from tests.fitment.test_surveys import typed

    survey, browser = copied(technician), client_of(technician)
    url = reverse("survey_edit", args=[survey.car_model_id, "LF"])
    sent = typed(survey.document)
    kept = {name: value for name, value in sent.items() if not name.endswith("-remove")}
    kept |= {"feature-1-to_confirm": "", "base_version": "1"}
    assert browser.post(url, kept).status_code == 302
    newest = CornerSurvey.objects.current(survey.car_model, "LF")
    marks = [feature.get("to_confirm", False) for feature in newest.document["survey"]["features"]]
    assert marks == [True, False, *[True] * (len(marks) - 2)]


def test_a_check_keeps_the_survey_that_it_used_when_a_new_version_comes(technician: Any) -> None:
    order = make_ready_order()
    check = check_run(order=order, by=technician)
    before = copy.deepcopy(check.inputs["corners"]["LF"])
    source = make_survey(make_car_model(name="Sedan"), "LF")
    survey_copy(
        survey=source, car_model=order.vehicle.car_model, sigma_mm=5, why=WHY, by=technician
    )
    check.refresh_from_db()
    assert check.inputs["corners"]["LF"] == before
    assert check_state(order).current is None, "what was taken over makes the check stale"


# Check files


def measured_survey(technician: Any) -> CornerSurvey:
    """A survey with a fit, notes and readings, one of them taken back."""
    survey = make_survey(
        make_car_model(name="Sedan"),
        "LF",
        notes="Seen by two.",
        fit={
            "suspension": STRUT_FRONT["suspension"],
            "readings": [{"travel_mm": -60, "toe_deg": -0.2, "camber_deg": None}],
            "moved_mm": {"tie_inner": 3.1},
            "before_deg": 0.2,
            "after_deg": 0.03,
        },
    )
    session = session_open(car_model=survey.car_model, corner="LF", by=technician)
    for form, values in (
        ("setting", {"camber_deg": -1.4, "toe_deg": 0.05, "height_mm": 352.425}),
        ("front_space", {"front_space_mm": 62.0, "cap_depth_mm": 30.0}),
    ):
        kept = {name: {"typed": f"{value} ", "value": value} for name, value in values.items()}
        if form == "setting":
            kept["height_mm"] = {"typed": '13 7/8"', "value": 352.425, "unit": "in"}
        reading_take(session=session, reading=Reading(form, values), values=kept, by=technician)
    SurveyReading.objects.filter(form="front_space").update(
        struck_at=session.started_at,
        struck_by=technician,
        struck_why="at another rim",
        expected_mm=None,
    )
    SurveySession.objects.update(survey=survey, finished_at=session.started_at)
    return survey


def upload(browser: Client, car_model: Any, content: bytes, corner: str = "LF", **more: str) -> Any:
    file = SimpleUploadedFile("survey.json", content, "application/json")
    url = reverse("survey_import", args=[car_model.pk, corner])
    return browser.post(url, {"file": file, "measured_on": "", "measured_by": "", **more})


def test_nothing_is_lost_on_the_way_through_a_file(client_of: Browsers, technician: Any) -> None:
    survey, target, browser = measured_survey(technician), make_car_model(), client_of(technician)
    url = reverse("survey_export", args=[survey.car_model_id, "LF"])
    content = browser.get(url).content
    assert upload(browser, target, content).status_code == 302
    again = CornerSurvey.objects.get(car_model=target)
    for name in ("document", "fit", "measured_on", "measured_by"):
        assert getattr(again, name) == getattr(survey, name), name
    assert again.notes == "Seen by two. From the file survey.json."
    before, after = (
        json.loads(json.dumps(survey_export([one])))["corners"]["LF"]["record"]
        for one in (survey, again)
    )
    assert after["readings"] == before["readings"]
    assert after["readings"][1]["struck_why"] == f"at another rim, {technician.shown_name}"
    assert after["readings"][0]["values"]["height_mm"]["typed"] == '13 7/8"'
    page = browser.get(reverse("survey_session", args=[again.sessions.get().pk]))
    assert "13 7/8" in page.content.decode()
    SurveyReading.objects.filter(session__survey=again).update(read_by="Ines of elsewhere")
    page = browser.get(reverse("survey_session", args=[again.sessions.get().pk]))
    assert "Ines of elsewhere" in page.content.decode()


def test_all_corners_go_out_and_come_back_in_one_file(client_of: Browsers, technician: Any) -> None:
    survey, browser = measured_survey(technician), client_of(technician)
    make_survey(survey.car_model, "RR", document=copy.deepcopy(STRUT_REAR))
    url = reverse("survey_export", args=[survey.car_model_id, "LF"])
    content = browser.get(f"{url}?all=1").content
    target = make_car_model()
    assert upload(browser, target, content, whole="on").status_code == 302
    surveys = CornerSurvey.objects.current_by_corner(target)
    assert {corner: one.document for corner, one in surveys.items()} == {
        "LF": STRUT_FRONT,
        "RR": STRUT_REAR,
    }
    assert SurveyLogEntry.objects.filter(car_model=target).count() == 2


def test_what_was_typed_goes_before_what_the_file_says(
    client_of: Browsers, technician: Any
) -> None:
    survey, target = measured_survey(technician), make_car_model()
    content = json.dumps(survey_export([survey])).encode()
    upload(client_of(technician), target, content, measured_by="Ines", measured_on="2026-05-04")
    again = CornerSurvey.objects.get(car_model=target)
    assert (again.measured_by, str(again.measured_on)) == ("Ines", "2026-05-04")


@pytest.mark.parametrize(
    ("record", "path"),
    [
        ("by hand", "record"),
        ({"measured_on": "yesterday"}, "record.measured_on"),
        ({"fit": {"moved_mm": {}}}, "record.fit"),
        ({"readings": [{"form": "by eye", "values": {}}]}, "record.readings[0].form"),
        ({"readings": [{"form": "setting", "values": {"size": {}}}]},
         "record.readings[0].values.size"),
        ({"readings": [{"form": "setting", "values": {"toe_deg": {"typed": "", "value": "wide"}}}]},
         "record.readings[0].values.toe_deg"),
        ({"readings": [{"form": "setting", "values": {"toe_deg": {"value": 0.1}}}]},
         "record.readings[0].values.toe_deg"),
        ({"readings": [{"form": "setting", "values": {"toe_deg": {"typed": "", "value": 1e300}}}]},
         "record.readings[0].values.toe_deg"),
        ({"readings": [{"form": "setting", "values": {}, "expected_mm": 4}]},
         "record.readings[0].expected_mm"),
        ({"readings": [{"form": "gap", "pose": "flying", "values": {}}]},
         "record.readings[0].pose"),
        ({"readings": [{"form": "setting", "values": {}, "at": "noon"}]},
         "record.readings[0].at"),
    ],
)  # fmt: skip
def test_a_bad_record_is_refused_with_its_path(
    client_of: Browsers, technician: Any, record: Any, path: str
) -> None:
    corner = copy.deepcopy(STRUT_FRONT) | {"record": record}
    content = json.dumps({"archroom_check": 1, "corners": {"LF": corner}}).encode()
    answer = upload(client_of(technician), make_car_model(), content)
    assert [problem.path for problem in answer.context["problems"]] == [f"corners.LF.{path}"]
    assert not CornerSurvey.objects.exists()


def test_a_check_file_may_carry_a_record() -> None:
    check = check_run(order=make_ready_order(), by=None)
    document = copy.deepcopy(check.inputs)
    document["corners"]["LF"]["record"] = {"measured_by": "Ines"}
    assert checkfile.parse(document).corners == checkfile.parse(check.inputs).corners


def test_a_line_through_space_is_confirmed_by_two_spots(technician: Any) -> None:
    survey = copied(technician)
    base = checkfile.parse_corner_survey(survey.document)
    wanted = [step for step in steps(Sheet([], base), steered=True) if step.part == "0"]
    asked = [step.place for step in wanted]
    assert (asked.count("frame rail"), asked.count("inner panel")) == (2, 1)
    assert len(together(wanted, next(s for s in wanted if s.place == "frame rail"))) == 2

"""Readings, sessions and versions are withdrawn from anywhere, with who and why kept."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fitment.demo.surveys import STRUT_FRONT
from fitment.engine.survey.typical import KINDS, suspension_of
from fitment.models import CornerSurvey, SurveyReading, SurveySession
from fitment.models.surveys import SurveyLogEntry
from fitment.surveys.sessions import session_open
from fitment.surveys.withdrawal import (
    reading_withdraw,
    session_discard,
    session_reopen,
    survey_withdraw,
)
from shop.site.error_views import broken
from shop.site.refusals import Refused
from tests.factories import make_car_model, make_order, make_user, make_vehicle
from tests.fitment.factories import DOCUMENTS, make_survey
from tests.fitment.test_measuring import SETTING, SHAFT, SPACE, TYRE, page_of, send, started

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def bases() -> dict[str, dict[str, Any]]:
    """Surveys that a session may correct: with joints, with arms, with links, by curves."""
    quick = copy.deepcopy(STRUT_FRONT)
    quick["suspension"] = suspension_of(next(iter(KINDS)), steered=True)
    del quick["suspension"]["typical"]
    for feature in quick["survey"]["features"]:
        feature["carried_by"] = feature["carried_by"].replace("strut", "knuckle")
    quick["suspension"]["steer_axis"] = {
        "point": [0.0, -90.0, 0.0],
        "caster_deg": 5.0,
        "inclination_deg": 12.0,
    }
    return {
        "strut": DOCUMENTS["strut"]["LF"],
        "wishbones": DOCUMENTS["linked"]["LF"],
        "quick, by curves": quick,
    }


def pages_of(session: SurveySession, visit: Any) -> list[str]:
    """Every page that shows where a session stands."""
    measure = session.get_absolute_url()
    return [
        measure,
        f"{measure}?form=gap&pose=lock_in",
        f"{measure}?form=gap&pose=lock_out",
        reverse("survey_session", args=[session.pk]),
        reverse("session_withdraw", args=[session.pk]),
        reverse("car_model", args=[session.car_model_id]),
        reverse("order", args=[visit.pk]),
    ]


@pytest.mark.parametrize("kind", sorted(bases()))
@pytest.mark.parametrize("more_deg", [0.1, 8.0, 40.0])
def test_a_larger_lock_read_again_never_ends_in_an_error_page(
    client_of: Browsers, technician: Any, kind: str, more_deg: float
) -> None:
    """A lock read 0.1° larger than the survey has it is beyond the span that was fitted to it."""
    document = copy.deepcopy(bases()[kind])
    car_model, browser = make_car_model(), client_of(technician)
    survey = make_survey(car_model, "LF", document=document)
    visit = make_order(kind="survey_visit", vehicle=make_vehicle(car_model=car_model))
    session = session_open(car_model=car_model, corner="LF", by=technician)
    send(browser, car_model, "setting", **SETTING)
    send(browser, car_model, "front_space", **SPACE)
    send(browser, car_model, "present_tyre", **TYRE)
    limits = survey.document["limits"]
    for pose, key in (("lock_in", "steer_in_deg"), ("lock_out", "steer_out_deg")):
        plate = f"{limits[key] + more_deg:.2f}"
        assert send(browser, car_model, "pose", pose=pose, plate_deg=plate).status_code == 302
        gap = {"place": "arch lip", "pose": pose, "spot": "crown", "gap_mm": "30"}
        send(browser, car_model, "gap", **gap, clock_deg="20")
    assert session.readings.filter(form="pose").count() == 2
    if more_deg < 1:
        assert session.readings.filter(form="gap", expected_mm__isnull=False).count() == 2
    for page in pages_of(session, visit):
        answer = browser.get(page)
        assert answer.status_code == 200
        assert not answer.context.get("failed")
    why = {"own_wheel_why": "only the lock was read again"}
    browser.post(page_of(car_model), {"act": "finish", "base_version": "1", **why})
    if more_deg < 30:  # no wheel steers farther
        assert CornerSurvey.objects.current(car_model, "LF") != survey
    answer = browser.get(reverse("survey", args=[car_model.pk, "LF"]))
    assert answer.status_code == 200
    assert not answer.context.get("failed")


@pytest.fixture
def odd(technician: Any) -> SurveySession:
    """An open session with a reading that no form would take, as older records may hold it."""
    car_model = make_car_model()
    session = session_open(car_model=car_model, corner="LF", by=technician)
    SurveyReading.objects.create(
        session=session, form="setting", values={"camber_deg": {"value": "a lot"}}, by=technician
    )
    SurveyReading.objects.create(
        session=session, form="of another time", values={"x": 3}, pose="afloat", by=technician
    )
    return session


def test_readings_that_cannot_be_worked_out_open_pages_from_which_they_are_withdrawn(
    client_of: Browsers, technician: Any, odd: SurveySession
) -> None:
    browser = client_of(technician)
    visit = make_order(kind="survey_visit", vehicle=make_vehicle(car_model=odd.car_model))
    for page in pages_of(odd, visit):
        answer = browser.get(page)
        assert answer.status_code == 200
        assert reverse("session_withdraw", args=[odd.pk]) in answer.content.decode()
    page = browser.get(odd.get_absolute_url()).content.decode()
    assert 'data-test="cannot-be-worked-out"' in page
    assert "a lot" in page
    for link in re.findall(r'href="([^"]+\?reading=\d+)"', page):
        assert browser.post(link, {"why": "not from here"}).status_code == 302
    page = browser.get(odd.get_absolute_url())
    assert 'id="next"' in page.content.decode()
    assert set(odd.readings.values_list("struck_why", flat=True)) == {"not from here"}


def test_a_version_that_cannot_be_worked_out_is_withdrawn_from_its_own_page(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    good = make_survey(car_model, "LF")
    bad = make_survey(car_model, "LF", version=2, document={"survey": "none"})
    page = browser.get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    assert 'data-test="cannot-be-worked-out"' in page
    link = reverse("version_withdraw", args=[bad.pk])
    assert link in page
    assert browser.get(reverse("car_model", args=[car_model.pk])).status_code == 200
    assert browser.get(page_of(car_model)).status_code == 200
    browser.post(link, {"why": "no survey at all"})
    bad.refresh_from_db()
    assert (bad.withdrawn_by, bad.withdrawn_why) == (technician, "no survey at all")
    assert CornerSurvey.objects.current(car_model, "LF") == good
    page = browser.get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    assert "no survey at all" in page
    assert 'data-test="cannot-be-worked-out"' not in page


def test_a_session_is_discarded_and_another_may_begin(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    session = started(browser, car_model, ("setting", SETTING))
    link = reverse("session_withdraw", args=[session.pk])
    assert link in browser.get(page_of(car_model)).content.decode()
    assert "why" in browser.post(link, {"why": " "}).context["form"].errors
    assert browser.post(link, {"why": "the wrong car"}).status_code == 302
    session.refresh_from_db()
    assert (session.discarded_by, session.discarded_why) == (technician, "the wrong car")
    assert session.readings.count() == 2
    assert SurveyLogEntry.objects.filter(what="Session discarded", detail="the wrong car").exists()
    assert "Start measuring" in browser.get(page_of(car_model)).content.decode()
    assert session_open(car_model=car_model, corner="LF", by=technician) != session
    assert "the wrong car" in browser.get(link).content.decode()


def finished(technician: Any, car_model: Any, version: int = 1) -> SurveySession:
    """A finished session with one reading, and the version that it became."""
    survey = make_survey(car_model, "LF", version=version)
    session = SurveySession.objects.create(
        car_model=car_model,
        corner="LF",
        started_by=technician,
        finished_at=timezone.now(),
        survey=survey,
    )
    kept = {name: {"typed": text, "value": float(text)} for name, text in SHAFT.items()}
    for _ in range(2):
        SurveyReading.objects.create(session=session, form="bump_left", values=kept, by=technician)
    return session


def test_a_reading_of_a_finished_session_takes_its_version_along(technician: Any) -> None:
    car_model = make_car_model()
    before = make_survey(car_model, "LF")
    session = finished(technician, car_model, version=2)
    survey, reading = session.survey, session.readings.first()
    assert survey is not None
    assert reading is not None
    reading_withdraw(session=session, key=reading.pk, why="at the wrong stop", by=technician)
    session.refresh_from_db()
    survey.refresh_from_db()
    assert session.is_open
    assert survey.withdrawn_by == technician
    assert "at the wrong stop" in survey.withdrawn_why
    assert CornerSurvey.objects.current(car_model, "LF") == before
    assert session.readings.filter(struck_at=None).count() == 1


def test_a_wrong_version_is_not_used_while_another_session_is_open(technician: Any) -> None:
    """The version falls at once; its other readings wait until the corner is free."""
    car_model = make_car_model()
    session = finished(technician, car_model)
    reading = session.readings.first()
    assert reading is not None
    other = session_open(car_model=car_model, corner="LF", by=technician)
    reading_withdraw(session=session, key=reading.pk, why="at the wrong stop", by=technician)
    assert CornerSurvey.objects.current(car_model, "LF") is None
    session.refresh_from_db()
    assert not session.is_open
    assert SurveySession.objects.open_at(car_model, "LF") == other
    session_discard(session=other, why="empty", by=technician)
    assert session_reopen(session=session, by=technician).is_open


def test_a_reading_behind_an_older_version_is_struck_and_later_ones_stay(technician: Any) -> None:
    car_model = make_car_model()
    session = finished(technician, car_model)
    later = make_survey(car_model, "LF", version=2)
    reading = session.readings.first()
    assert reading is not None
    reading_withdraw(session=session, key=reading.pk, why="misread", by=technician)
    session.refresh_from_db()
    reading.refresh_from_db()
    assert reading.struck_why == "misread"
    assert not session.is_open
    assert CornerSurvey.objects.current(car_model, "LF") == later
    with pytest.raises(Refused, match="Version 2"):
        session_discard(session=session, why="all of it", by=technician)


def test_a_withdrawn_versions_readings_are_gone_on_with(technician: Any) -> None:
    car_model = make_car_model()
    session = finished(technician, car_model)
    assert session.survey is not None
    with pytest.raises(Refused, match="withdrawn can be continued"):
        session_reopen(session=session, by=technician)
    survey_withdraw(survey=session.survey, why="front space was wrong", by=technician)
    other = session_open(car_model=car_model, corner="LF", by=technician)
    with pytest.raises(Refused, match="open at this corner"):
        session_reopen(session=session, by=technician)
    session_discard(session=other, why="empty", by=technician)
    session_reopen(session=session, by=technician)
    assert session_open(car_model=car_model, corner="LF", by=technician) == session


def test_a_finished_session_is_discarded_with_its_version(technician: Any) -> None:
    session = finished(technician, make_car_model())
    session_discard(session=session, why="another car stood there", by=technician)
    assert CornerSurvey.objects.current(session.car_model, "LF") is None
    assert "another car" in CornerSurvey.objects.get().withdrawn_why


@pytest.mark.parametrize("act", [session_discard, reading_withdraw, survey_withdraw])
def test_nothing_is_taken_back_without_a_reason(technician: Any, act: Any) -> None:
    session = finished(technician, make_car_model())
    about = {"survey": session.survey} if act is survey_withdraw else {"session": session}
    if act is reading_withdraw:
        about |= {"key": session.readings.values_list("pk", flat=True)[0]}  # type: ignore[dict-item]
    with pytest.raises(Refused, match="reason"):
        act(**about, why="  ", by=technician)


def test_the_database_keeps_who_and_why_of_a_discarded_session() -> None:
    values = {"car_model": make_car_model(), "corner": "LF", "started_by": make_user()}
    with pytest.raises(IntegrityError), transaction.atomic():
        SurveySession.objects.create(discarded_at=timezone.now(), **values)


def test_the_list_leads_there_and_the_page_of_an_error_leads_to_the_list(
    client_of: Browsers, technician: Any, rf: Any, odd: SurveySession
) -> None:
    way = reverse("survey_sessions")
    assert way in broken(rf.get("/car-models/1/")).content.decode()
    assert way not in broken(rf.get("/c/secret/")).content.decode()
    page = client_of(technician).get(way).content.decode()
    assert reverse("session_withdraw", args=[odd.pk]) in page


@pytest.mark.parametrize("number", ["²", "9" * 30, "-1", "x"])
def test_odd_addresses_of_readings_are_no_error(
    client_of: Browsers, technician: Any, number: str
) -> None:
    session = session_open(car_model=make_car_model(), corner="LF", by=technician)
    browser = client_of(technician)
    page = reverse("session_withdraw", args=[session.pk])
    assert browser.get(page, {"reading": number}).status_code == 200
    measure = session.get_absolute_url()
    for query in ({"order": number}, {"form": "gap", "clock": number}):
        assert browser.get(measure, query).status_code == 200
    sent = {"act": "finish", "base_version": number}
    assert browser.post(measure, sent).status_code == 302


def test_a_reason_that_is_too_long_is_refused_and_never_cut(technician: Any) -> None:
    survey = make_survey(make_car_model())
    with pytest.raises(Refused, match="at most 200"):
        survey_withdraw(survey=survey, why="because " * 26, by=technician)
    survey.refresh_from_db()
    assert survey.withdrawn_at is None

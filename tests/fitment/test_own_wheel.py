"""A session that the wheel on its car contradicts is not used without a reason."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from fitment.models import CornerSurvey, SurveySession
from fitment.models.surveys import SurveyLogEntry
from fitment.surveys.finishing import session_finish
from fitment.surveys.sessions import SoFar, session_open
from shop.site.refusals import Refused
from tests.factories import make_car_model, make_user
from tests.fitment.factories import make_survey
from tests.fitment.test_measuring import SETTING, SPACE, TYRE, page_of, send

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]

BAR = {
    "place": "inner panel",
    "pose": "hanging",
    "thickness_mm": "10",
    "along_mm": "340",
    "depth_side": "inboard",
    "clock_deg": "0",
}


def measured(browser: Client, technician: Any, depth_mm: str) -> SurveySession:
    """A session over a survey that reads one spot of the panel again."""
    car_model = make_car_model()
    make_survey(car_model, "LF")
    session = session_open(car_model=car_model, corner="LF", by=technician)
    for form, values in (
        ("setting", SETTING | {"height_mm": "366"}),
        ("front_space", SPACE),
        ("present_tyre", TYRE),
        ("pose", {"pose": "hanging", "height_mm": "425"}),
        ("hub_bar", BAR | {"depth_mm": depth_mm}),
    ):
        answer = send(browser, car_model, form, **values)
        assert answer.status_code == 302, answer.context["form"].errors
    return session


def finish(browser: Client, session: SurveySession, **values: str) -> Any:
    return browser.post(
        page_of(session.car_model), {"act": "finish", "base_version": "1", **values}
    )


def test_a_survey_by_which_its_own_wheel_clears_says_so_and_is_finished(
    client_of: Browsers, technician: Any
) -> None:
    browser = client_of(technician)
    session = measured(browser, technician, "270")
    page = browser.get(page_of(session.car_model)).content.decode()
    assert 'data-test="own-wheel-clears"' in page
    assert 'data-test="own-wheel"' not in page
    finish(browser, session)
    session.refresh_from_db()
    assert session.survey is not None
    assert (session.own_wheel, session.own_wheel_why) == ("", "")


def test_a_contradiction_names_the_odd_reading_and_stands_before_the_survey(
    client_of: Browsers, technician: Any
) -> None:
    browser = client_of(technician)
    session = measured(browser, technician, "90")
    found = SoFar(session).own_wheel
    assert [spot for spot, _ in found.touching] == ["inner panel"]
    odd = session.readings.get(form="hub_bar")
    assert odd.pk in [key for key, _ in found.guesses]
    page = browser.get(page_of(session.car_model)).content.decode()
    assert 'data-test="own-wheel"' in page
    assert f"{reverse('session_withdraw', args=[session.pk])}?reading={odd.pk}" in page
    finish(browser, session)
    session.refresh_from_db()
    assert session.survey is None
    assert CornerSurvey.objects.count() == 1
    with pytest.raises(Refused, match="contradicts"):
        session_finish(session=session, base_version=1, by=technician, own_wheel_why="  ")


def test_going_on_is_recorded_with_its_reason(client_of: Browsers, technician: Any) -> None:
    browser = client_of(technician)
    session = measured(browser, technician, "90")
    finish(browser, session, own_wheel_why="the liner is pressed in at the lock")
    session.refresh_from_db()
    survey = session.survey
    assert survey is not None
    assert session.own_wheel_why == "the liner is pressed in at the lock"
    assert "inner panel" in session.own_wheel
    assert "pressed in" in survey.notes
    assert SurveyLogEntry.objects.filter(detail__contains="pressed in").exists()
    page = browser.get(reverse("survey", args=[session.car_model_id, "LF"])).content.decode()
    assert 'data-test="own-wheel"' in page
    assert "pressed in" in page


def test_withdrawing_the_odd_reading_settles_it(client_of: Browsers, technician: Any) -> None:
    browser = client_of(technician)
    session = measured(browser, technician, "90")
    odd = session.readings.get(form="hub_bar")
    link = f"{reverse('session_withdraw', args=[session.pk])}?reading={odd.pk}"
    browser.post(link, {"why": "read from the wrong face"})
    assert SoFar(session).own_wheel.touching == ()
    finish(browser, session)
    session.refresh_from_db()
    assert session.survey is not None


def test_a_session_without_the_wheel_says_that_it_was_not_held_against_it(
    client_of: Browsers, technician: Any
) -> None:
    browser = client_of(technician)
    session = measured(browser, technician, "270")
    session.readings.filter(form="present_tyre").delete()
    page = browser.get(page_of(session.car_model)).content.decode()
    assert 'data-test="own-wheel-unknown"' in page


def test_the_database_keeps_no_contradiction_without_a_reason() -> None:
    values = {"car_model": make_car_model(), "corner": "LF", "started_by": make_user()}
    with pytest.raises(IntegrityError), transaction.atomic():
        SurveySession.objects.create(own_wheel="The wheel would overlap.", **values)

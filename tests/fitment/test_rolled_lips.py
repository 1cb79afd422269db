"""Arch lips to be rolled: on plan, check, try-out, quote and sheet."""

from __future__ import annotations

import copy
import re
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
from fitment.text.options import cautions_text, option_text
from fitment.tryout.quote_notes import options_notes
from shop.languages import LANGUAGES, Speech
from shop.money.services import quote_send
from shop.orders.services.cautions import (
    CUSTOMER,
    ROLLING_CAUTION,
    TECHNICIAN,
    cautions_for,
    job_of,
)
from tests.factories import make_car_model, make_line
from tests.fitment.factories import make_ready_order, make_survey
from tests.fitment.test_surveys import send, typed

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
TURNED_IN_MM = 20.0
#: Nearer than surveyed by so much, the lip is what the tyre meets.
NEARER_MM = 14.0


def order_with_lips(turned_in: float | None = TURNED_IN_MM) -> Any:
    document = copy.deepcopy(STRUT_FRONT)
    if turned_in is not None:
        document["survey"]["features"][0]["turned_in_mm"] = turned_in
    car_model = make_car_model()
    for corner in ("LF", "RF"):
        make_survey(car_model, corner, document=document)
    return make_ready_order(car_model=car_model)


def rubbing(turned_in: float | None) -> Any:
    """The same car with its lip nearer, so that the tyre meets it."""
    order = order_with_lips(turned_in)
    for survey in CornerSurvey.objects.filter(car_model=order.vehicle.car_model):
        for point in survey.document["survey"]["features"][0]["points"]:
            point["radius_mm"] -= NEARER_MM
        survey.save()
    return order


def plan_with(browser: Client, order: Any, **more: str) -> Any:
    version = str(order.planned_settings.get().version)
    return browser.post(
        reverse("plan_edit", args=[order.pk]),
        {
            "toe_unit": "deg",
            "front_version": version,
            "rear_version": "0",
            "front_camber": "-2.4",
            "front_camber_by": "lower_arm",
            "front_toe": "0.05",
            "front_ride_height_mm": "-15",
            **more,
        },
    )


def lip_of(check: Any) -> float:
    places = check.answer["corners"]["LF"]["places"]
    return next(row["clearance_mm"] for row in places if row["place"] == "arch lip")


def test_rolled_lips_on_the_plan_enter_the_check_and_make_an_older_one_stale(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = order_with_lips(), client_of(writer)
    assert plan_with(browser, order).status_code == 302
    first = check_run(order=order, by=writer)
    assert "rolled_lips" not in first.inputs["corners"]["LF"]["planned"]
    assert plan_with(browser, order, front_rolled_lips="on").status_code == 302
    plan = order.planned_settings.get()
    assert plan.rolled_lips
    assert plan_sentence(plan).endswith("arch lips rolled.")
    assert "Kotflügelkanten gebördelt" in plan_sentence(plan, Speech(LANGUAGES["de"]))
    assert check_state(order).is_stale
    again = check_run(order=order, by=writer)
    assert again.inputs["corners"]["LF"]["planned"]["rolled_lips"] is True
    assert 5.0 < lip_of(again) - lip_of(first) <= TURNED_IN_MM - 3.0 + 0.1
    text = browser.get(reverse("clearance", args=[order.pk])).content.decode()
    assert ROLLING_CAUTION in text
    assert "Judged with the arch lip rolled: it turns in by 20 mm" in text
    assert "Rolled lip: ±2 mm" in text
    form = browser.get(reverse("plan_edit", args=[order.pk])).content.decode()
    (tick,) = re.findall(r"<input[^>]*front_rolled_lips[^>]*>", form)
    assert "checked" in tick
    assert ROLLING_CAUTION in form


def test_a_plan_without_the_tick_has_no_caution(client_of: Browsers, writer: Any) -> None:
    order, browser = order_with_lips(), client_of(writer)
    check_run(order=order, by=writer)
    assert (
        ROLLING_CAUTION not in browser.get(reverse("clearance", args=[order.pk])).content.decode()
    )
    assert ROLLING_CAUTION not in cautions_for(job_of(order), TECHNICIAN)
    assert not any(note.get("rolled") for note in options_notes(order))


def test_job_and_quote_tell_of_rolled_lips(client_of: Browsers, writer: Any) -> None:
    order = order_with_lips()
    plan_with(client_of(writer), order, front_rolled_lips="on")
    assert ROLLING_CAUTION in cautions_for(job_of(order), TECHNICIAN)
    assert any("rust and crack" in text for text in cautions_for(job_of(order), CUSTOMER))
    (note,) = options_notes(order)
    assert note["rolled"]
    assert note["rows"][0]["words"].endswith("arch lips rolled")
    make_line(order)
    check_run(order=order, by=writer)
    quote = quote_send(order=order, by=writer)
    letter = client_of(writer).get(reverse("quote", args=[quote.pk])).content.decode()
    assert "arch lips rolled" in letter
    assert "The arch lips of this axle will be rolled" in letter


def test_the_tryout_tries_rolled_lips_and_puts_them_on_the_order(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = order_with_lips(), client_of(writer)
    url = reverse("order_tryout", args=[order.pk])
    plain = browser.get(url)
    query = plain.context["query"]
    assert "lips" not in query
    assert ROLLING_CAUTION not in plain.content.decode()
    second = {f"b-{name}": value for name, value in query.items() if name not in ("axle", "use")}
    page = browser.get(url, {**query, "lips": "on", **second})
    assert page.context["choices"] == [("Arch lips", "rolled", "as they are")]
    assert page.context["query"]["lips"] == "on"
    assert "lips=on" in page.context["link"]
    assert ROLLING_CAUTION in page.content.decode()
    gained = {row.place: -row.by_mm for row in page.context["differences"]}
    assert gained["arch lip"] > 5.0
    assert gained["inner panel"] == 0.0
    put = browser.post(url, {**query, "lips": "on"})
    assert put.status_code == 302
    assert order.planned_settings.get().rolled_lips
    assert "checked" in str(browser.get(url).context["form"]["lips"])


def test_a_survey_without_lips_that_turn_in_says_that_rolling_changes_nothing(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = order_with_lips(turned_in=None), client_of(writer)
    query = browser.get(reverse("order_tryout", args=[order.pk])).context["query"]
    text = browser.get(reverse("order_tryout", args=[order.pk]), {**query, "lips": "on"}).content
    assert "no lip of this survey says that it turns in far enough" in text.decode()


def test_the_survey_form_keeps_how_far_a_lip_turns_in(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)

    def given(turned_in: float) -> dict[str, str]:
        document = copy.deepcopy(STRUT_FRONT)
        document["survey"]["features"][0]["turned_in_mm"] = turned_in
        return typed(document)

    assert send(browser, car_model, given(15), kind="strut").status_code == 302
    saved = CornerSurvey.objects.current(car_model, "LF")
    assert saved
    assert saved.document["survey"]["features"][0]["turned_in_mm"] == 15.0
    wrong = send(browser, car_model, given(55))
    assert wrong.status_code == 200
    assert "0.5 to 40 mm" in wrong.content.decode()


def test_options_beside_a_check_offer_to_roll_the_lip_with_its_caution(writer: Any) -> None:
    order = rubbing(turned_in=TURNED_IN_MM)
    check = check_run(order=order, by=writer)
    assert check.answer["corners"]["LF"]["places"][0]["place"] == "arch lip"
    (way,) = [way for way in check.options["LF"]["found"] if way["changes"] == ["lips"]]
    assert option_text(way) == "Arch lips rolled"
    assert ROLLING_CAUTION in cautions_text(way["cautions"])
    assert way["price"] is None
    order.planned_settings.update(rolled_lips=True)
    again = check_run(order=order, by=writer)
    assert again.result == way["verdict"]
    plain = rubbing(turned_in=None)
    options = check_run(order=plain, by=writer).options["LF"]["found"]
    assert not any("lips" in way["changes"] for way in options)

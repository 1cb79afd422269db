"""Corners that no car has, through the command line and through the pages.

Each is refused with what stopped it and where, or it is answered; nothing ends in a trace, and no
answer holds what is not a number.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from alignment.models import PlannedSetting
from alignment.text.render import render
from common.message import message_load
from fitment.clearance.services import check_run
from fitment.engine import checkfile
from shop.models import CarModel
from tests.engine.mean_inputs import ANSWERED, REFUSED, corner_of
from tests.factories import make_car_model, make_order, make_vehicle
from tests.fitment.factories import make_order_wheels, make_survey, make_tyre
from tests.fitment.test_clearance_command import asked, refused, saved
from tests.nights import day_and_night

Browsers = Callable[[Any], Client]
#: What the suspension may say when it cannot go where it is sent.
STOPS = ("stop.setting", "stop.steer", "stop.travel", "stop.lock-at-the-end", "stop.sheet")
#: Those whose survey alone, with any plan, stops short of its own stops.
JAMMED = (
    "tie rod of 12 mm",
    "front of the arm 15 mm long",
    "five rods side by side",
    "all joints at one height",
    "bump of 350 mm",
    "droop of 390 mm on five links",
    "a sheet of 5 mm that stands instead of the model",
)


def not_a_number(value: Any) -> bool:
    if isinstance(value, dict):
        return any(not_a_number(one) for one in value.values())
    if isinstance(value, list):
        return any(not_a_number(one) for one in value)
    return isinstance(value, float) and not math.isfinite(value)


def test_there_are_thirty_mean_inputs() -> None:
    assert len(REFUSED) >= 30


@pytest.mark.parametrize("name", REFUSED)
def test_the_command_says_what_stopped_it_and_where(tmp_path: Path, name: str) -> None:
    content, words = REFUSED[name]
    message = refused(saved(tmp_path, content))
    corner = next(iter(content["corners"]))
    assert f"corners.{corner}" in message
    for word in words or ():
        assert word in message
    assert "nan" not in message.lower()
    assert "-0 " not in message


@pytest.mark.parametrize("name", ANSWERED)
def test_what_is_only_strange_has_an_answer_in_numbers(tmp_path: Path, name: str) -> None:
    content, _ = ANSWERED[name]
    code, text = asked(saved(tmp_path, content), "--json")
    answer = json.loads(text)
    assert code == (0 if answer["verdict"] in ("clear", "tight") else 1)
    assert not not_a_number(answer)
    code, text = asked(saved(tmp_path, content))
    assert "nan" not in text.lower()


def order_on(content: Any) -> Any:
    """An order for a car whose front corners were surveyed like this corner."""
    corner = corner_of(content)
    document = {
        key: corner[key]
        for key in ("survey", "suspension", "limits", "compliance")
        if key in corner
    }
    car_model: CarModel = make_car_model()
    for name in ("LF", "RF"):
        make_survey(car_model, name, document=document)
    order = make_order(vehicle=make_vehicle(car_model=car_model))
    make_order_wheels(order, tyre=make_tyre())
    plan = corner["planned"]
    PlannedSetting.objects.create(
        order=order,
        axle="front",
        toe_deg=plan["toe_deg"],
        camber_deg=plan.get("camber_deg"),
        camber_by=plan.get("camber_by", ""),
        adjusters=plan.get("adjusters", {}),
    )
    return order


def stopped_in_the_engine() -> list[str]:
    """Inputs that make a sensible file, and that only the suspension refuses."""
    found = []
    for name, (content, _) in REFUSED.items():
        try:
            checkfile.parse(content)
        except checkfile.BadCheckFile:
            continue
        found.append(name)
    return found


@pytest.mark.django_db
@pytest.mark.parametrize("name", stopped_in_the_engine())
def test_the_pages_say_it_too(client_of: Browsers, technician: Any, name: str) -> None:
    content, words = REFUSED[name]
    order = order_on(content)
    browser = client_of(technician)
    answer = browser.post(reverse("clearance_run", args=[order.pk]), follow=True)
    assert answer.status_code == 200
    text = answer.content.decode()
    assert "cannot be set as planned" in text
    why = message_load(order.clearance_checks.get().stopped)
    assert why.code in STOPS
    assert render(why) in text.replace("&#x27;", "'")
    assert words
    car_model = order.vehicle.car_model
    shown = browser.get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    if name in JAMMED:
        assert "cannot go to its stops" in shown
        assert "stops it after" in shown or "beyond the measured sheet" in shown


#: By day the worst of its kind: what jams, a turn too far, and a file that says what cannot be.
OPENED_BY_DAY = ("an arm that hangs from above", "200 mm lower", "bump of 350 mm")


@pytest.mark.django_db
@pytest.mark.parametrize("name", day_and_night(OPENED_BY_DAY, stopped_in_the_engine()))
def test_every_page_of_what_is_refused_opens(
    client_of: Browsers, technician: Any, name: str
) -> None:
    order = order_on(REFUSED[name][0])
    browser = client_of(technician)
    browser.post(reverse("clearance_run", args=[order.pk]))
    for page in ("order_tryout", "order", "order_wheels", "plan_edit"):
        assert browser.get(reverse(page, args=[order.pk])).status_code == 200, page
    car_model = order.vehicle.car_model
    for page in ("survey", "survey_edit", "joint_fit", "travel_sheet", "survey_measure"):
        assert browser.get(reverse(page, args=[car_model.pk, "LF"])).status_code == 200, page


STRANGE_BY_DAY = ("an edge through the hub", "20° of camber by the lower arm")


@pytest.mark.django_db
@pytest.mark.parametrize("name", day_and_night(STRANGE_BY_DAY, ANSWERED))
def test_strange_corners_have_all_their_pages(
    client_of: Browsers, technician: Any, name: str
) -> None:
    order = order_on(ANSWERED[name][0])
    check = check_run(order=order, by=technician)
    browser = client_of(technician)
    pages = [reverse("clearance", args=[order.pk]), reverse("clearance_car", args=[check.pk])]
    pages += [
        reverse(f"clearance_{page}", args=[check.pk, "LF"]) for page in ("curves", "map", "tyre")
    ]
    for page in pages:
        shown = browser.get(page)
        assert shown.status_code == 200, page
        assert ">nan" not in shown.content.decode().lower()

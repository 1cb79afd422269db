"""A vehicle's visits over time and mileage: runs between settings, drift, parts, the drawing."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Any
from xml.etree import ElementTree

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from alignment.demo.history import build as build_history
from alignment.history.page import history_of, runs_of, track_of
from alignment.history.plot import plot_svg
from alignment.models import RackVisit
from shop.demo import build as build_shop
from shop.models import InstalledPart, Vehicle
from tests.alignment.factories import make_visit
from tests.factories import make_order, make_user, make_vehicle

pytestmark = pytest.mark.django_db

TRACK = track_of("camber-front")


def two_years(vehicle: Vehicle) -> list[RackVisit]:
    """Four visits in two years: set, wandered, set again with a part, wandered."""
    now = timezone.now()
    visits = []
    for days, km, stage, left, right in (
        (730, 40_000, "after", "-1.00", "-1.00"),
        (365, 52_000, "before", "-1.20", "-1.01"),
        (364, 52_000, "after", "-2.00", "-2.00"),
        (2, 64_000, "before", "-2.20", "-2.01"),
    ):
        order = make_order(vehicle=vehicle, mileage_km=km)
        visits.append(
            make_visit(
                order,
                {("LF", "camber"): left, ("RF", "camber"): right},
                stage=stage,
                at=now - dt.timedelta(days=days),
                accuracy_deg=0.05,
            )
        )
    InstalledPart.objects.create(
        order=visits[2].order,
        description="Camber top mount <new>",
        by=make_user(),
        at=visits[2].at - dt.timedelta(hours=5),
    )
    return visits


@pytest.fixture
def vehicle() -> Vehicle:
    return make_vehicle()


def test_a_setting_and_a_part_begin_a_new_run(vehicle: Vehicle) -> None:
    visits = two_years(vehicle)
    assert runs_of(visits, []) == [0, 0, 1, 1]
    part = InstalledPart(description="x", at=visits[3].at - dt.timedelta(days=9))
    assert runs_of(visits, [part]) == [0, 0, 1, 2]


def test_work_without_readings_after_it_begins_a_new_run(vehicle: Vehicle) -> None:
    visits = two_years(vehicle)
    lost = visits[:2] + visits[3:]
    lost[1].order.moves_wheel_or_height = False
    assert runs_of(lost, []) == [0, 0, 0]
    lost[1].order.moves_wheel_or_height = True
    assert runs_of(lost, []) == [0, 0, 1]


def test_drift_is_told_apart_from_what_was_set_and_from_what_the_rack_can_tell(
    vehicle: Vehicle,
) -> None:
    two_years(vehicle)
    drifts = {(d.side, d.per): d for d in history_of(vehicle, TRACK).drifts}
    left = drifts["left", "a year"]
    assert left.found.slope == pytest.approx(-0.2, abs=0.002)
    # Two runs of two: spread Σ(x − mean)² = ½ + ½ (years), so σ = 0.05/√3.
    assert left.found.sigma == pytest.approx(0.05 / 3**0.5, rel=0.01)
    assert left.words == ""
    assert drifts["right", "a year"].words == "no significant drift"
    by_road = drifts["left", "in 10\u202f000\u202fkm"]
    assert by_road.found.slope == pytest.approx(-0.2 / 1.2, abs=1e-6)


def test_four_questions_tell_everything_however_many_visits(
    vehicle: Vehicle, django_assert_max_num_queries: Any
) -> None:
    two_years(vehicle)
    with django_assert_max_num_queries(4):
        history = history_of(vehicle, TRACK)
        plot_svg(history, "time")
        assert len(history.table) == 4


@pytest.mark.parametrize("axis", ["time", "mileage"])
def test_the_drawing_has_text_as_text_parts_on_its_axis_and_no_style(
    vehicle: Vehicle, axis: str
) -> None:
    two_years(vehicle)
    svg = plot_svg(history_of(vehicle, TRACK), axis)
    root = ElementTree.fromstring(svg)
    texts = [node.text for node in root.iter("text")]
    assert {"left", "right", "1", "°"} <= set(texts)
    assert not re.search(r"\sstyle=|\son\w+=", svg)
    assert "centre-line" in svg
    assert root.find("title") is not None
    box = [float(number) for number in root.get("viewBox", "").split()]
    for node in root.iter("text"):
        assert 0 <= float(node.get("x", "")) <= box[2]
        assert 0 <= float(node.get("y", "")) <= box[3]


def test_one_visit_draws_and_drifts_nothing(vehicle: Vehicle) -> None:
    make_visit(make_order(vehicle=vehicle), {("LF", "camber"): "-1"})
    history = history_of(vehicle, TRACK)
    assert history.drifts == ()
    assert plot_svg(history, "time")
    assert plot_svg(history_of(vehicle, track_of("height-rear")), "time") == ""


def test_the_page_shows_the_quantity_that_was_chosen(
    vehicle: Vehicle, writer: Any, client_of: Callable[[Any], Client]
) -> None:
    visits = two_years(vehicle)
    browser = client_of(writer)
    url = reverse("vehicle_readings", args=[vehicle.pk])
    page = browser.get(url, {"quantity": "camber-front", "over": "mileage"}).content.decode()
    assert "Camber top mount &lt;new&gt;" in page
    assert "−0.17° ±0.05°" in page
    assert visits[0].get_absolute_url() in page
    other = browser.get(url, {"quantity": "toe-rear"}).content.decode()
    assert "was not read at any visit" in other
    assert browser.get(url, {"quantity": "'"}).status_code == 200
    empty = browser.get(reverse("vehicle_readings", args=[make_vehicle().pk]))
    assert "has not been on the rack" in empty.content.decode()


def test_the_demonstrations_car_wandered_until_its_bush_was_changed() -> None:
    stage: dict[str, Any] = {"password": "quite a long word"}
    build_shop(stage)
    build_history(stage)
    history = history_of(stage["vehicles"]["touring"], track_of("toe-rear"))
    drifts = {(d.side, d.per): d for d in history.drifts}
    assert len(history.rows) == 4
    assert drifts["left", "a year"].found.is_told
    assert not drifts["right", "a year"].found.is_told
    assert [part.corner_or_axle for part in history.parts] == ["LR"]

"""The page of the whole car: totals, what stands on a mirror, and tyres on one drive."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.engine.mounting.law import Figure
from fitment.job.state import check_state
from fitment.mounting.law import law_save
from fitment.mounting.services.facts import mounting_checks
from fitment.surveys.services import survey_mirror
from shop.models import CarModel
from tests.fitment.factories import make_ready_order, make_surveyed_car_model, make_wide_tyre

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def car_text(browser: Client, order: Any) -> str:
    check = check_run(order=order, by=None)
    text = browser.get(reverse("clearance_car", args=[check.pk])).content.decode()
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def driven_order(driven: str, **values: Any) -> Any:
    """An order with taller tyres in front than behind, 635 against 629 mm."""
    car_model = make_surveyed_car_model()
    CarModel.objects.filter(pk=car_model.pk).update(driven=driven, **values)
    order = make_ready_order(car_model=car_model, axles="front rear")
    order.order_wheels.filter(axle="front").update(tyre=make_wide_tyre())
    order.vehicle.refresh_from_db()
    return order


def test_totals_and_crosses_are_said(client_of: Browsers, writer: Any) -> None:
    text = car_text(client_of(writer), make_ready_order(axles="front rear"))
    assert "<dt>Total toe</dt><dd>+0.10°, left and right</dd>" in text
    assert "<dt>Cross caster</dt><dd>0.00°, left minus right</dd>" in text
    assert "<dt>Thrust angle</dt>" in text
    assert "Toe, each wheel" in text


def test_a_mirrored_corner_says_so_and_what_it_adds(client_of: Browsers, writer: Any) -> None:
    car_model = make_surveyed_car_model(corners="LF")
    order = make_ready_order(car_model=car_model)
    survey_mirror(survey=car_model.surveys.get(), by=writer)
    text = car_text(client_of(writer), order)
    assert "The front right was not measured: it stands on the survey of the front left" in text
    assert "2.0 mm were added to the standard uncertainty of each spot there" in text
    assert "The front left was not measured" not in text


def test_corners_that_were_measured_themselves_are_no_mirrors(
    client_of: Browsers, writer: Any
) -> None:
    assert "was not measured" not in car_text(client_of(writer), make_ready_order())


@pytest.mark.parametrize(
    ("driven", "words", "joined"),
    [
        ("both", "All four wheels are driven", 3),
        ("rear", "The rear axle is driven", 1),
        ("", "It is not recorded which axle is driven", 0),
    ],
)
def test_tyres_are_judged_by_what_is_driven(
    client_of: Browsers, writer: Any, driven: str, words: str, joined: int
) -> None:
    text = car_text(client_of(writer), driven_order(driven))
    assert words in text
    assert text.count("Joined by the drive") == joined
    assert "common practice, no source" in text
    assert ("Enter it in the car model" in text) == (not driven)


def test_the_makers_figure_goes_before_the_shops_and_the_shops_before_the_habit(
    client_of: Browsers, writer: Any
) -> None:
    browser = client_of(writer)
    assert "further apart" not in car_text(browser, driven_order("both"))  # 0.95 % of 1 %
    law_save(figures={"ratio_percent": Figure(0.8, "the shop's own rule")})
    text = car_text(browser, driven_order("both"))
    assert "Joined by the drive, further apart than 0.8 %" in text
    assert "0.8 % at most (the shop&#x27;s own rule)" in text
    makers = {"drive_apart_percent": 1.5, "drive_apart_source": "manual, page 210"}
    text = car_text(browser, driven_order("both", **makers))
    assert "further apart" not in text
    assert "1.5 %, the car’s maker: manual, page 210" in text


def test_all_wheel_drive_needs_the_ratio_of_the_original_tyres(
    client_of: Browsers, writer: Any
) -> None:
    staggered = {"oe_tyre_front": "225/40R18", "oe_tyre_rear": "255/40R18"}  # 637 and 661 mm
    text = car_text(client_of(writer), driven_order("both", **staggered))
    assert "Front to rear circumference 1.0095, originally 0.9637: 4.8 % off" in text


def test_the_mounting_check_uses_the_makers_figure_too(writer: Any) -> None:
    originals = {"oe_tyre_front": "235/40R18", "oe_tyre_rear": "235/40R18"}
    makers = {"drive_apart_percent": 0.5, "drive_apart_source": "manual, page 210"}

    def ratio(order: Any) -> Any:
        found = mounting_checks(order, check_state(order))
        assert found
        return next(one for one in found.results if one.rule == "diameter-ratio")

    assert ratio(driven_order("both", **originals)).outcome == "passes"
    strict = ratio(driven_order("both", **originals, **makers))
    assert strict.outcome == "fails"
    assert strict.source == "the car’s maker: manual, page 210"


def test_a_makers_figure_needs_the_place_where_it_stands(client_of: Browsers, writer: Any) -> None:
    car_model = make_surveyed_car_model()
    url = reverse("car_model_edit", args=[car_model.pk])
    sent = {"name": car_model.name, "drive_apart_percent": "0,5", "why": "Papers"}
    answer = client_of(writer).post(url, sent)
    assert "drive_apart_source" in answer.context["form"].errors
    assert "Enter the source of the maker&#x27;s figure." in answer.content.decode()
    car_model.refresh_from_db()
    assert car_model.drive_apart_percent is None
    client_of(writer).post(url, sent | {"drive_apart_source": "manual, page 210"})
    car_model.refresh_from_db()
    assert car_model.drive_apart_percent == 0.5

"""The federal in-service limit of toe, on the pages that show readings."""

from __future__ import annotations

import html
from typing import Any

import pytest
from django.urls import reverse

from alignment.visits.legal_limits_page import beyond_limits, maker_sheet
from shop.models import WorkOrder
from tests.alignment.factories import make_target, make_visit
from tests.factories import make_car_model, make_order, make_vehicle

pytestmark = pytest.mark.django_db
BEYOND = "exceeds the federal in-service limit of the United States"


def an_order(**figures: Any) -> WorkOrder:
    """The maker's book lists 0.05° ± 0.06° a wheel, 0.10° ± 0.06° in all."""
    car_model = make_car_model()
    rows = {("front", "toe"): (0.05, 0.06), ("front", "camber"): (-0.5, 0.5)}
    make_target(
        rows, car_model=car_model, kind="maker", source="workshop book, group 32", **figures
    )
    return make_order(vehicle=make_vehicle(car_model=car_model))


def toe(left: str, right: str) -> dict[tuple[str, str], str]:
    return {("LF", "toe"): left, ("RF", "toe"): right}


def test_toe_beyond_the_limit_is_cautioned_on_the_visit_and_on_the_order(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    visit = make_visit(order, toe("0.20", "0.15"), accuracy_deg=0.03)
    card = html.unescape(client_of(technician).get(order.get_absolute_url()).content.decode())
    assert f"Front total toe, +0.35°, {BEYOND}" in card
    for url in (visit.get_absolute_url(), reverse("order_readings", args=[order.pk])):
        said = html.unescape(client_of(technician).get(url).content.decode())
        assert f"Front total toe, +0.35°, {BEYOND}: 49 CFR 570.7(d)" in said
        assert "here ±0.24° from “workshop book, group 32”, version 1" in said
        assert "local law decides" in said


def test_toe_out_counts_as_well_and_what_the_rack_cannot_tell_is_said() -> None:
    order = an_order()
    (out,) = beyond_limits(order, make_visit(order, toe("-0.30", "-0.10"), accuracy_deg=0.03))
    assert "−0.40°" in out
    assert "below rack accuracy" not in out
    (near,) = beyond_limits(order, make_visit(order, toe("0.13", "0.13"), accuracy_deg=0.03))
    assert "by less than the rack's accuracy" in near


@pytest.mark.parametrize("numbers", [toe("0.10", "0.12"), {("LF", "camber"): "-3.0"}])
def test_inside_the_limit_and_without_toe_nothing_is_said(numbers: Any) -> None:
    order = an_order()
    assert beyond_limits(order, make_visit(order, numbers)) == []


def test_a_total_alone_is_judged_too() -> None:
    order = an_order()
    assert len(beyond_limits(order, make_visit(order, {("LF", "toe_total"): "0.35"}))) == 1


def test_without_the_makers_figures_there_is_no_limit() -> None:
    car_model = make_car_model()
    make_target(car_model=car_model, kind="shop")
    order = make_order(vehicle=make_vehicle(car_model=car_model))
    assert beyond_limits(order, make_visit(order, toe("0.9", "0.9"))) == []
    assert beyond_limits(make_order(), make_visit(numbers=toe("0.9", "0.9"))) == []


def test_the_makers_sheet_of_the_orders_use_and_its_newest_version_count() -> None:
    order = an_order()
    car_model = order.vehicle.car_model
    track = make_target(
        {("front", "toe"): (0.3, 0.1)}, car_model=car_model, kind="maker", use="track"
    )
    assert maker_sheet(order) != track
    order.use = "track"
    assert maker_sheet(order) == track
    newer = make_target(
        {("front", "toe"): (0.2, 0.1)}, car_model=car_model, kind="maker", use="track"
    )
    assert maker_sheet(order) == newer

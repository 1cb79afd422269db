"""Wheels that the shop measured: pooled, they replace what the maker states, in every check."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from common.verdicts import Verdict
from fitment.catalogue.wheel_pools import wheel_measurement_add, wheel_measurement_remove
from fitment.clearance.services import check_run
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck, WheelMeasurement, WheelModel
from fitment.mounting.services.record import mounting_keep
from tests.fitment.factories import make_ready_order, make_wheel

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def measure(wheel: WheelModel, by: Any, **values: Any) -> WheelMeasurement:
    return wheel_measurement_add(wheel=wheel, by=by, values=values)[0]


def wheel_asked(order: Any) -> dict[str, Any]:
    document = check_inputs(order).document
    assert document is not None
    asked: dict[str, Any] = document["corners"]["LF"]["wheel"]
    return asked


def test_what_the_shop_measured_of_a_wheel_enters_the_check_and_makes_it_stale(
    writer: Any,
) -> None:
    order = make_ready_order()
    wheel = order.order_wheels.get().wheel
    before = check_inputs(order)
    for offset in (39.2, 39.6, 39.4):
        measure(wheel, writer, width_mm=230.1, offset_mm=offset, barrel_radius_mm=214.6)
    asked = wheel_asked(order)
    assert asked["width_in"] == 9
    assert asked["width_mm"] == pytest.approx(230.1)
    assert asked["offset_mm"] == pytest.approx(39.4)
    assert asked["sigma_offset_mm"] < 0.5
    assert asked["rim_diameter_mm"] == 462.0  # ISO 4000-1, from memory
    assert asked["barrel_mm"] == pytest.approx(231.0 - 214.6)
    assert asked["sigma_barrel_mm"] < 1.0
    assert check_inputs(order).digest != before.digest
    assert check_inputs(order).can_run


def test_a_wheel_that_sits_further_out_costs_the_lip_what_it_sits_out(writer: Any) -> None:
    order = make_ready_order()
    wheel = order.order_wheels.get().wheel

    def lip() -> float:
        places = check_run(order=order, by=None).answer["corners"]["LF"]["places"]
        return float(next(p["clearance_mm"] for p in places if p["place"] == "arch lip"))

    marked = lip()
    measure(wheel, writer, offset_mm=37.0)
    assert 1.5 < marked - lip() <= 3.05


def test_the_check_names_the_uncertainty_of_a_measured_wheel(writer: Any) -> None:
    order = make_ready_order()
    wheel = order.order_wheels.get().wheel
    for width in (226.0, 230.0):
        measure(wheel, writer, width_mm=width, barrel_radius_mm=214.6)
    check = check_run(order=order, by=None)
    uncertainty = {
        part["source"]
        for place in check.answer["corners"]["LF"]["places"]
        for part in place["doubt"]
    }
    assert {"wheel width", "barrel"} <= uncertainty


def test_brakes_are_judged_once_barrel_and_spokes_were_measured(writer: Any) -> None:
    order = make_ready_order()
    wheel = order.order_wheels.get().wheel
    wheel.barrel_mm, wheel.spoke_back = None, []
    wheel.save()
    assert not wheel.inside_known
    assert check_run(order=order, by=None).verdict == "unmeasured"
    trace = [[18, 40], [16, 80], [22, 150], [34, 190], [30, 205]]
    measure(wheel, writer, spoke_back=trace, barrel_radius_mm=216.0)
    wheel.refresh_from_db()
    assert wheel.inside_known
    assert check_run(order=order, by=None).verdict == Verdict.CLEAR
    assert ClearanceCheck.objects.count() == 2


def test_a_measured_thickness_at_the_bolts_decides_the_thread(writer: Any) -> None:
    order = make_ready_order()
    wheel = order.order_wheels.get().wheel
    measure(wheel, writer, pad_mm=14.0)
    check = mounting_keep(order=order, by=None)
    assert check is not None
    assert check.inputs["axles"]["front"]["fitted"]["pad_mm"] == 14.0


def test_a_measurement_taken_back_is_forgotten(writer: Any) -> None:
    wheel = make_wheel()
    one = measure(wheel, writer, offset_mm=39.0)
    again = wheel_measurement_remove(measurement=one)
    assert again.pooled == {}
    assert again.as_document(spacer_mm=0.0)["offset_mm"] == 40


def test_a_corrected_flange_moves_the_offset_that_back_spacing_gave(
    client_of: Browsers, writer: Any
) -> None:
    wheel = make_wheel()
    measure(wheel, writer, back_mm=166.8)
    wheel.refresh_from_db()
    assert wheel.pooled["wheel"]["offset_mm"] == pytest.approx(40.0)
    browser = client_of(writer)
    page = browser.get(wheel.get_absolute_url())
    values = {
        name: field.value() if (field := page.context["form"][name]).value() is not None else ""
        for name in page.context["form"].fields
    }
    values |= {"flange_mm": "11.5", "spoke_back": "18 40\n30 205", "why": "Traced again"}
    assert browser.post(wheel.get_absolute_url(), values).status_code == 302
    wheel.refresh_from_db()
    assert wheel.pooled["wheel"]["offset_mm"] == pytest.approx(41.0)


def test_a_technician_records_wheels_and_sees_what_they_come_to(
    client_of: Browsers, technician: Any
) -> None:
    wheel, browser = make_wheel(), client_of(technician)
    url = reverse("wheel_measure", args=[wheel.pk])
    for back in ("166,3", "166.9"):
        sent = {"width_mm": "229,4", "back_mm": back, "measured_on": "2026-11-02"}
        assert browser.post(url, sent).status_code == 302
    text = browser.get(wheel.get_absolute_url()).content.decode()
    assert "Between the flanges" in text
    assert "229.4" in text
    assert "39.4" in text
    assert "measured here" in browser.get(reverse("wheel_list")).content.decode()
    gone = WheelMeasurement.objects.first()
    assert gone is not None
    browser.post(reverse("wheel_measurement_remove", args=[gone.pk]))
    assert WheelMeasurement.objects.count() == 1


@pytest.mark.parametrize(
    ("sent", "why"),
    [
        ({}, "Nothing was read yet"),
        ({"back_mm": "166", "offset_mm": "40"}, "not both"),
        ({"back_mm": "150"}, "This makes the offset 23.2\u00a0mm"),
        ({"width_mm": "200"}, "is no wheel that is marked 9 in"),
        ({"barrel_radius_mm": "232"}, "barrel"),
        ({"spoke_back": "18 205\n20 100"}, "radius"),
    ],
)
def test_a_wheel_that_cannot_be_is_refused_and_nothing_typed_is_lost(
    client_of: Browsers, technician: Any, sent: dict[str, str], why: str
) -> None:
    wheel = make_wheel()
    url = reverse("wheel_measure", args=[wheel.pk])
    answer = client_of(technician).post(url, {"measured_on": "2026-11-02", "note": "bent", **sent})
    text = answer.content.decode()
    assert why.replace("\u00a0", " ") in text
    assert 'value="bent"' in text
    assert not wheel.measurements.exists()

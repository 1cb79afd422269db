"""Mounting checks of orders, measured tyres, the shop's law, and what the shop has seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from alignment.text.render import render
from common.verdicts import Outcome
from fitment.catalogue.tyre_pools import measurement_add, measurement_remove
from fitment.clearance.services import check_run
from fitment.engine.mounting.law import PRESETS
from fitment.engine.mounting.rule import Result
from fitment.job.inputs import check_inputs
from fitment.job.state import check_state
from fitment.models import OrderMounting, OrderWheels, ShopLaw, TyreMeasurement
from fitment.mounting.earlier_jobs import earlier_jobs
from fitment.mounting.law import law_take_over
from fitment.mounting.panels import earlier_jobs_answers, guides_answers, mounting_answers
from fitment.mounting.services.facts import mounting_checks
from shop.models import Comeback, ContactMark, RoadTest, WorkOrder
from shop.site.page_cache import looking
from tests.factories import make_order, make_vehicle
from tests.fitment.factories import (
    make_order_wheels,
    make_plan,
    make_ready_order,
    make_surveyed_car_model,
    make_tyre,
    make_wheel,
)

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
HELD = {
    "bolt_count": 5,
    "bolt_circle_mm": 116,
    "centre_bore_mm": 64.5,
    "seat": "ball14",
    "pad_mm": 12,
    "load_rating_kg": 650,
}


def a_demanding_car_model() -> Any:
    car_model = make_surveyed_car_model()
    for name, value in {
        "wheel_seat": "ball14",
        "fastener": "bolt",
        "fastener_length_mm": 28.0,
        "load_index_front": 91,
        "load_index_rear": 91,
        "speed_symbol": "W",
        "top_speed_kmh": 235,
        "axle_load_front_kg": 1000,
        "axle_load_rear_kg": 1000,
        "oe_tyre_front": "225/40R18",
        "oe_tyre_rear": "225/40R18",
    }.items():
        setattr(car_model, name, value)
    car_model.save()
    return car_model


def an_order_that_suits(**tyre: Any) -> WorkOrder:
    """Everything on record and in order, front and rear."""
    vehicle = make_vehicle(car_model=a_demanding_car_model())
    order = make_order(vehicle=vehicle)
    wheel = make_wheel(**HELD)
    values = {"load_index": "92", "speed_symbol": "Y", "rim_min_in": 8, "rim_max_in": 9.5}
    fitted = make_tyre(**(values | tyre))
    for axle in ("front", "rear"):
        make_order_wheels(order, axle, wheel=wheel, tyre=fitted)
    make_plan(order)
    make_plan(order, "rear", camber_deg=-1.8, camber_by="lower_arm", toe_deg=0.1)
    return order


def results(order: WorkOrder) -> dict[tuple[str, str], Result]:
    mounting = mounting_checks(order, check_state(order))
    assert mounting is not None
    return {(one.axle, one.title.code): one for one in mounting.results}


def test_an_order_that_suits_its_car_fails_nothing() -> None:
    law_take_over(preset="eu-cover")
    order = an_order_that_suits()
    check_run(order=order, by=None)
    found = results(order)
    assert [one for one in found.values() if one.outcome == Outcome.FAILS] == []
    assert found[("front", "rule.brakes")].outcome == Outcome.PASSES
    assert found[("", "rule.diameter-ratio")].outcome == Outcome.PASSES


def test_a_tyre_with_too_low_an_index_fails_on_both_axles() -> None:
    found = results(an_order_that_suits(load_index="88"))
    assert found[("front", "rule.load-index")].outcome == Outcome.FAILS
    assert found[("rear", "rule.load-index")].outcome == Outcome.FAILS


def test_a_stale_clearance_check_answers_nothing() -> None:
    law_take_over(preset="eu-cover")
    order = an_order_that_suits()
    check_run(order=order, by=None)
    OrderWheels.objects.filter(order=order).update(spacer_mm=3.0)
    found = results(order)
    assert found[("front", "rule.brakes")].outcome == Outcome.CANNOT_SAY
    assert found[("front", "rule.cover")].outcome == Outcome.CANNOT_SAY


def test_a_car_without_a_car_model_cannot_be_judged() -> None:
    order = make_order(vehicle=make_vehicle(car_model=None))
    make_order_wheels(order, wheel=make_wheel(**HELD))
    outcomes = {one.outcome for one in results(order).values()}
    assert Outcome.FAILS not in outcomes
    assert Outcome.CANNOT_SAY in outcomes


def test_an_order_that_mounts_nothing_has_no_checks() -> None:
    order = make_order()
    assert mounting_checks(order, check_state(order)) is None


def test_a_ring_and_longer_bolts_are_taken_from_the_order(client_of: Browsers, writer: Any) -> None:
    order = an_order_that_suits()
    wheel = order.order_wheels.get(axle="front").wheel
    wheel.centre_bore_mm, wheel.seat = 72.6, "cone60"
    wheel.save()
    assert results(order)[("front", "rule.centre-bore")].outcome == Outcome.CANNOT_SAY
    assert results(order)[("front", "rule.seat")].outcome == Outcome.FAILS
    answer = client_of(writer).post(
        reverse("order_mounting", args=[order.pk]),
        {
            "front_ring_outer_mm": "72,6",
            "front_ring_inner_mm": "64,5",
            "front_seat": "cone60",
            "front_length_mm": "35",
        },
    )
    assert answer.status_code == 302
    found = results(order)
    assert found[("front", "rule.centre-bore")].outcome == Outcome.PASSES
    assert found[("front", "rule.seat")].outcome == Outcome.PASSES
    assert "23.0 mm" in render(found[("front", "rule.engagement")].found)
    assert found[("rear", "rule.centre-bore")].outcome == Outcome.CANNOT_SAY
    assert order.log.filter(what="Rings and nuts chosen").exists()


def test_half_a_ring_is_refused(client_of: Browsers, writer: Any) -> None:
    order = an_order_that_suits()
    url = reverse("order_mounting", args=[order.pk])
    answer = client_of(writer).post(url, {"front_ring_outer_mm": "72.6", "rear_thread": "wide"})
    text = answer.content.decode()
    assert "A ring has two diameters." in text
    assert "Write it like M12×1.5" in text
    assert not OrderMounting.objects.exists()


# Law


def test_a_manager_takes_over_a_document_and_writes_own_figures(
    client_of: Browsers, manager: Any
) -> None:
    browser = client_of(manager)
    browser.post(reverse("law_take"), {"preset": "at-gaps"})
    law = ShopLaw.load().law()
    assert law["gap_body_mm"].value == 10.0
    assert law["gap_body_mm"].source == PRESETS["at-gaps"].name
    values = {"gap_body_mm": "12,5", "gap_body_mm_source": "our own habit"}
    assert browser.post(reverse("law"), values).status_code == 302
    law = ShopLaw.load().law()
    assert law["gap_body_mm"].value == 12.5
    assert "gap_parts_mm" not in law


def test_a_figure_without_a_source_is_refused(client_of: Browsers, manager: Any) -> None:
    text = client_of(manager).post(reverse("law"), {"gap_body_mm": "12"}).content.decode()
    assert "Name the document" in text
    assert ShopLaw.load().law() == {}


def test_figures_that_stand_for_a_choice_are_chosen_in_words(
    client_of: Browsers, manager: Any
) -> None:
    browser = client_of(manager)
    browser.post(reverse("law_take"), {"preset": "sa-changes"})
    text = browser.get(reverse("law")).content.decode()
    assert "Spacers: none but the car&#x27;s own" in text
    sent = {"spacers": "1.0", "spacers_source": "our own law", "cover_of": ""}
    assert browser.post(reverse("law"), sent).status_code == 302
    law = ShopLaw.load().law()
    assert {key: one.value for key, one in law.items()} == {"spacers": 1.0}


def test_two_documents_stand_beside_one_another() -> None:
    law_take_over(preset="eu-cover")
    law_take_over(preset="at-gaps")
    assert {"cover_ahead_deg", "gap_body_mm"} <= set(ShopLaw.load().law())


# Measured tyres


def measure(tyre: Any, by: Any, **values: Any) -> TyreMeasurement:
    return measurement_add(tyre=tyre, by=by, values={"rim_in": 8.5, **values})[0]


def test_what_the_shop_measured_replaces_what_is_printed(writer: Any) -> None:
    order = make_ready_order()
    tyre = order.order_wheels.get().tyre
    before = check_inputs(order)
    for width in (251.0, 252.0, 251.5):
        measure(tyre, writer, width_mm=width, diameter_mm=627.0)
    after = check_inputs(order)
    assert after.document is not None
    asked = after.document["corners"]["LF"]["tyre"]
    assert asked["section_width_mm"] == pytest.approx(251.5)
    assert asked["measuring_rim_in"] == 8.5
    assert asked["overall_diameter_mm"] == 627.0
    assert asked["sigma_width_mm"] < 1.0
    assert after.digest != before.digest
    assert after.can_run


def test_the_check_uncertainties_less_what_was_measured_more(writer: Any) -> None:
    order = make_ready_order()
    tyre = order.order_wheels.get().tyre

    def uncertainty() -> float:
        answer = check_run(order=order, by=None).answer
        lip = answer["corners"]["LF"]["places"][0]
        return float(lip["sigma_mm"])

    nominal = uncertainty()
    measure(tyre, writer, width_mm=248.0, diameter_mm=629.0)
    once = uncertainty()
    for _ in range(3):
        measure(tyre, writer, width_mm=248.0, diameter_mm=629.0)
    assert nominal >= once >= uncertainty()


def test_a_measurement_taken_back_is_forgotten(writer: Any) -> None:
    tyre = make_tyre()
    one = measure(tyre, writer, width_mm=251.0)
    again = measurement_remove(measurement=one)
    assert again.pooled == {}
    assert again.as_document()["section_width_mm"] == 248


def test_a_traced_section_serves_on_the_rim_it_was_traced_on(writer: Any) -> None:
    tyre = make_tyre()
    trace = [[105, 232], [124, 270], [100, 312], [-100, 312], [-124, 270], [-105, 232]]
    measure(tyre, writer, width_mm=248.0, profile=trace)
    tyre.refresh_from_db()
    assert tyre.as_document(8.5)["profile"] == trace
    assert "profile" not in tyre.as_document(9.5)
    assert "profile" not in tyre.as_document()


def test_a_technician_records_a_tyre_and_sees_the_mean(
    client_of: Browsers, technician: Any
) -> None:
    tyre, browser = make_tyre(), client_of(technician)
    url = reverse("tyre_measure", args=[tyre.pk])
    for width in ("250,5", "251.5"):
        sent = {"rim_in": "8,5", "width_mm": width, "measured_on": "2026-11-02"}
        assert browser.post(url, sent).status_code == 302
    text = browser.get(tyre.get_absolute_url()).content.decode()
    assert "251.0\u202fmm" in text
    assert "from 2 measured" in text
    assert "2 measured here" in browser.get(reverse("tyre_list")).content.decode()


@pytest.mark.parametrize(
    ("sent", "why"),
    [
        ({"rim_in": "8.5"}, "Nothing was read yet"),
        ({"rim_in": "8.5", "width_mm": "248", "tread_mm": "260"}, "tread"),
        ({"width_mm": "248"}, "required"),
    ],
)
def test_a_measurement_that_makes_no_sense_is_refused(
    client_of: Browsers, technician: Any, sent: dict[str, str], why: str
) -> None:
    tyre = make_tyre()
    url = reverse("tyre_measure", args=[tyre.pk])
    answer = client_of(technician).post(url, {"measured_on": "2026-11-02", **sent})
    assert why in answer.content.decode()
    assert not tyre.measurements.exists()


# What the shop has seen


def an_earlier_job(car_model: Any, by: Any, *, gap: float | None = 6.5, **tyre: Any) -> WorkOrder:
    order = make_ready_order(car_model=car_model, state="handed_over")
    if tyre:
        order.order_wheels.update(tyre=make_tyre(**tyre))
    test = RoadTest.objects.create(order=order, by=by)
    ContactMark.objects.create(
        road_test=test, corner="LF", place="arch lip", gap_mm=gap, contact=gap is None
    )
    return order


def test_the_nearest_earlier_job_stands_first(technician: Any) -> None:
    car_model = make_surveyed_car_model()
    wide = an_earlier_job(car_model, technician, section_width_mm=275, name="Wide")
    same = an_earlier_job(car_model, technician)
    order = make_ready_order(car_model=car_model)
    lines = earlier_jobs(order, check_state(order))
    assert [line.order for line in lines] == [same, wide]
    assert lines[0].likeness == "the same"
    assert lines[0].gap_mm == 6.5
    assert lines[1].likeness == "further off"


def test_what_was_predicted_there_and_here_stands_beside_the_gap(technician: Any) -> None:
    car_model = make_surveyed_car_model()
    earlier = an_earlier_job(car_model, technician)
    check_run(order=earlier, by=None)
    order = make_ready_order(car_model=car_model)
    check_run(order=order, by=None)
    (line,) = earlier_jobs(order, check_state(order))
    assert line.then is not None
    assert line.here is not None
    assert line.then.clearance_mm == pytest.approx(line.here.clearance_mm)


def test_a_comeback_is_seen_at_its_place(technician: Any) -> None:
    car_model = make_surveyed_car_model()
    first = an_earlier_job(car_model, technician)
    again = make_order(vehicle=first.vehicle, kind="comeback", first_order=first)
    Comeback.objects.create(
        order=again, first_order=first, corner="LF", place="arch lip", happens="dip"
    )
    order = make_ready_order(car_model=car_model)
    (line,) = earlier_jobs(order, check_state(order))
    assert line.came_back is not None
    assert line.came_back.order == again


def test_other_car_models_dropped_orders_and_the_order_itself_are_not_seen(technician: Any) -> None:
    car_model = make_surveyed_car_model()
    an_earlier_job(make_surveyed_car_model(), technician)
    dropped = an_earlier_job(car_model, technician)
    WorkOrder.objects.filter(pk=dropped.pk).update(state="cancelled")
    order = an_earlier_job(car_model, technician)
    assert earlier_jobs(order, check_state(order)) == []


# The order page


def test_the_page_of_mounting_checks_shows_what_fails_with_rule_and_source(
    client_of: Browsers, writer: Any
) -> None:
    order = an_order_that_suits(load_index="88")
    page = reverse("order_mounting_checks", args=[order.pk])
    card = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert 'data-test="answer-mounting"' in card
    assert page in card
    assert "88 (560" in card
    assert "UN Regulation No. 30, Annex IV" not in card
    text = client_of(writer).get(page).content.decode()
    assert "Mounting checks" in text
    assert "88 (560" in text
    assert "UN Regulation No. 30, Annex IV" in text
    assert "style=" not in text


def test_the_order_asks_no_more_for_more_earlier_jobs(writer: Any, technician: Any) -> None:
    car_model = a_demanding_car_model()
    order = make_ready_order(car_model=car_model)
    order = WorkOrder.objects.select_related("vehicle__car_model").get(pk=order.pk)

    def asked() -> int:
        request = RequestFactory().get("/")
        request.user = writer
        with looking(), CaptureQueriesContext(connection) as queries:  # as the order page does
            for answers in (mounting_answers, guides_answers, earlier_jobs_answers):
                answers(request, order)
        return len(queries)

    for _ in range(2):
        check_run(order=an_earlier_job(car_model, technician), by=None)
    few = asked()
    for _ in range(4):
        an_earlier_job(car_model, technician)
    assert asked() <= few <= 26

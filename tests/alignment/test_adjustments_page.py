"""The way from readings to moves and back to readings, in the browser's words."""

from __future__ import annotations

import copy
import datetime as dt
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from alignment.adjustments import learn_from_visits
from alignment.adjustments.data import ClearanceAfter
from alignment.adjustments.option_page import ShownOption, by_clearance
from alignment.adjustments.page import adjustments_page
from alignment.adjustments.prediction_review import ACCEPTED
from alignment.geometry import units
from alignment.geometry.adjustment_problem import CAMBER, TOE, TOE_LINK, Adjustment, Option
from alignment.models import PlannedSetting, RackVisit
from alignment.text.render import render
from alignment.visits.services.visits import visit_save
from fitment.demo.surveys import STRUT_FRONT
from shop.models import CarModel
from tests.alignment.adjustments_orders import (
    READ,
    accepted,
    an_order,
    at,
    mount_part,
    stand,
    text_of,
)
from tests.alignment.factories import make_visit
from tests.factories import make_line, make_order, make_part, make_vehicle
from tests.fitment.factories import (
    make_order_wheels,
    make_survey,
    make_surveyed_car_model,
)

pytestmark = pytest.mark.django_db


def test_a_technician_reads_moves_makes_them_and_sees_what_became_of_them(
    technician: Any, client_of: Any
) -> None:
    """The journey: read, move, read again; the second readings follow the shop's own model."""
    order = an_order()
    make_order_wheels(order, "front")
    client = client_of(technician)
    on_order = client.get(order.get_absolute_url()).content.decode()
    assert reverse("adjustments", args=[order.pk]) in on_order

    said = text_of(client, order)
    assert "Top mount 6 mm inboard, to mark +2" in said or "inboard, to mark" in said
    assert "Toe link" in said
    assert "After these adjustments" in said
    assert "No adjustments are offered" not in said

    (left, *_) = accepted(order, technician)
    moved = at(order, "LF")
    assert moved.answer is not None
    option = moved.answer.options[0]
    told = dict(option.predicted)
    typed = units.parse_angle
    readings = {
        ("LF", "camber"): typed(f"{told[CAMBER] + 0.11:.3f}"),
        ("LF", "toe"): typed(f"{told[TOE]:.3f}"),
    }
    positions = {
        ("LF", "top_mount_in_mm"): units.parse_position(f"{option.positions['top_mount_in_mm']}"),
        ("LF", TOE_LINK): units.parse_position(f"{option.positions[TOE_LINK]:.3f} mm"),
    }
    visit_save(
        order=order,
        by=technician,
        conditions={"stage": "between", "accuracy_deg": 0.03},
        readings=readings,
        positions=positions,
    )
    again = at(order, "LF")
    (followed,) = again.followed
    assert (followed.basis, followed.accepted) == (ACCEPTED, left)
    assert followed.read[CAMBER] - followed.predicted[CAMBER] == pytest.approx(0.11, abs=2e-3)
    assert followed.read[TOE] == pytest.approx(followed.predicted[TOE], abs=2e-3)
    # The model takes over what the rack now reads beside it.
    assert again.answer is not None
    assert again.answer.offset[CAMBER] - followed.offset[CAMBER] == pytest.approx(0.11, abs=2e-3)
    said = text_of(client, order)
    assert "Prediction for these readings" in said
    assert "+0.11" in said


def test_readings_are_held_against_nothing_that_was_not_accepted(
    technician: Any, client_of: Any
) -> None:
    """Neither positions that were recorded nor a target that was changed make a prediction."""
    order = an_order()
    visit = make_visit(order, {("RF", "camber"): "-2.2", ("RF", "toe"): "0.05"}, stage="between")
    stand(visit, "RF", "top_mount_in_mm", "2 marks")
    PlannedSetting.objects.filter(order=order).update(camber_deg=-3.5)
    assert at(order, "RF").followed == ()
    assert "predicted" not in text_of(client_of(technician), order).lower()


def test_marks_and_ranges_of_the_part_hold() -> None:
    order = an_order()
    moved = at(order, "LF").answer
    assert moved is not None
    place = moved.options[0].positions["top_mount_in_mm"]
    assert place / 1.5 == pytest.approx(round(place / 1.5))  # halves of a mark of 3 mm
    assert 0 <= place <= 12


def test_out_of_reach_names_the_part_that_would_help(technician: Any, client_of: Any) -> None:
    order = an_order(camber=-4.5, reach_max=3)
    said = text_of(client_of(technician), order)
    assert "Camber −4.50° is out of reach" in said
    assert "Parts that would reach it" in said
    assert "The one fitted reaches 0.0 to +3.0 mm" in said


def test_camber_methods_without_a_part_are_named(technician: Any, client_of: Any) -> None:
    order = an_order()
    PlannedSetting.objects.filter(order=order).update(camber_by="knuckle")
    said = text_of(client_of(technician), order)
    assert "No part of this car or order states the range" in said
    assert "knuckle bolts, angle. Check that it can be set like that" in said
    order.lines.all().delete()
    make_line(order, kind="part", part=mount_part(), axle="front")
    PlannedSetting.objects.filter(order=order).update(camber_by="top_mount")
    assert "No part of this car" not in text_of(client_of(technician), order)


def test_a_typed_position_without_a_size_is_asked_about(technician: Any, client_of: Any) -> None:
    order = an_order(mark_size=None)
    said = text_of(client_of(technician), order)
    assert "was recorded at “0 marks”, which has no size here" in said


def test_front_toe_is_reckoned_with_the_thrust_line_that_the_rear_moves_turn() -> None:
    order = an_order()
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.1)
    visit = order.rack_visits.get()
    for corner, toe in (("LR", "0.40"), ("RR", "0.10")):
        visit.readings.create(
            corner=corner, quantity="toe", typed=toe, unit="deg", value=float(toe)
        )
    left, right = at(order, "LF"), at(order, "RF")
    # The thrust line turns left by 0.15°: a left wheel that stays still reads more toe-in.
    assert left.thrust_shift_deg == pytest.approx(0.15, abs=1e-3)
    assert right.thrust_shift_deg == pytest.approx(-0.15, abs=1e-3)
    assert left.answer is not None
    assert left.answer.options[0].predicted[TOE] == pytest.approx(0.05, abs=1e-3)
    alone = an_order(order.vehicle.car_model)
    plain = at(alone, "LF").answer
    assert plain is not None
    shorter = left.answer.options[0].positions[TOE_LINK]
    assert shorter != pytest.approx(plain.options[0].positions[TOE_LINK], abs=0.05)


def test_a_new_toe_link_gets_a_length_to_start_from(technician: Any, client_of: Any) -> None:
    order = an_order()
    link = make_part(kind="toe link", axle="front", adjuster=TOE_LINK, thread_pitch_mm=1.5)
    make_line(order, kind="part", part=link, axle="front")
    (page, *_) = adjustments_page(order)
    assert page.adjustments.new_toe_link_length_mm is not None
    assert page.link_start_mm is not None
    assert page.first is not None
    assert page.link_start_mm - page.adjustments.new_toe_link_length_mm == pytest.approx(
        page.first.link_by_mm
    )
    assert "between the joints now; start from" in text_of(client_of(technician), order)


def test_the_option_that_leaves_more_clearance_comes_first() -> None:
    def way(title: str, clearance: ClearanceAfter | None, movement: float) -> ShownOption:
        adjustments = (Adjustment("top_mount_in_mm", 0.0, movement),)
        return ShownOption(Option(adjustments, {}, {}), title, (), (), clearance)

    tight = way("shims", ClearanceAfter(4.0, "tight", ""), 3.0)
    clear = way("mount", ClearanceAfter(9.0, "clear", ""), 8.0)
    same = way("knuckle", ClearanceAfter(9.1, "clear", ""), 2.0)
    assert [one.title for one in by_clearance([tight, clear, same])] == [
        "knuckle",
        "mount",
        "shims",
    ]
    unknown = way("arm", None, 9.0)
    assert by_clearance([unknown, clear]) == [unknown, clear]


def test_both_ways_to_set_camber_are_offered_with_clearance(
    technician: Any, client_of: Any
) -> None:
    order = an_order(camber=-2.0, mark_size=None)
    shim = make_part(
        kind="shim", axle="front", adjuster="lower_arm_out_mm", reach_min=0, reach_max=12
    )
    make_line(order, kind="part", part=shim, axle="front")
    make_order_wheels(order, "front")
    (page, *_) = adjustments_page(order)
    assert page.first is not None
    (other,) = page.others
    assert page.first.clearance is not None
    assert other.clearance is not None
    assert (page.first.clearance.verdict, other.clearance.verdict) == ("clear", "doubtful")
    assert page.first.clearance.clearance_mm > other.clearance.clearance_mm
    # Both reach the camber; the top mount takes the tyre's top away from the lip.
    assert render(page.first.title) == "by top mount inboard"
    assert "Other option: by lower arm outward" in text_of(client_of(technician), order)


def test_included_angles_that_differ_are_named_before_anything_is_moved(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    visit = order.rack_visits.get()
    for corner, lean in (("LF", 14.0), ("RF", 14.7)):
        visit.readings.create(
            corner=corner, quantity="sai", typed=str(lean), unit="deg", value=lean
        )
    said = text_of(client_of(technician), order)
    assert "The included angles differ by 0.85° from left to right" in said


def test_a_survey_of_curves_is_moved_by_visits_too() -> None:
    car_model = make_surveyed_car_model(corners="LR")
    document = copy.deepcopy(STRUT_FRONT)
    document["suspension"] = {
        "kind": "curves",
        "table": [
            {"travel_mm": t, "camber_deg": -0.02 * t, "toe_deg": 0, "out_mm": 0, "forward_mm": 0}
            for t in (-60, 0, 60)
        ],
        "steer_axis": {"point": [0, -80, -100], "caster_deg": 5, "inclination_deg": 12},
        "camber_pivots": {"top_mount": [0, -80, -100]},
    }
    make_survey(car_model, "LF", document=document)
    visits_of(car_model)
    assert at(an_order(car_model, camber=-1.9), "LF").taught is not None


def test_a_slip_in_a_position_is_named_and_breaks_nothing(technician: Any, client_of: Any) -> None:
    order = an_order()
    visit = order.rack_visits.get()
    visit.positions.filter(corner="LF", adjuster=TOE_LINK).update(value=900.0, typed="900 mm")
    said = text_of(client_of(technician), order)
    assert "With the recorded positions the linkage does not go together" in said
    assert "Front right" in said


def test_a_plan_that_lowers_the_car_is_reckoned_with_once() -> None:
    order = an_order()
    PlannedSetting.objects.filter(order=order).update(adjusters={"ride_height_mm": -20.0})
    before = at(order, "LF")
    assert [move.adjuster for move in before.set_anyway] == ["ride_height_mm"]
    assert before.answer is not None
    assert before.answer.options[0].predicted[CAMBER] == pytest.approx(-2.2, abs=0.1)
    heights = {("LF", "ride_height"): "366"}
    visit = order.rack_visits.get()
    visit.readings.create(corner="LF", quantity="ride_height", typed="366", unit="mm", value=366.0)
    make_visit(order, {**READ, **heights, ("LF", "ride_height"): "348"}, stage="between")
    after = at(order, "LF")
    assert after.set_anyway == ()
    assert after.stood["ride_height_mm"] == pytest.approx(-18.0)


def test_writers_have_no_moves_and_an_empty_order_says_what_comes_first(
    writer: Any, technician: Any, client_of: Any
) -> None:
    order = make_order()
    assert client_of(writer).get(reverse("adjustments", args=[order.pk])).status_code == 403
    assert "The car has not been on the rack yet" in text_of(client_of(technician), order)
    make_visit(order)
    assert "Nothing is planned yet" in text_of(client_of(technician), order)


# ---- no geometry


def visits_of(car_model: CarModel, slope: float = -0.14, link: float = 0.4) -> None:
    """Four cars of one model, each read, moved and read again at both front corners."""
    adjustments = [(4.0, -1.0), (-3.0, 2.0), (6.0, 1.5), (2.0, -2.5)]
    for mount, turned in adjustments:
        order = make_order(vehicle=make_vehicle(car_model=car_model))
        earlier = timezone.now() - dt.timedelta(days=3)
        for share, moment in ((0.0, earlier), (1.0, earlier + dt.timedelta(hours=2))):
            readings = {}
            for side, corner in ((1.0, "LF"), (0.5, "RF")):
                camber = -1.0 + share * side * slope * mount
                toe = 0.1 + share * side * (link * turned - 0.05 * mount)
                readings[corner, "camber"] = f"{camber:.2f}"
                readings[corner, "toe"] = f"{toe:.2f}"
            stage = "after" if share else "before"
            visit = make_visit(order, readings, at=moment, stage=stage, accuracy_deg=0.02)
            for side, corner in ((1.0, "LF"), (0.5, "RF")):
                stand(visit, corner, "top_mount_in_mm", f"{share * side * mount:g} mm")
                stand(visit, corner, TOE_LINK, f"{share * side * turned:g} turns")


def test_a_car_model_without_geometry_is_moved_by_what_its_cars_taught(
    technician: Any, client_of: Any
) -> None:
    car_model = make_surveyed_car_model(corners="LR")
    visits_of(car_model)
    order = an_order(car_model, camber=-1.9)
    moved = at(order, "LF")
    assert moved.taught is not None
    assert moved.taught.learned.pairs == 8
    assert moved.answer is not None
    (option,) = moved.answer.options
    assert option.predicted[CAMBER] == pytest.approx(-1.9, abs=1e-3)
    assert option.positions["top_mount_in_mm"] == pytest.approx(0.3 / 0.14, rel=0.1)
    said = text_of(client_of(technician), order)
    assert "8 pairs of readings with this car model" in said
    assert "turns" in said
    assert "±0.0" in said


def test_too_few_visits_are_said_and_nothing_is_offered(technician: Any, client_of: Any) -> None:
    order = an_order(make_surveyed_car_model(corners="LR"))
    said = text_of(client_of(technician), order)
    assert "No adjustments are offered" in said
    assert "no visit tells which adjusters were moved" in said


def test_visits_that_are_left_out_of_what_is_learned_are_said(
    technician: Any, client_of: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    car_model = make_surveyed_car_model(corners="LR")
    visits_of(car_model)
    order = an_order(car_model, camber=-1.9)
    there = RackVisit.objects.filter(vehicle__car_model=car_model).count()
    monkeypatch.setattr(learn_from_visits, "MOST_VISITS", there - 1)
    said = text_of(client_of(technician), order)
    assert f"at its newest {there - 1} visits (1 older visit is left out)" in said

"""What follows from a visit's readings, and how sure it is."""

from __future__ import annotations

import math

import pytest

from alignment.geometry.readings import caster_sweep_sigma
from alignment.visits.services.derived_quantities import Derived, derived_of
from tests.alignment.factories import comparison_of, make_visit
from tests.factories import make_order

pytestmark = pytest.mark.django_db

FULL = {
    ("LF", "camber"): "-1.0",
    ("RF", "camber"): "-1.2",
    ("LF", "caster"): "5.0",
    ("RF", "caster"): "5.3",
    ("LF", "sai"): "12",
    ("LF", "toe"): "0.20",
    ("RF", "toe"): "0.00",
    ("LR", "toe"): "0.30",
    ("RR", "toe"): "0.10",
    ("LF", "wheelbase"): "2612",
    ("RF", "wheelbase"): "2604",
    ("LF", "track"): "1520",
}


def of(visit: object, title: str) -> Derived:
    return {line.title: line for line in derived_of(visit)}[title]


def test_everything_that_follows_is_worked_out_with_its_uncertainty() -> None:
    visit = make_visit(numbers=FULL, accuracy_deg=0.03, toe_reference="centre", steering_ahead=True)
    one = 2 * 0.03 / math.sqrt(3)
    swept = caster_sweep_sigma(1.0, 20.0, 20.0)
    for title, value, uncertainty in (
        ("Total toe, front", 0.20, one * math.sqrt(2)),
        ("Cross camber, front", 0.20, one * math.sqrt(2)),
        ("Cross caster, front", -0.30, one * math.sqrt(2)),
        ("Thrust angle", 0.10, one / math.sqrt(2)),
        ("Front toe from the thrust line, left", 0.10, one * math.sqrt(1.5)),
        ("Front toe from the thrust line, right", 0.10, one * math.sqrt(1.5)),
        ("Included angle, front left", 11.0, one * math.hypot(1, swept)),
        ("Front wheels point, steering wheel straight", 0.0, one),
    ):
        line = of(visit, title)
        assert line.value == pytest.approx(value, abs=1e-9), title
        assert line.expanded == pytest.approx(uncertainty), title
    assert of(visit, "Setback").value == 8.0
    assert of(visit, "Setback as an angle").value == pytest.approx(0.3016, abs=1e-4)
    # 1000 tan(toe): each wheel takes half of 0.40° at the rear.
    assert of(visit, "Scrub of each wheel, rear").value == pytest.approx(3.4907, abs=1e-4)


def test_the_steering_wheel_is_turned_back_by_what_the_front_wheels_point_to() -> None:
    numbers = {("LF", "toe"): "0.20", ("RF", "toe"): "0.00"}
    visit = make_visit(numbers=numbers, steering_ratio=15.0)
    line = of(visit, "Steering wheel turned, running straight")
    assert line.value == pytest.approx(-1.5)
    assert "to the left" in line.words
    assert "not noted" in line.words
    wheels = of(visit, "Front wheels point, steering wheel straight")
    assert wheels.value == pytest.approx(0.1)
    assert "to the right" in wheels.words


def test_wheels_that_point_left_are_said_to_point_left_and_the_steering_wheel_is_named() -> None:
    numbers = {("LF", "toe"): "-0.38", ("RF", "toe"): "0.10"}
    visit = make_visit(numbers=numbers, steering_ahead=True)
    line = of(visit, "Front wheels point, steering wheel straight")
    assert line.value == pytest.approx(-0.24)
    assert line.words.startswith("to the left")
    assert "steering wheel then stands to the right" in line.words
    assert "Steering wheel turned, running straight" not in {d.title for d in derived_of(visit)}


@pytest.mark.parametrize(
    ("left", "right", "words"),
    [
        ("4.0", "5.3", "pulls to the left"),
        ("5.3", "4.0", "pulls to the right"),
        ("5.0", "5.4", ""),
    ],
)
def test_a_difference_of_caster_says_where_the_car_pulls(left: str, right: str, words: str) -> None:
    """To the side with less caster: common practice, no source."""
    numbers = {("LF", "caster"): left, ("RF", "caster"): right}
    said = of(make_visit(numbers=numbers, accuracy_deg=0.03), "Cross caster, front").note
    assert (words in said) if words else not said


@pytest.mark.parametrize(("right", "told"), [("2599", True), ("2607", False)])
def test_a_setback_says_what_to_look_at(right: str, told: bool) -> None:
    numbers = {("LF", "wheelbase"): "2612", ("RF", "wheelbase"): right, ("LF", "track"): "1520"}
    said = of(make_visit(numbers=numbers), "Setback").note
    assert "right wheel further back" in said
    assert ("look at arms" in said) is told


def test_a_total_that_the_rack_gave_stands_in_for_the_wheels() -> None:
    visit = make_visit(numbers={("LF", "toe_total"): "0.24"}, accuracy_deg=0.05)
    line = of(visit, "Total toe, front")
    assert (line.value, line.expanded) == (0.24, pytest.approx(2 * 0.05 / math.sqrt(3)))
    table = comparison_of(visit.order)
    (row,) = table.axles[0].groups[0].rows
    assert (row.side, row.before) == ("total", 0.24)


def test_what_the_rack_cannot_tell_from_nothing_is_called_that() -> None:
    visit = make_visit(
        numbers={("LF", "camber"): "-1.00", ("RF", "camber"): "-1.03"}, accuracy_deg=0.05
    )
    assert "below rack accuracy" in of(visit, "Cross camber, front").words


def test_a_change_smaller_than_the_rack_can_see_is_called_that() -> None:
    order = make_order()
    make_visit(order, {("LF", "camber"): "-1.0", ("RF", "camber"): "-1.0"}, accuracy_deg=0.05)
    make_visit(
        order,
        {("LF", "camber"): "-1.04", ("RF", "camber"): "-2.0"},
        stage="after",
        accuracy_deg=0.05,
    )
    left, right, _cross = comparison_of(order).axles[0].groups[0].rows
    assert left.change_words == "change below rack accuracy, ±0.08"
    assert right.change_words == "−1.00 ±0.08"


def test_a_swept_caster_is_less_sure_than_one_off_the_rack() -> None:
    sweep = {"steer_out": "20", "camber_out": "1.0", "steer_in": "20", "camber_in": "-1.0"}
    numbers = {("LF", "caster"): "3.0", ("RF", "caster"): "3.0"}
    visit = make_visit(numbers=numbers, accuracy_deg=0.05, sweeps={"LF": sweep})
    plain = of(visit, "Cross caster, front").expanded
    visit.readings.filter(corner="LF").update(unit="sweep")
    assert of(type(visit).objects.get(pk=visit.pk), "Cross caster, front").expanded == (
        pytest.approx(plain * math.hypot(2.0674, 1) / math.sqrt(2), rel=1e-3)
    )

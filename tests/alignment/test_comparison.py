"""Before, after, target and what is off, in one table."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from alignment.models import Quantity, Reading
from alignment.visits.data import Comparison, Row
from alignment.visits.panels import readings_answers
from alignment.visits.services.derived_quantities import included_angles, toe_from_thrust_line
from shop.models import WorkOrder
from tests.alignment.factories import comparison_of, make_plan, make_visit
from tests.factories import make_order

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture
def order() -> WorkOrder:
    return make_order()


def row(table: Comparison, axle: str, quantity: str, side: str) -> Row:
    return next(
        r
        for a in table.axles
        if a.axle == axle
        for g in a.groups
        if g.quantity == quantity
        for r in g.rows
        if r.side == side
    )


def test_left_right_and_cross_stand_under_each_other(order: WorkOrder) -> None:
    make_plan(order)
    make_visit(order)
    make_visit(order, {("LF", "camber"): "-2.35", ("RF", "camber"): "-2.50"}, stage="after")
    table = comparison_of(order)
    left = row(table, "front", "camber", "left")
    assert (left.before, left.after, left.target) == (-0.75, -2.35, -2.4)
    cross = row(table, "front", "camber", "cross")
    assert cross.before == pytest.approx(-0.25)
    assert cross.after == pytest.approx(0.15)
    assert cross.target == 0.0


def test_a_value_out_of_tolerance_says_by_how_much(order: WorkOrder) -> None:
    make_plan(order)
    make_visit(
        order,
        {("LF", "camber"): "-2.0", ("RF", "camber"): "-2.35"},
        stage="after",
        accuracy_deg=0.02,
    )
    table = comparison_of(order)
    left = row(table, "front", "camber", "left").off
    right = row(table, "front", "camber", "right").off
    assert left is not None
    assert right is not None
    assert left.text == "+0.40"
    assert left.words == "0.30° beyond ±0.10°"
    assert not right.is_out
    assert right.words == ""
    assert any("left: camber" in sentence for sentence in table.out_of_tolerance)


def test_what_the_rack_cannot_tell_is_said_so(order: WorkOrder) -> None:
    make_plan(order)
    make_visit(order, {("LF", "camber"): "-2.28"}, stage="after", accuracy_deg=0.05)
    off = row(comparison_of(order), "front", "camber", "left").off
    assert off is not None
    assert off.words.endswith("below rack accuracy")
    assert comparison_of(order).out_of_tolerance == []


def test_before_the_work_the_table_says_how_far_it_is_to_the_target(order: WorkOrder) -> None:
    make_plan(order)
    make_visit(order)
    table = comparison_of(order)
    off = row(table, "front", "camber", "left").off
    assert off is not None
    assert off.text == "+1.65"
    assert table.out_of_tolerance == []


def test_total_toe_aims_at_twice_the_toe_of_a_wheel(order: WorkOrder) -> None:
    make_plan(order, axle="rear", camber_deg=None, toe_deg=0.1)
    make_visit(order, {("LR", "toe"): "0.15", ("RR", "toe"): "0.07"}, stage="after")
    table = comparison_of(order)
    total = row(table, "rear", "toe", "total")
    assert (total.after, total.target) == (pytest.approx(0.22), pytest.approx(0.2))
    assert row(table, "rear", "toe", "thrust angle").after == pytest.approx(0.04)


def test_the_latest_visit_stands_in_until_the_work_is_done(order: WorkOrder) -> None:
    make_visit(order)
    make_visit(order, {("LF", "camber"): "-1.9"}, stage="between")
    table = comparison_of(order)
    assert table.after_title == "Latest"
    assert row(table, "front", "camber", "left").after == -1.9


def test_a_side_that_was_not_read_is_no_zero(order: WorkOrder) -> None:
    make_visit(order, {("LF", "camber"): "0"})
    table = comparison_of(order)
    assert row(table, "front", "camber", "left").before_text == "0.00"
    sides = [r.side for a in table.axles for g in a.groups for r in g.rows]
    assert sides == ["left"]


def test_setback_comes_from_the_two_wheelbases(order: WorkOrder) -> None:
    make_visit(order, {("LF", "wheelbase"): "2612", ("RF", "wheelbase"): "2608"})
    assert row(comparison_of(order), "front", "wheelbase", "setback").before == 4.0


def test_included_angle_needs_both_readings(order: WorkOrder) -> None:
    visit = make_visit(
        order, {("LF", "camber"): "-1.5", ("LF", "sai"): "12", ("RF", "camber"): "-1"}
    )
    assert included_angles(visit) == {"LF": 10.5}


def test_front_toe_is_counted_anew_only_for_a_rack_that_uses_the_centre_line(
    order: WorkOrder,
) -> None:
    toes = {
        ("LF", "toe"): "0.2",
        ("RF", "toe"): "0",
        ("LR", "toe"): "0.2",
        ("RR", "toe"): "0",
    }
    from_centre = make_visit(order, toes, toe_reference="centre")
    assert toe_from_thrust_line(from_centre) == pytest.approx((0.1, 0.1))
    assert toe_from_thrust_line(make_visit(order, toes)) == (0.2, 0.0)
    missing = make_visit(order, {("LF", "toe"): "0.2"}, toe_reference="centre")
    assert toe_from_thrust_line(missing) is None


def test_the_page_of_readings_shows_signs_and_the_way_to_each_visit(
    client_of: Any, rf: Any, technician: Any, order: WorkOrder
) -> None:
    make_plan(order)
    visit = make_visit(order)
    make_visit(order, {("LF", "camber"): "-2.0"}, stage="after")
    page = client_of(technician).get(reverse("order_readings", args=[order.pk])).content.decode()
    assert "−0.75" in page
    assert "+0.40" in page
    assert "0.30° beyond ±0.10°" in page
    assert reverse("visit", args=[visit.pk]) in page
    request = rf.get("/")
    request.user = technician
    (answer,) = readings_answers(request, order)
    assert "out of tolerance" in answer.words
    urls = [link.url for link in answer.links]
    assert urls == [
        reverse("order_readings", args=[order.pk]),
        f"{reverse('visit_new', args=[order.pk])}?stage=after",
        reverse("adjustments", args=[order.pk]),
    ]


def test_without_readings_the_order_leads_to_the_first(
    client_of: Any, rf: Any, technician: Any, order: WorkOrder
) -> None:
    request = rf.get("/")
    request.user = technician
    (answer,) = readings_answers(request, order)
    enter = reverse("visit_new", args=[order.pk])
    assert [link.url for link in answer.links] == [enter]
    page = client_of(technician).get(reverse("order_readings", args=[order.pk])).content.decode()
    assert enter in page


def test_the_comparison_asks_few_questions_however_many_visits(
    order: WorkOrder, django_assert_num_queries: Any
) -> None:
    make_plan(order)
    for stage in ("before", "between", "between", "after"):
        make_visit(order, stage=stage)
    with django_assert_num_queries(5):
        assert not comparison_of(order).is_empty


@pytest.mark.parametrize(
    "values",
    [
        {"quantity": Quantity.CAMBER, "value": 95.0},
        {"quantity": Quantity.RIDE_HEIGHT, "value": 0.0},
        {"quantity": Quantity.TOE, "value": 0.1, "typed": ""},
    ],
)
def test_the_database_refuses_an_impossible_reading(
    order: WorkOrder, values: dict[str, Any]
) -> None:
    visit = make_visit(order, {})
    with pytest.raises(IntegrityError), transaction.atomic():
        Reading.objects.create(visit=visit, corner="LF", unit="deg", **{"typed": "x", **values})


def test_a_corner_is_read_once_per_visit(order: WorkOrder) -> None:
    visit = make_visit(order)
    with pytest.raises(IntegrityError), transaction.atomic():
        Reading.objects.create(
            visit=visit, corner="LF", quantity="camber", typed="1", unit="deg", value=1.0
        )

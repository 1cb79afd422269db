"""Racks that read only an axle's total toe: what can be moved by it, and what it cannot tell."""

from __future__ import annotations

from typing import Any

import pytest
import scipy

from alignment.adjustments.accept import adjustments_accept, versions_of
from alignment.adjustments.axle_toe import read_at, thrust_of
from alignment.adjustments.extension_points import geometry_of
from alignment.adjustments.page import adjustments_page, taken_of
from alignment.geometry.adjustment_problem import CAMBER, TOE, TOE_LINK, Forward, forward_of
from alignment.models import PlannedSetting, RackVisit
from shop.models import WorkOrder
from tests.alignment.adjustments_orders import an_order, at, text_of
from tests.alignment.factories import make_visit

pytestmark = pytest.mark.django_db
CAMBERS = {("LF", "camber"): "-1.60", ("RF", "camber"): "-1.45"}
ALONE = {("LF", "toe_total"): "0.40", **CAMBERS}


def read_anew(order: WorkOrder, numbers: dict[tuple[str, str], str], **values: Any) -> RackVisit:
    """The order's only visit read otherwise."""
    order.rack_visits.all().delete()
    return make_visit(order, numbers, **{"steering_ahead": True, **values})


def test_a_total_in_front_is_split_evenly_and_moves_both_links(
    technician: Any, client_of: Any
) -> None:
    order = an_order(camber=-1.6)
    read_anew(order, ALONE)
    for corner in ("LF", "RF"):
        moved = at(order, corner)
        assert moved.toe_is_split
        assert moved.read[TOE] == pytest.approx(0.20)
        assert moved.answer is not None
        assert TOE not in moved.answer.unknown
        option = moved.answer.options[0]
        assert TOE_LINK in {move.adjuster for move in option.adjustments}
        assert option.predicted[TOE] == pytest.approx(0.05, abs=1e-3)
    said = text_of(client_of(technician), order)
    assert "Half of it is assumed at each wheel, with the steering straight ahead" in said
    assert "Toe, half of the total +0.20" in said
    assert "read wheel by wheel before the steering wheel is called straight" in said


def test_links_moved_for_the_halves_bring_the_true_total_to_its_target() -> None:
    """The wheels really stand at 0.33° and 0.07°, and are moved as if both stood at 0.20°."""
    order = an_order(camber=-1.6)
    read_anew(order, ALONE)
    total = 0.0
    for corner, really in (("LF", 0.33), ("RF", 0.07)):
        moved = at(order, corner)
        forward = forward_of(geometry_of(order)[corner].motion)
        assert forward is not None
        assert moved.answer is not None
        start = {TOE_LINK: link_where(forward, toe_at(forward, {}) + really - 0.20)}
        adjustments = {move.adjuster: move.by for move in moved.answer.options[0].adjustments}
        end = {name: start.get(name, 0.0) + by for name, by in adjustments.items()}
        total += really + toe_at(forward, end) - toe_at(forward, start)
    assert total == pytest.approx(2 * 0.05, abs=2e-3)


def toe_at(forward: Forward, at: dict[str, float]) -> float:
    return float(forward.at([at])[0, 0])


def link_where(forward: Forward, toe: float) -> float:
    found: float = scipy.optimize.brentq(
        lambda mm: toe_at(forward, {TOE_LINK: mm}) - toe, -5.0, 5.0
    )
    return found


def test_one_wheel_and_the_total_tell_the_other_wheel() -> None:
    order = an_order()
    visit = read_anew(order, {**ALONE, ("LF", "toe"): "0.33"})
    other = read_at(visit, "RF")
    assert other.values[TOE] == pytest.approx(0.07)
    assert not other.is_split
    assert not at(order, "RF").toe_is_split


def test_a_total_behind_does_not_tell_the_thrust_angle_and_asks_for_more(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.1)
    rear = {("LR", "toe_total"): "0.50", ("LR", "camber"): "-1.2", ("RR", "camber"): "-1.2"}
    front = {("LF", "toe"): "0.20", ("RF", "toe"): "0.15", **CAMBERS}
    visit = read_anew(order, {**front, **rear})
    assert thrust_of(visit) is None
    for corner in ("LR", "RR"):
        moved = at(order, corner)
        assert moved.answer is not None
        assert moved.answer.options[0].predicted[TOE] == pytest.approx(0.1, abs=1e-3)
    # Both rear wheels are moved alike, so the line from which front toe is counted stays.
    assert at(order, "LF").thrust_shift_deg == pytest.approx(0.0, abs=1e-3)
    said = text_of(client_of(technician), order)
    assert said.count("does not give the thrust angle") == 2
    assert "Read the rear toe wheel by wheel before a link is adjusted" in said
    chosen = {page.adjustments.corner: page.chosen for page in adjustments_page(order)}
    assert chosen == {"LF": "0", "RF": "0", "LR": "leave", "RR": "leave"}


def test_nothing_read_of_toe_is_still_said() -> None:
    order = an_order()
    read_anew(order, CAMBERS)
    moved = at(order, "LF")
    assert moved.answer is not None
    assert moved.answer.unknown == (TOE,)


def test_halves_are_held_against_halves_and_not_against_a_wheel(
    technician: Any, client_of: Any
) -> None:
    order = an_order(camber=-1.6)
    read_anew(order, ALONE)
    versions = versions_of(order)
    taken = [taken_of(page, "0") for page in adjustments_page(order)]
    adjustments_accept(order=order, by=technician, taken=taken, versions=versions)
    second = make_visit(order, {**ALONE, ("LF", "toe_total"): "0.16"}, stage="between")
    (followed,) = at(order, "LF").followed
    assert followed.toe_is_split
    assert followed.predicted[TOE] == pytest.approx(0.05, abs=1e-3)
    assert followed.read[TOE] == pytest.approx(0.08)
    second.readings.filter(quantity="toe_total").delete()
    for corner, toe in (("LF", 0.2), ("RF", -0.1)):
        second.readings.create(corner=corner, quantity="toe", typed=str(toe), unit="deg", value=toe)
    (followed,) = at(order, "LF").followed
    assert set(followed.predicted) == {CAMBER}
    assert "It is not compared with the prediction" in text_of(client_of(technician), order)

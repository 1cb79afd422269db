"""What the clearance check says to parts and booking: every row of the table."""

from __future__ import annotations

from typing import Any

import pytest

from fitment.clearance.gate import clearance_gate
from fitment.clearance.services import check_run
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck
from fitment.text.render import stored_text
from shop.extensions import gates
from shop.models import WorkOrder
from shop.orders.services.gates import gate_override, gates_ask
from tests.factories import make_order, make_vehicle
from tests.fitment.factories import (
    make_order_wheels,
    make_plan,
    make_ready_order,
    make_rubbing_order,
    make_surveyed_car_model,
)

pytestmark = pytest.mark.django_db


def with_check(verdict: str, *, in_reach: bool = True) -> WorkOrder:
    """An order whose current check came out as said."""
    order = make_ready_order()
    check_run(order=order, by=None)
    ClearanceCheck.objects.update(verdict=verdict, in_reach=in_reach)
    return order


@pytest.mark.parametrize(
    ("verdict", "in_reach", "result", "may_pass", "signed"),
    [
        ("clear", True, "clear", "writer", False),
        ("tight", True, "tight", "writer", False),
        ("doubtful", True, "doubtful", "manager", False),
        ("contact", True, "contact", "manager", True),
        ("unmeasured", True, "unmeasured", "manager", True),
        ("clear", False, "out of reach", "manager", True),
        ("tight", False, "out of reach", "manager", True),
        ("doubtful", False, "out of reach", "manager", True),
        ("contact", False, "contact", "manager", True),
        ("unmeasured", False, "unmeasured", "manager", True),
    ],
)
def test_a_current_check_decides_who_may_go_on(
    verdict: str, in_reach: bool, result: str, may_pass: str, signed: bool
) -> None:
    order = with_check(verdict, in_reach=in_reach)
    answer = clearance_gate(order)
    assert (answer.result, answer.may_pass, answer.needs_signature) == (result, may_pass, signed)
    assert answer.sentence == str(stored_text(order.clearance_checks.get()))
    assert "front left" in answer.sentence
    assert answer.digest == check_inputs(order).digest


def test_a_job_that_moves_nothing_needs_no_check() -> None:
    answer = clearance_gate(make_order(moves_wheel_or_height=False))
    assert (answer.result, answer.may_pass) == ("not needed", "writer")


def test_a_survey_visit_needs_no_check() -> None:
    assert clearance_gate(make_order(kind="survey_visit")).result == "not needed"


def test_an_order_that_was_never_checked_stops_every_role() -> None:
    answer = clearance_gate(make_ready_order())
    assert (answer.result, answer.may_pass) == ("not checked", "no role")
    assert answer.action_label == "Check clearance"


def test_a_stale_check_stops_every_role_and_says_check_again() -> None:
    order = with_check("clear")
    order.order_wheels.update(spacer_mm=4)
    answer = clearance_gate(order)
    assert (answer.result, answer.may_pass) == ("stale", "no role")
    assert answer.action_label == "Check again"
    assert answer.action_url.endswith(f"/orders/{order.pk}/clearance/")


def test_a_missing_choice_stops_every_role_and_leads_to_it() -> None:
    order = make_order(vehicle=make_vehicle(car_model=make_surveyed_car_model()))
    make_order_wheels(order)
    answer = clearance_gate(order)
    assert (answer.result, answer.may_pass) == ("not checked", "no role")
    assert "no planned settings" in answer.sentence
    assert answer.action_url.endswith(f"/orders/{order.pk}/plan/")


@pytest.mark.parametrize("has_car_model", [True, False])
def test_an_unmeasured_car_is_offered_a_survey_visit(has_car_model: bool) -> None:
    more: dict[str, Any] = {} if has_car_model else {"car_model": None}
    order = make_order(vehicle=make_vehicle(**more))
    make_order_wheels(order)
    make_plan(order)
    answer = clearance_gate(order)
    assert (answer.result, answer.may_pass, answer.needs_signature) == (
        "unmeasured",
        "manager",
        True,
    )
    assert answer.action_label == "Book a survey visit"
    assert "kind=survey_visit" in answer.action_url
    assert f"vehicle={order.vehicle_id}" in answer.action_url
    assert answer.digest


def test_a_car_without_a_survey_is_unmeasured_before_anything_is_chosen() -> None:
    answer = clearance_gate(make_order(vehicle=make_vehicle(car_model=None)))
    assert (answer.result, answer.action_label) == ("unmeasured", "Book a survey visit")
    assert "belongs to no car model" in answer.sentence


def test_an_override_for_an_unmeasured_car_falls_when_other_wheels_are_chosen() -> None:
    order = make_order(vehicle=make_vehicle(car_model=None))
    make_order_wheels(order)
    make_plan(order)
    before = clearance_gate(order).digest
    order.order_wheels.update(spacer_mm=20)
    assert clearance_gate(order).digest != before


def test_a_check_with_an_unmeasured_corner_offers_the_visit_too() -> None:
    order = make_ready_order(car_model=make_surveyed_car_model(corners="LF"))
    check_run(order=order, by=None)
    answer = clearance_gate(order)
    assert answer.result == "unmeasured"
    assert answer.action_label == "Book a survey visit"


def test_uncertainty_leads_to_the_corner_that_would_settle_it() -> None:
    order = with_check("doubtful")
    assert clearance_gate(order).action_label == "Measure what would settle it"
    assert "/surveys/LF/" in clearance_gate(order).action_url


def test_every_result_has_a_rule_and_the_gate_follows_it() -> None:
    order = make_rubbing_order()
    check_run(order=order, by=None)
    answer = clearance_gate(order)
    assert (answer.may_pass, answer.needs_signature) == gates.RULES["contact"]


def test_an_override_holds_for_its_digest_and_falls_with_it(manager: Any) -> None:
    order = make_rubbing_order()
    check_run(order=order, by=None)
    digest = clearance_gate(order).digest
    gate_override(order=order, by=manager, reason="trial fit first", digest=digest)
    verdict = gates_ask(order)[0]
    assert verdict.override is not None
    order.order_wheels.update(spacer_mm=8)
    check_run(order=order, by=None)
    verdict = gates_ask(WorkOrder.objects.get(pk=order.pk))[0]
    assert verdict.override is None


def test_the_same_inputs_give_the_same_digest_in_any_order_of_keys() -> None:
    order = make_ready_order()
    plan = order.planned_settings.get()
    plan.adjusters = {"bump_stop_mm": 5.0, "ride_height_mm": -15.0}
    plan.save()
    first = check_inputs(order).digest
    plan.adjusters = {"ride_height_mm": -15.0, "bump_stop_mm": 5.0}
    plan.save()
    assert check_inputs(order).digest == first

"""A check holds until one of its inputs changes, whichever it is, and no longer."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fitment.clearance.services import check_run
from fitment.job import inputs as inputs_module
from fitment.job.state import check_state
from fitment.models import OrderWheels, TyreModel, UseProfile, WheelModel
from shop.models import WorkOrder
from tests.factories import make_car_model, make_line, make_order, make_part
from tests.fitment.factories import make_ready_order, make_survey, make_tyre

pytestmark = pytest.mark.django_db


def another_plan(order: WorkOrder) -> None:
    order.planned_settings.update(toe_deg=0.10)


def another_camber_method(order: WorkOrder) -> None:
    order.planned_settings.update(camber_by="lower_arm")


def another_height(order: WorkOrder) -> None:
    order.planned_settings.update(adjusters={"ride_height_mm": -14.0})


def another_tyre(order: WorkOrder) -> None:
    order.order_wheels.update(tyre=make_tyre(name="Other", section_width_mm=250))


def another_spacer(order: WorkOrder) -> None:
    OrderWheels.objects.filter(order=order).update(spacer_mm=3.0)


def a_worn_tyre(order: WorkOrder) -> None:
    order.order_wheels.update(worn_mm=2.0)


def the_largest_tyre_allowed(order: WorkOrder) -> None:
    order.order_wheels.update(largest_allowed=True)


def another_damper(order: WorkOrder) -> None:
    part = make_part(kind="damper", bump_mm=55, droop_mm=60, height_by="seat")
    make_line(order, kind="part", part=part, axle="front")


def a_corrected_wheel(order: WorkOrder) -> None:
    WheelModel.objects.update(offset_mm=39.0)


def a_tyre_measured_at_last(order: WorkOrder) -> None:
    TyreModel.objects.update(measured=True)


def a_new_survey(order: WorkOrder) -> None:
    document = make_survey(make_car_model(), "RF").document
    document["survey"]["features"][0]["sigma_mm"] = 1.0
    make_survey(order.vehicle.car_model, "RF", version=2, document=document)


def another_part(order: WorkOrder) -> None:
    part = make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=14)
    make_line(order, kind="part", part=part, axle="front")


def another_duty(order: WorkOrder) -> None:
    UseProfile.objects.filter(name="street").update(needed_hard_mm=6.0)


def another_use(order: WorkOrder) -> None:
    WorkOrder.objects.filter(pk=order.pk).update(use="track")


def another_axle(order: WorkOrder) -> None:
    wheels = order.order_wheels.get()
    order.order_wheels.create(axle="rear", wheel=wheels.wheel, tyre=wheels.tyre)
    order.planned_settings.create(axle="rear", toe_deg=0.1)


def another_car_model(order: WorkOrder) -> None:
    order.vehicle.car_model = make_car_model()
    order.vehicle.save()


CHANGES = [
    another_plan,
    another_camber_method,
    another_height,
    another_tyre,
    another_spacer,
    a_worn_tyre,
    the_largest_tyre_allowed,
    another_damper,
    a_corrected_wheel,
    a_tyre_measured_at_last,
    a_new_survey,
    another_part,
    another_duty,
    another_use,
    another_axle,
    another_car_model,
]


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_a_check_goes_stale_with(change: Callable[[WorkOrder], None]) -> None:
    order = make_ready_order()
    check_run(order=order, by=None)
    change(order)
    state = check_state(WorkOrder.objects.get(pk=order.pk))
    assert state.current is None
    assert state.is_stale


def test_a_check_goes_stale_with_another_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    order = make_ready_order()
    check_run(order=order, by=None)
    monkeypatch.setattr(inputs_module, "ENGINE_VERSION", "another")
    assert check_state(order).is_stale


def test_a_check_holds_while_nothing_that_matters_changes() -> None:
    order = make_ready_order()
    check = check_run(order=order, by=None)
    TyreModel.objects.update(price=99)
    order.planned_settings.update(notes="softly")
    make_line(order)
    assert check_state(WorkOrder.objects.get(pk=order.pk)).current == check


def test_a_change_that_is_taken_back_brings_the_old_check_back() -> None:
    order = make_ready_order()
    first = check_run(order=order, by=None)
    order.order_wheels.update(spacer_mm=5.0)
    second = check_run(order=order, by=None)
    order.order_wheels.update(spacer_mm=0.0)
    state = check_state(order)
    assert (state.current, state.latest) == (first, second)


def test_another_order_of_the_same_car_has_checks_of_its_own() -> None:
    order = make_ready_order()
    check_run(order=order, by=None)
    assert check_state(make_order(vehicle=order.vehicle)).latest is None

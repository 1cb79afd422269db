"""Opening the order of a walk-in with all that was said at once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.db import transaction

from alignment.plans.services.plans import plan_save
from common.verdicts import Verdict
from fitment.clearance.services import CheckNotPossible, check_run
from fitment.engine import checkfile
from fitment.engine.deciding import worst_spot
from fitment.engine.findings import finding
from fitment.engine.model import SpotAnswer
from fitment.engine.solid.typed import TypedTyre, TypedWheel
from fitment.models import OrderWheels, TyreModel, WheelModel
from fitment.mounting.services.wheels import order_wheels_choose
from fitment.text.render import sentences
from fitment.walk_in.data import WalkIn
from shop.models import Customer, Vehicle
from shop.orders.services.changes import order_create

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck
    from shop.models import User, WorkOrder


@transaction.atomic
def walk_in_open(*, asked: WalkIn, by: User) -> WorkOrder:
    """Make what is new, open the order, and put wheels, tyres and settings on it.

    Raises shop.site.refusals.Refused, and nothing of it is kept.
    """
    customer = asked.customer or Customer.objects.create(**asked.person)
    vehicle = asked.vehicle
    if vehicle is None:
        vehicle = Vehicle.objects.create(customer=customer, car_model=asked.car_model, **asked.car)
    elif asked.car_model is not None and vehicle.car_model_id is None:
        vehicle.car_model = asked.car_model
        vehicle.save(update_fields=["car_model"])
    order = order_create(by=by, customer=customer, vehicle=vehicle, **asked.order)
    if asked.axles:
        choices = {
            axle: OrderWheels(
                order=order,
                axle=axle,
                wheel=wheel_row(order, one.wheel),
                tyre=tyre_row(order, one.tyre),
                spacer_mm=one.spacer_mm,
            )
            for axle, one in asked.axles.items()
        }
        order_wheels_choose(order=order, choices=choices, by=by)
        plans = {axle: one.plan for axle, one in asked.axles.items()}
        plan_save(order=order, by=by, axles=plans)
    return order


def first_check(*, order: WorkOrder, by: User) -> ClearanceCheck | None:
    """The clearance check of a new order; None where something is not measured or missing yet."""
    try:
        return check_run(order=order, by=by)
    except CheckNotPossible:
        return None


def measured_besides(check: ClearanceCheck) -> str:
    """The tightest spot that could be judged, in a sentence, where another one was not measured;
    empty where everything was. A wheel that was typed says nothing of its inside, so that brakes
    stay open while arch and strut are known."""
    if check.verdict != Verdict.UNMEASURED or not check.answer:
        return ""
    found: list[tuple[int, float, str, SpotAnswer]] = []
    for corner, answer in checkfile.answer_load(check.answer).corners.items():
        known = tuple(spot for spot in answer.places if spot.is_measured)
        tightest = worst_spot(replace(answer, places=known))
        if tightest is not None:
            rank = list(Verdict).index(tightest.verdict)
            found.append((rank, tightest.order_mm, corner, tightest))
    if not found:
        return ""
    _rank, _mm, corner, tightest = min(found, key=lambda one: one[:2])
    return sentences([finding(tightest, corner)])


def wheel_row(order: WorkOrder, wheel: WheelModel | TypedWheel) -> WheelModel:
    """The row of a wheel; one that was typed stands on this order alone, in no catalogue."""
    if isinstance(wheel, WheelModel):
        return wheel
    row, _ = WheelModel.every.get_or_create(
        typed_for=order,
        name=wheel.name,
        diameter_in=wheel.diameter_in,
        width_in=wheel.width_in,
        offset_mm=wheel.offset_mm,
        bolt_count=wheel.bolt_count,
        bolt_circle_mm=wheel.bolt_circle_mm,
        centre_bore_mm=wheel.centre_bore_mm,
    )
    return row


def tyre_row(order: WorkOrder, tyre: TyreModel | TypedTyre) -> TyreModel:
    """The row of a tyre; one that was typed stands on this order alone, with nominal dimensions."""
    if isinstance(tyre, TyreModel):
        return tyre
    marks = [tyre.service if tyre.service in ("LT", "C") else "", "XL" if tyre.reinforced else ""]
    row, _ = TyreModel.every.get_or_create(
        typed_for=order,
        name=" ".join(filter(None, [tyre.name, *marks])),
        size=tyre.size,
        load_index="" if tyre.load_index is None else str(tyre.load_index),
        speed_symbol=tyre.speed_symbol,
        snow=tyre.snow,
    )
    return row

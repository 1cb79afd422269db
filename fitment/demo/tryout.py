"""The demonstration's try-out: options for the order that rubs, and a set-up that was tried
for another car and put on its order."""

from __future__ import annotations

from typing import Any

from fitment.clearance.services import check_run
from fitment.job.car import car_of_order
from fitment.tryout.data import SetUp
from fitment.tryout.limits import limits_of
from fitment.tryout.options_page import start_query, tryout_from
from fitment.tryout.search_job import search_through
from fitment.tryout.services.onto_order import tryout_put
from fitment.tryout.services.trial import set_up_of
from shop.models import Use, WorkOrder
from shop.orders.services.changes import order_number_next

Stage = dict[str, Any]


def searched(stage: Stage) -> None:
    """Options for the story's front axle: camber set otherwise, spacers, tyres and wheels."""
    order: WorkOrder = stage["orders"]["story"]
    car = car_of_order(order)
    set_up = set_up_of(car, "front")
    if set_up is None:
        return
    around = limits_of(car, set_up)
    asked = {
        "request_text": "clear",
        "may": ["camber_method", "spacer", "tyre", "wheel"],
        "camber_from": None,
        "camber_to": None,
        "diameter_from": around.get("diameter_from"),
        "diameter_to": around.get("diameter_to"),
        "budget": None,
    }
    stage["search"] = search_through(
        car=car,
        set_up=set_up,
        use=order.use,
        start=start_query(tryout_from(car, {"axle": "front"})),
        asked=asked,
        by=stage["users"]["writer"],
    )


def put(stage: Stage) -> None:
    """More camber in front for a coupé, by the top mounts, tried beforehand."""
    car = stage["vehicles"]["coupe_grey"]
    order = WorkOrder.objects.create(
        number=order_number_next(),
        customer=car.customer,
        vehicle=car,
        mileage_km=car.mileage_km,
        request_text="More camber in front and a little lower, for a day on the hill, on the "
        "wheels it has.",
        use=Use.STREET,
    )
    stage["orders"]["from_tryout"] = order
    set_up = SetUp(
        axle="front",
        wheel=stage["wheels"]["front"],
        tyre=stage["tyres"]["front"],
        size="",
        spacer_mm=0.0,
        camber_deg=-1.9,
        camber_by="top_mount",
        toe_deg=0.05,
        ride_height_mm=-10.0,
        bump_stop_mm=None,
    )
    tryout_put(order=order, set_up=set_up, by=stage["users"]["writer"])
    stage["checks"]["from_tryout"] = check_run(order=order, by=stage["users"]["writer"])

"""The demonstration's measured wheels, and wheels bought second-hand that do not go on the car.

The estate's bolts have a ball seat; the wheels that its owner bought are made for cones, and
their tyres carry too little. Everything clears, so only the mounting checks stop it.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.utils import timezone

from alignment.models import PlannedSetting
from fitment.catalogue.wheel_pools import wheel_measurement_add
from fitment.clearance.services import check_run
from fitment.models import MountingCheck, OrderMounting, OrderWheels, TyreModel, WheelModel
from fitment.mounting.gate import GATE
from fitment.mounting.text import mounting_sentence
from shop.models import GateOverride, Line, ShopSettings, Use, WorkOrder
from shop.money.services import quote_send
from shop.orders.services.changes import order_number_next

Stage = dict[str, Any]

#: Width between the flanges, back spacing and inside radius of the barrel of three wheels, mm.
WHEELS_MEASURED = ((190.9, 153.1, 203.6), (190.2, 152.4, 203.9), (191.2, 152.9, 203.7))
SPOKES = ([[0, 40], [0, 74], [14, 80], [20, 150], [30, 180], [26, 195]], None, None)


def measure(stage: Stage) -> None:
    """The estate's own wheels, three of a set, one with its spokes traced."""
    for days, (read, spokes) in enumerate(zip(WHEELS_MEASURED, SPOKES, strict=True), start=1):
        width, back, barrel = read
        _, wheel = wheel_measurement_add(
            wheel=stage["wheels"]["estate"],
            by=stage["users"]["technician"],
            values={
                "width_mm": width,
                "back_mm": back,
                "barrel_radius_mm": barrel,
                "spoke_back": spokes or [],
                "measured_on": timezone.localdate() - dt.timedelta(days=30 + days),
                "note": "without its tyre",
            },
        )
        stage["wheels"]["estate"] = wheel


def rings(stage: Stage) -> None:
    """The job that was handed over has its rings; the story's are still to be named."""
    for axle in ("front", "rear"):
        OrderMounting.objects.create(
            order=stage["orders"]["handed_over"], axle=axle, ring_outer_mm=67.1, ring_inner_mm=61.4
        )


def decided(stage: Stage) -> None:
    """What stood against the job that was handed over, and what the manager decided then."""
    order: WorkOrder = stage["orders"]["handed_over"]
    check = MountingCheck.objects.get(order=order)
    at = stage["checks"]["handed_over"].at
    GateOverride.objects.create(
        order=order,
        gate=GATE,
        digest=check.digest,
        result=check.outcome,
        sentence=mounting_sentence(check.answers),
        reason="Seven millimetres at the lip are enough for two people; the rear is checked again "
        "after the first weeks.",
        by=stage["users"]["manager"],
        at=at + dt.timedelta(hours=2),
    )


def second_hand(stage: Stage) -> None:
    """Wheels and tyres bought second-hand: the bolt circle is right, seat and load are not."""
    car = stage["vehicles"]["touring"]
    order = WorkOrder.objects.create(
        number=order_number_next(),
        customer=car.customer,
        vehicle=car,
        mileage_km=car.mileage_km,
        request_text="I have been given a set of winter wheels, and the holes match. Please "
        "put them on.",
        use=Use.STREET,
    )
    stage["orders"]["second_hand"] = order
    wheel = WheelModel.objects.create(
        name="Five-spoke, second-hand",
        maker="Hollin",
        diameter_in=17,
        width_in=7.5,
        offset_mm=47,
        barrel_mm=13,
        spoke_back=SPOKES[0] or [],
        bolt_count=5,
        bolt_circle_mm=116,
        centre_bore_mm=64.5,
        seat="cone60",
        pad_mm=12,
        load_rating_kg=640,
    )
    tyre = TyreModel.objects.create(
        name="Frost",
        maker="Marrable",
        size="225/45R17",
        load_index="91",
        speed_symbol="H",
        rim_min_in=7,
        rim_max_in=8.5,
    )
    for axle, toe in (("front", 0.08), ("rear", 0.12)):
        OrderWheels.objects.create(order=order, axle=axle, wheel=wheel, tyre=tyre)
        PlannedSetting.objects.create(order=order, axle=axle, toe_deg=toe)
    stage["checks"]["second_hand"] = check_run(order=order, by=stage["users"]["writer"])
    shop = ShopSettings.load()
    Line.objects.create(
        order=order,
        description="Labour: change the wheels and set the pressures",
        texts={"de": {"description": "Arbeit: Räder wechseln und Reifendruck einstellen"}},
        quantity=1,
        unit_price=shop.hourly_rate,
        tax_rate=shop.tax_rate,
    )
    quote_send(order=order, by=stage["users"]["writer"])

"""Rows of fitment for tests: surveyed car models, wheels, tyres, and orders ready to check."""

from __future__ import annotations

import copy
import datetime as dt
from typing import Any

from alignment.models import PlannedSetting
from fitment.demo.surveys import LINKS_REAR, STRUT_FRONT, STRUT_REAR, WISHBONES_FRONT
from fitment.models import CornerSurvey, OrderWheels, TyreModel, WheelModel
from shop.models import CarModel, WorkOrder
from tests.factories import make_car_model, make_order, make_vehicle

#: Behind with toe links of more range than the factory's eccentric has.
STRUT_REAR_LINKS = copy.deepcopy(STRUT_REAR)
STRUT_REAR_LINKS["suspension"]["reach"] = {"toe_link_mm": [-9, 9]}
DOCUMENTS = {
    "strut": {"LF": STRUT_FRONT, "RF": STRUT_FRONT, "LR": STRUT_REAR_LINKS, "RR": STRUT_REAR_LINKS},
    "linked": {
        "LF": WISHBONES_FRONT,
        "RF": WISHBONES_FRONT,
        "LR": LINKS_REAR,
        "RR": LINKS_REAR,
    },
}


def make_survey(car_model: CarModel, corner: str = "LF", **values: Any) -> CornerSurvey:
    values.setdefault("version", 1)
    values.setdefault("measured_on", dt.date(2026, 3, 2))
    values.setdefault("measured_by", "Tomas")
    values.setdefault("document", copy.deepcopy(DOCUMENTS["strut"][corner]))
    return CornerSurvey.objects.create(car_model=car_model, corner=corner, **values)


def make_surveyed_car_model(cars: str = "strut", corners: str = "LF RF LR RR") -> CarModel:
    """A car model measured at the given corners: "strut" all round, or "linked"."""
    car_model = make_car_model()
    for corner in corners.split():
        make_survey(car_model, corner, document=copy.deepcopy(DOCUMENTS[cars][corner]))
    return car_model


def make_wheel(**values: Any) -> WheelModel:
    values.setdefault("name", "Test wheel")
    values.setdefault("diameter_in", 18)
    values.setdefault("width_in", 9)
    values.setdefault("offset_mm", 40)
    values.setdefault("barrel_mm", 12)
    values.setdefault("spoke_back", [[18, 40], [16, 80], [22, 150], [34, 190], [30, 205]])
    return WheelModel.objects.create(**values)


def make_tyre(**values: Any) -> TyreModel:
    values.setdefault("name", "Test tyre")
    values.setdefault("size", "235/40R18")
    values.setdefault("section_width_mm", 248)
    values.setdefault("measuring_rim_in", 8.5)
    values.setdefault("overall_diameter_mm", 629)
    return TyreModel.objects.create(**values)


def make_wide_tyre(**values: Any) -> TyreModel:
    wide = {
        "name": "Wide tyre",
        "size": "265/35R18",
        "section_width_mm": 260,
        "measuring_rim_in": 9,
        "overall_diameter_mm": 635,
    }
    return make_tyre(**(wide | values))


def make_plan(order: WorkOrder, axle: str = "front", **values: Any) -> PlannedSetting:
    values.setdefault("camber_deg", -2.4)
    values.setdefault("camber_by", "top_mount")
    values.setdefault("toe_deg", 0.05)
    values.setdefault("adjusters", {"ride_height_mm": -15.0})
    return PlannedSetting.objects.create(order=order, axle=axle, **values)


def make_order_wheels(order: WorkOrder, axle: str = "front", **values: Any) -> OrderWheels:
    values["wheel"] = values.get("wheel") or make_wheel()
    values["tyre"] = values.get("tyre") or make_tyre()
    return OrderWheels.objects.create(order=order, axle=axle, **values)


def make_ready_order(
    *, car_model: CarModel | None = None, axles: str = "front", **values: Any
) -> WorkOrder:
    """An order that can be checked at once: surveyed, wheels chosen, settings planned."""
    vehicle = make_vehicle(car_model=car_model or make_surveyed_car_model())
    order = make_order(vehicle=vehicle, **values)
    for axle in axles.split():
        make_order_wheels(order, axle)
        if axle == "front":
            make_plan(order)
        else:
            make_plan(order, axle, camber_deg=-1.8, camber_by="lower_arm", toe_deg=0.1)
    return order


def make_rubbing_order(**values: Any) -> WorkOrder:
    """−2.4° by the lower arm, the wide tyre and a spacer: the arch lip is in the way."""
    vehicle = make_vehicle(car_model=values.pop("car_model", None) or make_surveyed_car_model())
    order = make_order(vehicle=vehicle, use="autocross", **values)
    make_order_wheels(order, tyre=make_wide_tyre(), spacer_mm=5.0)
    make_plan(order, camber_by="lower_arm")
    return order

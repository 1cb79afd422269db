"""Rows of the alignment app for tests; every value can be overridden."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from alignment.geometry import units
from alignment.models import (
    LENGTHS,
    PlannedSetting,
    Quantity,
    RackVisit,
    Reading,
    Stage,
    TargetSheet,
)
from alignment.plans.services.order_targets import sheet_of
from alignment.targets.services import Figure, target_save
from alignment.visits.comparison import compare
from alignment.visits.data import Comparison
from common.corners import AXLE_CORNERS
from shop.models import WorkOrder
from tests.factories import make_car_model, make_order, make_user

BEFORE = {"camber": ("-0.75", "-0.50"), "toe": ("0.12", "0.08"), "caster": ("6.5", "6.3")}


def make_plan(order: WorkOrder | None = None, **values: Any) -> PlannedSetting:
    """Front camber of -2.4° by the lower arm and 0.05° of toe per wheel."""
    values.setdefault("axle", "front")
    values.setdefault("camber_deg", -2.4)
    values.setdefault("camber_by", "lower_arm" if values["camber_deg"] is not None else "")
    values.setdefault("toe_deg", 0.05)
    values.setdefault("typed", {"camber": "-2.4", "toe": "0.05"})
    return PlannedSetting.objects.create(order=order or make_order(), **values)


def comparison_of(order: WorkOrder) -> Comparison:
    """The comparison of an order as its page shows it."""
    visits = RackVisit.objects.filter(order=order).with_numbers()
    plans = PlannedSetting.objects.filter(order=order)
    return compare(list(visits), list(plans), sheet_of(order))


def make_visit(
    order: WorkOrder | None = None,
    numbers: Mapping[tuple[str, str], str] | None = None,
    **values: Any,
) -> RackVisit:
    """A visit with front readings; ``numbers`` maps (corner, quantity) to what was typed."""
    order = order or make_order()
    values.setdefault("stage", Stage.BEFORE)
    values.setdefault("vehicle", order.vehicle)
    values.setdefault("technician", values.get("saved_by") or make_user("technician"))
    values.setdefault("saved_by", values["technician"])
    visit = RackVisit.objects.create(order=order, **values)
    if numbers is None:
        numbers = {
            (corner, quantity): typed[side]
            for quantity, typed in BEFORE.items()
            for side, corner in enumerate(AXLE_CORNERS["front"])
        }
    for (corner, quantity), typed in numbers.items():
        _reading(visit, corner, Quantity(quantity), typed)
    return visit


def _reading(visit: RackVisit, corner: str, quantity: Quantity, typed: str) -> None:
    if quantity in LENGTHS:
        number = units.parse_length(typed)
    elif quantity == Quantity.TOE:
        number = units.parse_toe(typed, bare_unit=units.DEGREES)
    else:
        number = units.parse_angle(typed)
    Reading.objects.create(
        visit=visit,
        corner=corner,
        quantity=quantity,
        typed=typed,
        unit=number.unit,
        value=number.value,
    )


def make_target(
    figures: Mapping[tuple[str, str], tuple[float, float]] | None = None, **values: Any
) -> TargetSheet:
    """The next version of a sheet; ``figures`` maps (axle, quantity) to (both sides, ±)."""
    values.setdefault("car_model", None)
    car_model = values.pop("car_model") or make_car_model()
    figures = figures or {("front", "camber"): (-1.5, 0.1), ("front", "toe"): (0.05, 0.03)}
    values.setdefault("use", "street")
    values.setdefault("kind", "shop")
    values.setdefault("source", "settled by the shop")
    values.setdefault("dated", dt.date(2026, 3, 1))
    values.setdefault("by", make_user("technician"))
    values.setdefault("camber_by", {"front": "top_mount"})
    return target_save(
        car_model=car_model,
        figures=[
            Figure(
                axle=axle,
                quantity=quantity,
                left=value,
                right=value,
                left_tolerance=tolerance,
                right_tolerance=tolerance,
                cross=2 * value if quantity == "toe" else 0.0,
                cross_tolerance=tolerance,
                typed={"left": f"{value:g}"},
            )
            for (axle, quantity), (value, tolerance) in figures.items()
        ],
        **values,
    )

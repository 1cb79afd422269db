"""A car of the demonstration that has come back over two years: four visits, a part between.

The rear axle's left toe drifts a little more than the rack's uncertainty, because a bush is worn;
after the bush was changed it stays.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.utils import timezone

from alignment.demo.build import CAMBER, CASTER, FRONT, HEIGHT, REAR, SAI, TOE, Sheet, visit_put
from alignment.models import Stage
from alignment.models.import_layouts import ImportLayout
from alignment.visits.tables.columns import Column
from shop.models import InstalledPart, State, User, Vehicle, WorkOrder

CONDITIONS = {
    "rack_name": "Bay 1",
    "accuracy_deg": 0.03,
    "tyre_pressure": "2.5 bar all round, cold",
    "fuel": "half a tank",
    "steering_ahead": True,
    "level": True,
    "steering_ratio": 15.4,
}
FIRST_BEFORE: Sheet = {
    (FRONT, CAMBER): ("-0.42", "-0.61"),
    (FRONT, CASTER): ("6.9", "7.1"),
    (FRONT, SAI): ("11.2", "11.4"),
    (FRONT, TOE): ("0.21", "0.13"),
    (REAR, CAMBER): ("-1.30", "-1.22"),
    (REAR, TOE): ("0.09", "0.12"),
    (FRONT, HEIGHT): ("371", "370"),
    (REAR, HEIGHT): ("369", "369"),
}
FIRST_AFTER: Sheet = {
    (FRONT, CAMBER): ("-0.44", "-0.60"),
    (FRONT, CASTER): ("6.9", "7.1"),
    (FRONT, TOE): ("0.08", "0.08"),
    (REAR, CAMBER): ("-1.30", "-1.23"),
    (REAR, TOE): ("0.12", "0.12"),
    (FRONT, HEIGHT): ("371", "370"),
    (REAR, HEIGHT): ("369", "369"),
}
SECOND_BEFORE: Sheet = {
    (FRONT, CAMBER): ("-0.51", "-0.63"),
    (FRONT, CASTER): ("6.8", "7.1"),
    (FRONT, TOE): ("0.04", "0.06"),
    (REAR, CAMBER): ("-1.52", "-1.25"),
    (REAR, TOE): ("-0.06", "0.11"),
    (FRONT, HEIGHT): ("368", "367"),
    (REAR, HEIGHT): ("366", "367"),
}
SECOND_AFTER: Sheet = {
    (FRONT, CAMBER): ("-0.50", "-0.62"),
    (FRONT, CASTER): ("6.8", "7.1"),
    (FRONT, TOE): ("0.08", "0.09"),
    (REAR, CAMBER): ("-1.28", "-1.24"),
    (REAR, TOE): ("0.12", "0.13"),
    (FRONT, HEIGHT): ("368", "367"),
    (REAR, HEIGHT): ("366", "367"),
}


def build(stage: dict[str, Any]) -> None:
    """Two jobs from the time of the card file, and the layout by which their tables are read."""
    car: Vehicle = stage["vehicles"]["touring"]
    technician: User = stage["users"]["technician"]
    first = _job(car, "C0211", 742, 47_100, "Toe uneven after new tyres.")
    _measured(first, technician, FIRST_BEFORE, FIRST_AFTER)
    second = _job(car, "C0388", 371, 60_400, "It steers by itself over bumps.")
    bush_at = second.state_since - dt.timedelta(hours=3)
    InstalledPart.objects.create(
        order=second,
        description="Rear trailing link bush, left",
        corner_or_axle="LR",
        removed="Worn bush",
        removed_to="scrapped",
        by=technician,
        at=bush_at,
    )
    _measured(second, technician, SECOND_BEFORE, SECOND_AFTER)
    columns = [
        Column("Date", "time"),
        Column("Wheel", "corner"),
        Column("Camber", "camber", "row", "deg"),
        Column("Toe (min)", "toe", "row", "min"),
        Column("Caster", "caster", "row", "deg"),
    ]
    ImportLayout.objects.create(
        name="Old rack of bay 3",
        columns=[column.as_dict() for column in columns],
        saved_by=technician,
    )


def _job(car: Vehicle, number: str, days_ago: int, km: int, request_text: str) -> WorkOrder:
    at = timezone.now() - dt.timedelta(days=days_ago)
    return WorkOrder.objects.create(
        number=number,
        customer=car.customer,
        vehicle=car,
        mileage_km=km,
        request_text=request_text,
        state=State.HANDED_OVER,
        created_at=at,
        state_since=at + dt.timedelta(hours=8),
        technician_notes="Copied from the card file.",
    )


def _measured(order: WorkOrder, who: User, before: Sheet, after: Sheet) -> None:
    start = order.state_since
    for hours, stage, sheet in ((7, Stage.BEFORE, before), (1, Stage.AFTER, after)):
        at = start - dt.timedelta(hours=hours)
        visit_put(order, who, at, stage, sheet, {**CONDITIONS, "mileage_km": order.mileage_km})

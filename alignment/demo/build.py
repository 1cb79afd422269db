"""Planned settings and rack visits of the demonstration shop.

``stage`` comes from ``shop.demo``; every figure here was typed by an invented technician. The
angles agree with the demonstration's surveys: camber and inclination together stay the same at
a corner at every adjustment, unless a part is bent.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.utils import timezone

from alignment.fields.parsers import reader_of
from alignment.geometry import units
from alignment.models import AdjusterPosition, PlannedSetting, Quantity, RackVisit, Reading, Stage
from alignment.text.labels import plan_sentence
from common.corners import AXLE_CORNERS
from shop.models import Axle, LogEntry, User, WorkOrder

Shop = dict[str, Any]
#: What was typed, left and right, by axle and quantity.
Sheet = Mapping[tuple[str, str], tuple[str, str]]

FRONT, REAR = Axle.FRONT, Axle.REAR
CAMBER, CASTER, SAI, TOE, HEIGHT, WHEELBASE = (
    Quantity.CAMBER,
    Quantity.CASTER,
    Quantity.SAI,
    Quantity.TOE,
    Quantity.RIDE_HEIGHT,
    Quantity.WHEELBASE,
)

LOWERED_BEFORE: Sheet = {
    (FRONT, CAMBER): ("-1.18", "-1°03'"),
    (FRONT, CASTER): ("5.3", "5.1"),
    (FRONT, SAI): ("15.4", "15.6"),
    (FRONT, TOE): ("0°05'", "0°06'"),
    (REAR, CAMBER): ("-1.12", "-0.98"),
    (REAR, TOE): ("0.17", "0.06"),
    (FRONT, HEIGHT): ("366", "365"),
    (REAR, HEIGHT): ("362", "361"),
}
LOWERED_AFTER: Sheet = {
    (FRONT, CAMBER): ("-1.62", "-1°33'"),
    (FRONT, CASTER): ("5.4", "5.2"),
    (FRONT, SAI): ("15.8", "16.1"),
    (FRONT, TOE): ("0.05", "0.06"),
    (REAR, CAMBER): ("-1.40", "-1.33"),
    (REAR, TOE): ("0.16", "0.13"),
    (FRONT, HEIGHT): ("346", "345"),
    (REAR, HEIGHT): ("342", "341"),
}
KERB_BEFORE: Sheet = {
    (FRONT, CAMBER): ("0.35", "-0.45"),
    (FRONT, CASTER): ("4.7", "6.0"),
    (FRONT, SAI): ("8.4", "9.7"),
    (FRONT, TOE): ("-0.38", "0.10"),
    (REAR, CAMBER): ("-1.25", "-1.32"),
    (REAR, TOE): ("0.13", "0.11"),
    (FRONT, HEIGHT): ("367", "366"),
    (REAR, HEIGHT): ("366", "366"),
    (FRONT, WHEELBASE): ("2768", "2781"),
}


def build(stage: Shop) -> None:
    """Plan the orders that move a wheel, and read the cars that were on the rack."""
    orders: dict[str, WorkOrder] = stage["orders"]
    writer, technician = stage["users"]["writer"], stage["users"]["technician"]
    _story(orders["story"], writer)
    _lowered(orders["handed_over"], writer, technician)
    _rear_set_up(orders["waiting"], writer)
    _after_the_kerb(orders["on_lift"], technician)


def _story(order: WorkOrder, writer: User) -> None:
    """As first requested: the camber from the shims that are there."""
    at = order.created_at + dt.timedelta(minutes=20)
    _plan(order, FRONT, writer, at, camber="-1.7", by="lower_arm", toe="0.08")
    _plan(order, REAR, writer, at, toe="0.12")


def _lowered(order: WorkOrder, writer: User, technician: User) -> None:
    planned = order.created_at + dt.timedelta(hours=1)
    for axle, toe in ((FRONT, "0.05"), (REAR, "0.12")):
        _plan(order, axle, writer, planned, toe=toe, ride_height_mm="-20")
    conditions = {
        "rack_name": "Bay 1",
        "accuracy_deg": 0.03,
        "tyre_pressure": "2.4 bar in front, 2.3 behind, cold",
        "steering_ahead": True,
    }
    before = visit_put(
        order,
        technician,
        order.state_since - dt.timedelta(hours=7),
        Stage.BEFORE,
        LOWERED_BEFORE,
        {**conditions, "fuel": "half a tank, boot emptied"},
    )
    _stand(before, "LR", "toe_link_mm", "2 marks")
    _stand(before, "RR", "toe_link_mm", "-1 mark")
    after = visit_put(
        order,
        technician,
        order.state_since - dt.timedelta(minutes=105),
        Stage.AFTER,
        LOWERED_AFTER,
        {**conditions, "fuel": "half a tank, boot empty"},
    )
    _stand(after, "LF", "toe_link_mm", "-1/2 turn")
    _stand(after, "RF", "toe_link_mm", "-1/3 turn")
    _stand(after, "LR", "toe_link_mm", "1 mark")
    _stand(after, "RR", "toe_link_mm", "0 marks")
    for corner, typed in (("LF", "42"), ("RF", "42"), ("LR", "36.5"), ("RR", "36.5")):
        _stand(after, corner, "Spring perch, from the thread's end", typed)


def _rear_set_up(order: WorkOrder, writer: User) -> None:
    at = order.created_at + dt.timedelta(minutes=40)
    _plan(order, FRONT, writer, at, toe="0.08")
    _plan(order, REAR, writer, at, camber="-1.5", by="rod:upper rear", toe="0.12")


def _after_the_kerb(order: WorkOrder, technician: User) -> None:
    """The front left reads bent: camber and inclination together are short of the right's."""
    at = min(order.state_since + dt.timedelta(minutes=25), timezone.now())
    _plan(order, FRONT, technician, at, camber="-0.4", by="lower_arm", toe="0.08")
    _plan(order, REAR, technician, at, toe="0.12")
    conditions = {
        "rack_name": "Bay 1",
        "accuracy_deg": 0.03,
        "tyre_pressure": "2.5 bar all round, cold",
        "fuel": "a quarter tank",
        "steering_ahead": True,
        "notes": "Included angle on the left is short by half a degree: look at the knuckle.",
    }
    before = visit_put(order, technician, at, Stage.BEFORE, KERB_BEFORE, conditions)
    for corner in ("LF", "RF"):
        _stand(before, corner, "lower_arm_out_mm", "1 × 1")
        _stand(before, corner, "upper_arm_in_mm", "0 marks")
        _stand(before, corner, "toe_link_mm", "0 turns")


def _plan(
    order: WorkOrder,
    axle: str,
    who: User,
    at: dt.datetime,
    *,
    toe: str,
    camber: str = "",
    by: str = "",
    **adjusters: str,
) -> None:
    typed = {"toe": toe, **({"camber": camber} if camber else {}), **adjusters}
    plan = PlannedSetting.objects.create(
        order=order,
        axle=axle,
        camber_deg=units.parse_angle(camber).value if camber else None,
        camber_by=by,
        toe_deg=units.parse_toe(toe, bare_unit=units.DEGREES).value,
        adjusters={name: units.parse_length(text).value for name, text in adjusters.items()},
        typed=typed,
        saved_at=at,
        saved_by=who,
    )
    _log(order, who, at, "Planned settings changed", plan_sentence(plan))


def visit_put(
    order: WorkOrder,
    who: User,
    at: dt.datetime,
    stage: str,
    sheet: Sheet,
    conditions: Mapping[str, Any],
) -> RackVisit:
    """A visit with the readings of a sheet, as if they had been typed at that time."""
    visit = RackVisit.objects.create(
        order=order,
        vehicle=order.vehicle,
        stage=stage,
        at=at,
        technician=who,
        saved_at=at,
        saved_by=who,
        **conditions,
    )
    for (axle, quantity), sides in sheet.items():
        reader, _ = reader_of(quantity, units.DEGREES, None)
        for corner, typed in zip(AXLE_CORNERS[axle], sides, strict=True):
            number = reader(typed)
            Reading.objects.create(
                visit=visit,
                corner=corner,
                quantity=quantity,
                typed=typed,
                unit=number.unit,
                value=number.value,
            )
    _log(order, who, at, f"Readings taken: {str(Stage(stage).label).lower()}")
    return visit


def _stand(visit: RackVisit, corner: str, adjuster: str, typed: str) -> None:
    number = units.parse_position(typed)
    AdjusterPosition.objects.create(
        visit=visit,
        corner=corner,
        adjuster=adjuster,
        typed=typed,
        value=number.value,
        unit=number.unit,
    )


def _log(order: WorkOrder, who: User, at: dt.datetime, what: str, detail: str = "") -> None:
    LogEntry.objects.create(
        order=order, by=who, who=who.shown_name, what=what, at=at, detail=detail
    )

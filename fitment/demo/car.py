"""The demonstration's readings on cars: joints fitted, a bump-steer sheet, gaps of one car, and
a rear camber beyond the end of an arm."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.utils import timezone

from alignment.geometry.model import TravelReading
from alignment.models import PlannedSetting
from fitment.clearance.present_car import Expected, TypedGap, gaps_save
from fitment.clearance.services import check_run
from fitment.models import ClearanceCheck, CornerSurvey, OrderWheels, PresentCorner
from fitment.surveys.joints import fit_save, fitted, sheet_save
from shop.models import Use, WorkOrder
from shop.orders.services.changes import order_number_next

Stage = dict[str, Any]

#: Changes of camber and toe from standing, as the rack showed them hanging and jacked up.
AT_HEIGHTS = (TravelReading(-58.0, 0.47, 0.5), TravelReading(38.0, -0.85, -0.32))
SHEET: dict[str, Any] = {
    "use": "correct",
    "rows": [
        {"travel_mm": -40.0, "camber_deg": 0.45, "toe_deg": 0.35},
        {"travel_mm": -20.0, "camber_deg": 0.28, "toe_deg": 0.16},
        {"travel_mm": 0.0, "camber_deg": 0.0, "toe_deg": 0.0},
        {"travel_mm": 20.0, "camber_deg": -0.41, "toe_deg": -0.18},
        {"travel_mm": 40.0, "camber_deg": -0.92, "toe_deg": -0.33},
    ],
}
#: By how much the waiting estate's own gaps differ from the car model's, by spot, mm.
THIS_CAR = {"arch lip": 1.5, "inner panel": -2.0}
#: The same of the estate with the wider wheels, read where its check is tightest: on the lift,
#: the wheel hanging and turned out.
ITS_LINER, HANGING_MM, TURNED_DEG = {"arch liner": 8.0}, -60.0, -23.0


def fit_joints_and_sheet(stage: Stage) -> None:
    """The estate's front left: joints fitted to three heights, then a bump-steer sheet."""
    technician = stage["users"]["technician"]
    survey = CornerSurvey.objects.current(stage["car_models"]["estate"], "LF")
    if survey is None:
        return
    who = {
        "measured_on": timezone.localdate() - dt.timedelta(days=20),
        "measured_by": technician.shown_name,
    }
    fit = fitted(survey, AT_HEIGHTS, None)
    survey = fit_save(survey=survey, fit=fit, readings=AT_HEIGHTS, **who)
    sheet_save(survey=survey, sheet=SHEET, **who)


def this_car(stage: Stage) -> None:
    """Gaps read on the waiting estate, standing, with the wheels that it came on."""
    _gaps_read(stage, stage["orders"]["waiting"], THIS_CAR)


def settle(stage: Stage) -> ClearanceCheck:
    """The liner's own gaps on the car whose check is doubtful, and the check made again."""
    order: WorkOrder = stage["orders"]["fast_roads"]
    _gaps_read(stage, order, ITS_LINER, travel_mm=HANGING_MM, steer_deg=TURNED_DEG)
    return check_run(order=order, by=stage["users"]["technician"])


def _gaps_read(
    stage: Stage,
    order: WorkOrder,
    off_by: dict[str, float],
    *,
    travel_mm: float = 0.0,
    steer_deg: float = 0.0,
) -> None:
    technician = stage["users"]["technician"]
    surveys = CornerSurvey.objects.current_by_corner(stage["car_models"]["estate"])
    for corner in ("LF", "RF"):
        stands = PresentCorner.objects.create(
            order=order,
            corner=corner,
            wheel=stage["wheels"]["estate"],
            tyre=stage["tyres"]["estate"],
            worn_mm=3.0,
            toe_deg=0.1,
            by=technician,
        )
        expected = Expected(surveys[corner], stands)
        gaps = [
            TypedGap(place, gap, f"{gap:g}", travel_mm, steer_deg, None)
            for place, off in off_by.items()
            if (model := expected.gap_mm(place, travel_mm, steer_deg)) is not None
            for gap in [round(2 * (model + off)) / 2]
        ]
        gaps_save(stands=stands, gaps=gaps, expected=expected, by=technician)


def camber_behind(stage: Stage) -> None:
    """More camber behind than the thread of the standard upper arm gives."""
    car = stage["vehicles"]["touring"]
    order = WorkOrder.objects.create(
        number=order_number_next(),
        customer=car.customer,
        vehicle=car,
        mileage_km=car.mileage_km,
        request_text="As much camber behind as the standard arms give, for two track days a "
        "year. About two and a quarter, if they go that far.",
        use=Use.TRACK,
    )
    stage["orders"]["camber_behind"] = order
    OrderWheels.objects.create(
        order=order,
        axle="rear",
        wheel=stage["wheels"]["estate"],
        tyre=stage["tyres"]["estate"],
    )
    PlannedSetting.objects.create(
        order=order, axle="rear", camber_deg=-2.25, camber_by="rod:upper rear", toe_deg=0.12
    )
    stage["checks"]["camber_behind"] = check_run(order=order, by=stage["users"]["writer"])


def fast_roads(stage: Stage) -> None:
    """New tyres in front, judged at their largest and grown at speed; half-worn ones stay."""
    car = stage["vehicles"]["commuter"]
    order = WorkOrder.objects.create(
        number=order_number_next(),
        customer=car.customer,
        vehicle=car,
        mileage_km=car.mileage_km,
        request_text="New tyres in front on the wider wheels; those behind are half worn and stay. "
        "Mostly motorway, and heavily laden.",
        use=Use.STREET,
    )
    stage["orders"]["fast_roads"] = order
    tyre, wheels = stage["tyres"]["estate"], stage["wheels"]
    OrderWheels.objects.create(
        order=order,
        axle="front",
        wheel=wheels["wider"],
        tyre=tyre,
        growth_mm=3.0,
        largest_allowed=True,
    )
    OrderWheels.objects.create(
        order=order, axle="rear", wheel=wheels["estate"], tyre=tyre, worn_mm=4.0
    )
    PlannedSetting.objects.create(order=order, axle="front", toe_deg=0.08)
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.12, bushes="worn")
    stage["checks"]["fast_roads"] = check_run(order=order, by=stage["users"]["writer"])

"""The demonstration's readings on cars: joints fitted, a bump-steer sheet, gaps of one car, and
a rear camber that the factory's eccentric cannot follow."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.utils import timezone

from alignment.geometry.model import TravelReading
from alignment.models import PlannedSetting
from fitment.clearance.present_car import Expected, TypedGap, gaps_save
from fitment.clearance.run import check_run
from fitment.models import CornerSurvey, OrderWheels, PresentCorner
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
#: By how much the waiting saloon's own gaps differ from the car model's, by place, mm.
THIS_CAR = {"arch lip": 1.5, "inner panel": -2.0}


def seen_to_do(stage: Stage) -> None:
    """The saloon's front left: joints fitted to three heights, then a bump-steer sheet."""
    technician = stage["users"]["technician"]
    survey = CornerSurvey.objects.current(stage["car_models"]["saloon"], "LF")
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
    """Gaps read on the waiting saloon, standing, with the wheels that it came on."""
    order: WorkOrder = stage["orders"]["waiting"]
    technician = stage["users"]["technician"]
    surveys = CornerSurvey.objects.current_by_corner(stage["car_models"]["saloon"])
    for corner in ("LF", "RF"):
        stands = PresentCorner.objects.create(
            order=order,
            corner=corner,
            wheel=stage["wheels"]["saloon"],
            tyre=stage["tyres"]["saloon"],
            worn_mm=3.0,
            toe_deg=0.1,
            by=technician,
        )
        expected = Expected(surveys[corner], stands)
        gaps = [
            TypedGap(place, gap, f"{gap:g}", 0.0, 0.0, None)
            for place, off in THIS_CAR.items()
            if (model := expected.gap_mm(place, 0.0, 0.0)) is not None
            for gap in [round(2 * (model + off)) / 2]
        ]
        gaps_save(stands=stands, gaps=gaps, expected=expected, by=technician)


def camber_behind(stage: Stage) -> None:
    """Two degrees behind from shims: more than the factory's toe eccentric can follow."""
    car = stage["vehicles"]["sister"]
    order = WorkOrder.objects.create(
        number=order_number_next(),
        customer=car.customer,
        vehicle=car,
        mileage_km=car.mileage_km,
        request_text="Two degrees of camber behind for track days. A friend did it with "
        "shims alone.",
        use=Use.TRACK,
    )
    stage["orders"]["camber_behind"] = order
    OrderWheels.objects.create(
        order=order,
        axle="rear",
        wheel=stage["wheels"]["front"],
        tyre=stage["tyres"]["front"],
    )
    PlannedSetting.objects.create(
        order=order, axle="rear", camber_deg=-2.0, camber_by="lower_arm", toe_deg=0.12
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
        request_text="New tyres in front on the wider wheels, the rear ones still have half "
        "their tread. "
        "I drive four hundred kilometres of motorway a day, fully laden.",
        use=Use.STREET,
    )
    stage["orders"]["fast_roads"] = order
    tyre, wheels = stage["tyres"]["saloon"], stage["wheels"]
    OrderWheels.objects.create(
        order=order,
        axle="front",
        wheel=wheels["wider"],
        tyre=tyre,
        spacer_mm=15.0,
        growth_mm=3.0,
        largest_allowed=True,
    )
    OrderWheels.objects.create(
        order=order, axle="rear", wheel=wheels["saloon"], tyre=tyre, worn_mm=4.0
    )
    PlannedSetting.objects.create(order=order, axle="front", toe_deg=0.08)
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.12, bushes="worn")
    stage["checks"]["fast_roads"] = check_run(order=order, by=stage["users"]["writer"])

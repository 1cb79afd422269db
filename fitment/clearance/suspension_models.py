"""The motion of a car's corners, for adjustments."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from alignment.adjustments.data import Geometry
from alignment.geometry.bump_steer_sheet import MeasuredMotion, overlay_of
from alignment.geometry.motion import motion_of
from fitment.engine import checkfile
from fitment.job.car import part_reaches, suspension_with
from fitment.models import CornerSurvey

if TYPE_CHECKING:
    from shop.models import WorkOrder


def motions_of_order(order: WorkOrder) -> Mapping[str, Geometry]:
    """By corner that was surveyed, its motion and the reach of the parts on the car."""
    car_model = order.vehicle.car_model
    if car_model is None:
        return {}
    reaches = part_reaches(order)
    found: dict[str, Geometry] = {}
    for corner, row in CornerSurvey.objects.current_by_corner(car_model).items():
        document = {**row.document, "suspension": suspension_with(row, reaches[corner])}
        try:
            survey, suspension, *_ = checkfile.parse_corner_survey(document)
        except checkfile.BadCheckFile:
            continue
        motion = motion_of(suspension, survey.camber_deg, survey.toe_deg)
        if suspension.measured is not None:
            overlay = overlay_of(motion, suspension.measured, survey.toe_deg)
            motion = MeasuredMotion(motion, overlay)
        source = f"survey of the {row.corner_name}, version {row.version}"
        found[corner] = Geometry(motion, suspension, source)
    return found

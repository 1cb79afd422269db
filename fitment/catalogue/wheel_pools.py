"""Wheels measured by the shop, and what they come to for the next one of their kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.db import transaction

from common.units import MM_PER_INCH
from fitment.catalogue.tyre_pools import shown
from fitment.engine.solid.pooled_wheels import PooledWheel, pooled_wheel
from fitment.models import WheelMeasurement, WheelModel

if TYPE_CHECKING:
    from shop.models import User


@transaction.atomic
def wheel_measurement_add(
    *, wheel: WheelModel, by: User, values: Mapping[str, Any]
) -> tuple[WheelMeasurement, WheelModel]:
    """Keep one measured wheel, and pool all of them anew."""
    row = WheelModel.every.select_for_update().get(pk=wheel.pk)
    measurement = WheelMeasurement.objects.create(wheel=row, by=by, **values)
    return measurement, wheel_pool(row)


@transaction.atomic
def wheel_measurement_remove(*, measurement: WheelMeasurement) -> WheelModel:
    """Take one measurement back, and pool the others anew."""
    row = WheelModel.every.select_for_update().get(pk=measurement.wheel_id)
    measurement.delete()
    return wheel_pool(row)


def wheel_pool(wheel: WheelModel) -> WheelModel:
    """Pool a wheel's measurements anew, which the size in the catalogue enters too."""
    whole = pooled_wheel(
        [row.as_measured() for row in wheel.measurements.all()],
        width_mm=MM_PER_INCH * wheel.width_in,
        flange_mm=wheel.flange_mm,
    )
    seat_mm = wheel.seat_diameter_mm / 2
    wheel.pooled = {} if whole is None else pooled_document(whole, seat_mm=seat_mm)
    wheel.save(update_fields=["pooled"])
    return wheel


def pooled_document(whole: PooledWheel, *, seat_mm: float) -> dict[str, Any]:
    """What a ``WheelModel.pooled`` holds; see ``fitment.models.known.MeasuredWheel``."""
    wheel: dict[str, Any] = {}
    said: dict[str, Any] = {}
    if whole.width is not None:
        said["width"] = shown(whole.width)
        wheel["width_mm"] = round(whole.width.mean_mm, 2)
        wheel["sigma_width_mm"] = round(whole.width.sigma_mm, 3)
    if whole.flange is not None:
        said["flange"] = shown(whole.flange)
        wheel["flange_mm"] = round(whole.flange.mean_mm, 2)
    if whole.offset is not None:
        said["offset"] = shown(whole.offset)
        wheel["offset_mm"] = round(whole.offset.mean_mm, 2)
        wheel["sigma_offset_mm"] = round(whole.offset.sigma_mm, 3)
    if whole.barrel_radius is not None:
        said["barrel"] = shown(whole.barrel_radius)
        wheel["barrel_mm"] = round(seat_mm - whole.barrel_radius.mean_mm, 2)
        wheel["sigma_barrel_mm"] = round(whole.barrel_radius.sigma_mm, 3)
    if whole.trace and whole.spoke_sigma_mm is not None:
        said["spoke"] = {"sigma_mm": round(whole.spoke_sigma_mm, 3), "count": whole.traces}
        wheel["spoke_back"] = [list(point) for point in whole.trace]
        wheel["sigma_spoke_mm"] = round(whole.spoke_sigma_mm, 3)
    document: dict[str, Any] = {"wheel": wheel, "shown": said}
    if whole.pad is not None:
        said["pad"] = shown(whole.pad)
        document["pad_mm"] = round(whole.pad.mean_mm, 2)
    return document

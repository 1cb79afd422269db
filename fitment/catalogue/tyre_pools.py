"""Tyres measured by the shop, and what they come to for the next one of their kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.db import transaction

from fitment.engine.solid.pooled_tyres import Pooled, PooledTyre, pooled_tyre
from fitment.models import TyreMeasurement, TyreModel

if TYPE_CHECKING:
    from shop.models import User


@transaction.atomic
def measurement_add(
    *, tyre: TyreModel, by: User, values: Mapping[str, Any]
) -> tuple[TyreMeasurement, TyreModel]:
    """Keep one measured tyre, and pool all of them anew."""
    row = TyreModel.every.select_for_update().get(pk=tyre.pk)
    measurement = TyreMeasurement.objects.create(tyre=row, by=by, **values)
    return measurement, _pool(row)


@transaction.atomic
def measurement_remove(*, measurement: TyreMeasurement) -> TyreModel:
    """Take one measurement back, and pool the others anew."""
    row = TyreModel.every.select_for_update().get(pk=measurement.tyre_id)
    measurement.delete()
    return _pool(row)


def _pool(tyre: TyreModel) -> TyreModel:
    whole = pooled_tyre([row.as_measured() for row in tyre.measurements.all()])
    tyre.pooled = {} if whole is None else pooled_document(whole)
    tyre.save(update_fields=["pooled"])
    return tyre


def pooled_document(whole: PooledTyre) -> dict[str, Any]:
    """What a ``TyreModel.pooled`` holds; see ``fitment.models.known.MeasuredTyre``."""
    document: dict[str, Any] = {"tyre": {}}
    tyre = document["tyre"]
    if whole.width is not None:
        document["width"] = shown(whole.width)
        tyre |= {
            "section_width_mm": round(whole.width.mean_mm, 2),
            "measuring_rim_in": whole.rim_in,
            "sigma_width_mm": round(whole.width.sigma_mm, 3),
        }
    if whole.diameter is not None:
        document["diameter"] = shown(whole.diameter)
        tyre |= {
            "overall_diameter_mm": round(whole.diameter.mean_mm, 2),
            "sigma_diameter_mm": round(whole.diameter.sigma_mm, 3),
        }
    if whole.tread is not None:
        tyre["tread_width_mm"] = round(whole.tread.mean_mm, 2)
    if whole.shoulder is not None:
        tyre["shoulder_drop_mm"] = round(whole.shoulder.mean_mm, 2)
    if whole.trace:
        document["profile"] = [list(point) for point in whole.trace]
        document["profile_rim_in"] = whole.rim_in
    return document


def shown(one: Pooled) -> dict[str, Any]:
    """Mean, uncertainty of the next, spread and count, for a page."""
    return {
        "mean_mm": round(one.mean_mm, 2),
        "sigma_mm": round(one.sigma_mm, 3),
        "count": one.count,
        "spread_mm": None if one.spread_mm is None else round(one.spread_mm, 3),
    }

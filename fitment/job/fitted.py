"""What an order mounts, and whether a tyre goes on its wheel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitment.models import OrderWheels, TyreModel, WheelModel
from shop.site.page_cache import asked_once

if TYPE_CHECKING:
    from shop.models import WorkOrder


def fitted_on(order: WorkOrder) -> list[OrderWheels]:
    """What an order mounts, axle by axle, with wheels and tyres: one query."""
    return list(OrderWheels.objects.filter(order=order).select_related("wheel", "tyre"))


def fitted_once(order: WorkOrder) -> list[OrderWheels]:
    """The same for those who put one page together, fetched once for all."""
    return asked_once(("fitted", order.pk), lambda: fitted_on(order))


def rim_mismatch(wheel: WheelModel, tyre: TyreModel) -> str:
    """Why a tyre's rim code does not suit a wheel; empty if it does or cannot be read."""
    code = tyre.size.upper().split("R")[-1].strip().rstrip("C") if "R" in tyre.size.upper() else ""
    try:
        rim = float(code)
    except ValueError:
        return ""
    if rim != wheel.diameter_in:
        return f"This tyre is for a {rim:g} in rim; the wheel has {wheel.diameter_in:g} in."
    return ""

"""What an order mounts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitment.models import OrderWheels
from shop.site.page_cache import asked_once

if TYPE_CHECKING:
    from shop.models import WorkOrder


def fitted_on(order: WorkOrder) -> list[OrderWheels]:
    """What an order mounts, axle by axle, with wheels and tyres: one query."""
    return list(OrderWheels.objects.filter(order=order).select_related("wheel", "tyre"))


def fitted_once(order: WorkOrder) -> list[OrderWheels]:
    """The same for those who put one page together, fetched once for all."""
    return asked_once(("fitted", order.pk), lambda: fitted_on(order))

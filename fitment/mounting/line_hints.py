"""What the lines of an order have to name: the wheels and tyres that are chosen for it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from fitment.job.fitted import fitted_on
from shop.extensions.panels import LineHint

if TYPE_CHECKING:
    from shop.models import WorkOrder

SIDES = 2


def wheel_hints(order: WorkOrder) -> list[LineHint]:
    """Chosen wheels, then tyres, both axles together, with the price of the catalogue."""
    rows = fitted_on(order)
    wheels = Counter(row.wheel for row in rows)
    tyres = Counter(row.tyre for row in rows)
    return [
        LineHint(str(one), axles * SIDES, one.price)
        for chosen in (wheels, tyres)
        for one, axles in chosen.items()
    ]

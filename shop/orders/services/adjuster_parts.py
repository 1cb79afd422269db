"""Parts that set something, by the corner at which they sit.

What an order installs or is going to install wins over what earlier orders put on the car.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q

from common.corners import AXLE_CORNERS, CORNERS
from shop.models import DAMPERS, InstalledPart, Part, PartAxle, WorkOrder


@dataclass(frozen=True)
class AdjustingPart:
    """A part at a corner; ``is_new`` on a line of this order, ``for_this_axle`` unless it was
    listed for any axle or the whole car."""

    part: Part
    is_new: bool
    for_this_axle: bool


@dataclass(frozen=True)
class Placed:
    """A part that sets something or stops travel, where it sits, and whether it is a new line."""

    part: Part
    where: str
    is_new: bool


def parts_placed(order: WorkOrder) -> list[Placed]:
    """Such parts on the car, then those on the order's lines, the newest last: two queries."""
    wanted = ~Q(part__adjuster="") | Q(part__kind__in=DAMPERS)
    installed = InstalledPart.objects.filter(
        wanted, order__vehicle_id=order.vehicle_id, part__isnull=False
    )
    found = [
        Placed(row.part, str(row.corner_or_axle), False)
        for row in installed.select_related("part").order_by("at", "pk")
        if row.part is not None
    ]
    for line in order.lines.filter(wanted, part__isnull=False).select_related("part"):
        if line.part is not None:
            where = line.part.axle if line.axle == PartAxle.ANY else line.axle
            found.append(Placed(line.part, str(where), True))
    return found


def adjusting_parts(
    order: WorkOrder, placed: Iterable[Placed] | None = None
) -> dict[str, dict[str, AdjustingPart]]:
    """By corner and adjuster, the newest part that sets it; ``placed`` if that is fetched."""
    found: dict[str, dict[str, AdjustingPart]] = {corner: {} for corner in CORNERS}
    for one in parts_placed(order) if placed is None else placed:
        part, where, is_new = one.part, one.where, one.is_new
        if not part.adjuster:
            continue
        row = AdjustingPart(part, is_new, where not in (PartAxle.ANY, "car"))
        for corner in corners_at(where):
            found[corner][part.adjuster] = row
    return found


def dampers_at(order: WorkOrder, placed: Iterable[Placed] | None = None) -> dict[str, Part]:
    """By corner, the newest damper that was fitted to the car or stands on this order's lines."""
    return {
        corner: one.part
        for one in (parts_placed(order) if placed is None else placed)
        if one.part.kind in DAMPERS
        for corner in corners_at(one.where)
    }


def corners_at(where: str) -> tuple[str, ...]:
    """Corners that a part's place means: a corner, an axle, or the whole car."""
    return (where,) if where in CORNERS else AXLE_CORNERS.get(where, CORNERS)

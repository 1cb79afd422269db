"""Parts that set something, by the corner at which they sit.

What an order installs or is going to install wins over what earlier orders put on the car.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shop.models import DAMPERS, Axle, Corner, InstalledPart, Part, WorkOrder

CORNERS: tuple[str, ...] = tuple(str(corner) for corner in Corner.values)
AXLE_CORNERS: dict[str, tuple[str, ...]] = {
    Axle.FRONT: (Corner.LF, Corner.RF),
    Axle.REAR: (Corner.LR, Corner.RR),
}


@dataclass(frozen=True)
class AdjustingPart:
    """A part at a corner; ``is_new`` on a line of this order, ``for_this_axle`` unless it was
    listed for any axle or the whole car."""

    part: Part
    is_new: bool
    for_this_axle: bool


def adjusting_parts(order: WorkOrder) -> dict[str, dict[str, AdjustingPart]]:
    """By corner and adjuster, the newest part that sets it: two queries."""
    found: dict[str, dict[str, AdjustingPart]] = {corner: {} for corner in CORNERS}
    for part, where, is_new in _places(order):
        row = AdjustingPart(part, is_new, where not in (Axle.ANY, "car"))
        for corner in corners_at(where):
            found[corner][part.adjuster] = row
    return found


def _places(order: WorkOrder) -> Iterator[tuple[Part, str, bool]]:
    installed = (
        InstalledPart.objects.filter(order__vehicle_id=order.vehicle_id, part__isnull=False)
        .exclude(part__adjuster="")
        .select_related("part")
        .order_by("at", "pk")
    )
    for row in installed:
        if row.part is not None:
            yield row.part, str(row.corner_or_axle), False
    lines = order.lines.filter(part__isnull=False).exclude(part__adjuster="")
    for line in lines.select_related("part"):
        if line.part is not None:
            where = line.part.axle if line.axle == Axle.ANY else line.axle
            yield line.part, str(where), True


def dampers_at(order: WorkOrder) -> dict[str, Part]:
    """By corner, the newest damper that was fitted to the car or stands on this order's lines."""
    installed = InstalledPart.objects.filter(
        order__vehicle_id=order.vehicle_id, part__kind__in=DAMPERS
    )
    rows = [
        (row.part, str(row.corner_or_axle))
        for row in installed.select_related("part").order_by("at", "pk")
    ]
    for line in order.lines.filter(part__kind__in=DAMPERS).select_related("part"):
        if line.part is not None:
            rows.append((line.part, str(line.part.axle if line.axle == Axle.ANY else line.axle)))
    return {corner: part for part, where in rows if part for corner in corners_at(where)}


def corners_at(where: str) -> tuple[str, ...]:
    """Corners that a part's place means: a corner, an axle, or the whole car."""
    return (where,) if where in CORNERS else AXLE_CORNERS.get(where, CORNERS)

"""What the lines of an order have to name where the plan is out of reach: parts that reach."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from common.corners import axle_of
from fitment.clearance.reach_parts import parts_that_reach
from fitment.engine.model import OutOfReach
from fitment.models import ClearanceCheck
from shop.extensions.panels import LineHint
from shop.models import Part

if TYPE_CHECKING:
    from shop.models import WorkOrder

SIDES = 2
SOURCE = "adjuster:"


def adjuster_hints(order: WorkOrder) -> list[LineHint]:
    """Of each adjuster that runs out in the newest check the cheapest part that reaches; and what
    was quoted for one, as long as that axle is planned: with the part the plan is in reach."""
    quoted = {
        line.source: line
        for line in order.lines.filter(source__startswith=SOURCE).select_related("part")
    }
    axles = set(order.planned_settings.values_list("axle", flat=True))
    found = {
        source: LineHint(
            line.source_words or line.description,
            SIDES,
            line.part.price if line.part else None,
            source,
            kind=line.kind,
            axle=line.axle,
            part=line.part,
        )
        for source, line in quoted.items()
        if source.split(":")[1] in axles
    }
    return list({one.key: one for one in (*_out_of_reach(order), *found.values())}.values())


def _out_of_reach(order: WorkOrder) -> Iterator[LineHint]:
    check = ClearanceCheck.objects.filter(order=order, in_reach=False).first()
    if check is None or check != ClearanceCheck.objects.filter(order=order).first():
        return
    seen: set[str] = set()
    catalogue = list(Part.objects.exclude(adjuster=""))
    for corner, answer in check.answer.get("corners", {}).items():
        axle = axle_of(corner)
        suspension = check.inputs["corners"][corner]["suspension"]
        for one in answer["out_of_reach"]:
            key = f"{SOURCE}{axle}:{one['adjuster']}"
            parts = parts_that_reach(OutOfReach(**one), corner, suspension, catalogue)
            if key not in seen and parts:
                seen.add(key)
                part = parts[0]
                yield LineHint(part.name, SIDES, part.price, key, axle=axle, part=part)

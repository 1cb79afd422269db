"""What pages about an order's plan show of target sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from alignment.models import OrderTarget, TargetSheet

if TYPE_CHECKING:
    from shop.models import WorkOrder


def target_choices(order: WorkOrder) -> dict[str, Any]:
    """The sheet that the order was planned from, and those it can be planned from.

    Sheets of the order's own use come first; ``newer`` is a newer version of the one planned from.
    """
    taken = OrderTarget.objects.filter(order=order).select_related("sheet").first()
    if order.vehicle.car_model_id is None:
        return {"target": taken, "sheets": [], "newer": None}
    current = TargetSheet.objects.filter(car_model=order.vehicle.car_model_id).current()
    sheets = sorted(current, key=lambda sheet: (sheet.use != order.use, sheet.use, sheet.kind))
    newer = None
    if taken is not None:
        same = (taken.sheet.use, taken.sheet.kind)
        newer = next(
            (s for s in sheets if (s.use, s.kind) == same and s.version > taken.sheet.version), None
        )
    return {"target": taken, "sheets": sheets, "newer": newer}

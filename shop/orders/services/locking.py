"""An order's row, locked until the transaction ends."""

from __future__ import annotations

from shop.models import WorkOrder


def order_lock(order: WorkOrder) -> WorkOrder:
    """The row as it is now, locked until the transaction ends."""
    return (
        WorkOrder.objects.select_for_update(of=("self",))
        .select_related("customer", "vehicle")
        .get(pk=order.pk)
    )

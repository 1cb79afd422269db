"""Parts that were ordered before lines had part orders of their own: one for each line.

Where the order no longer waits for parts, all of them had arrived; the day was not kept, so that
of ordering stands for it, and no person.
"""

from typing import Any, ClassVar

from django.db import migrations


def fill(apps: Any, schema_editor: Any) -> None:
    orders = apps.get_model("shop", "WorkOrder").objects.filter(parts_ordered_at__isnull=False)
    lines = apps.get_model("shop", "Line").objects
    part_orders = apps.get_model("shop", "PartOrder").objects
    arrivals = apps.get_model("shop", "Arrival").objects
    for order in orders:
        for line in lines.filter(order=order, kind="part", quantity__gt=0):
            made = part_orders.create(
                order=order,
                line=line,
                part_id=line.part_id,
                description=line.description,
                quantity=line.quantity,
                ordered_at=order.parts_ordered_at,
                ordered_by_id=order.parts_ordered_by_id,
            )
            if order.waiting_for != "parts":
                arrivals.create(
                    part_order=made,
                    quantity=line.quantity,
                    arrived_on=order.parts_ordered_at.date(),
                    at=order.parts_ordered_at,
                )


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0020_part_orders_and_suppliers")]
    operations: ClassVar = [migrations.RunPython(fill, migrations.RunPython.noop)]

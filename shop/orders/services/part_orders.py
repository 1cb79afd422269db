"""Which parts of an order are still to be ordered, and what follows for the order's row."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shop.models import Line, LineKind, PartOrder, WaitingFor, WorkOrder


@dataclass(frozen=True)
class LineDue:
    """A line of a part with the number of pieces that no order covers."""

    line: Line
    quantity: Decimal


def _covers(made: PartOrder, line: Line) -> bool:
    """Whether pieces were ordered for what the line names now, not for another part."""
    if made.line_id != line.pk or made.part_id != line.part_id:
        return False
    return made.part_id is not None or made.description == line.description


def lines_due(order: WorkOrder) -> list[LineDue]:
    """Lines of parts with pieces to be ordered."""
    made = list(order.part_orders.all())
    due = []
    for line in order.lines.filter(kind=LineKind.PART).select_related("part"):
        missing = line.quantity - sum(
            (one.quantity for one in made if _covers(one, line)), Decimal(0)
        )
        if missing > 0:
            due.append(LineDue(line, missing))
    return due


def parts_settle(order: WorkOrder, *, had_orders: bool = False) -> None:
    """Bring ``parts_ordered_at``, its user and ``waiting_for`` of a locked row up to date.

    The order counts as ordered when each of its parts is; it waits for parts while pieces for
    a line that still stands have not arrived. An order that waits for parts of which none was
    ordered here goes on waiting, unless it ``had_orders`` until now.
    """
    made = list(order.part_orders.select_related("ordered_by").prefetch_related("arrivals"))
    last = None if lines_due(order) else max(made, key=lambda one: one.ordered_at, default=None)
    waiting = order.waiting_for
    if any(one.line_id and one.outstanding for one in made):
        waiting = WaitingFor.PARTS
    elif waiting == WaitingFor.PARTS and (made or had_orders):
        waiting = WaitingFor.NOTHING
    values = {
        "parts_ordered_at": last.ordered_at if last else None,
        "parts_ordered_by": last.ordered_by if last else None,
        "waiting_for": waiting,
    }
    names = [name for name, value in values.items() if getattr(order, name) != value]
    for name in names:
        setattr(order, name, values[name])
    if names:
        order.save(update_fields=names)

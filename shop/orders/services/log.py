"""The log of an order: written in the transaction of the act that it tells of."""

from __future__ import annotations

from shop.models import LogEntry, User, WorkOrder


def log_write(
    *, order: WorkOrder, by: User | None, what: str, detail: str = "", who: str = ""
) -> LogEntry:
    """Add one entry. ``by`` None is the customer, whose name is ``who``."""
    name = who or (by.shown_name if by else order.customer.name)
    return LogEntry.objects.create(
        order=order, by=by, who=name[:120], what=what[:120], detail=detail
    )

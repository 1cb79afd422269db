"""The log of an order: an entry is written in the transaction of the act that it records."""

from __future__ import annotations

from django.utils.functional import Promise

from common.shortened import shortened
from shop.languages import speech_of_shop
from shop.models import LogEntry, User, WorkOrder

#: Characters that a name or an act may have in the log.
LONGEST = 120


def log_write(
    *,
    order: WorkOrder,
    by: User | None,
    what: str | Promise,
    detail: str | Promise = "",
    who: str = "",
    kind: str = "",
) -> LogEntry:
    """Add one entry; lazy texts are written in the shop's language.

    ``by`` None is the customer, whose name is ``who``; ``kind`` is a ``LogKind``.
    """
    name = who or (by.shown_name if by else order.customer.name)
    with speech_of_shop().active():
        return LogEntry.objects.create(
            order=order,
            by=by,
            who=shortened(name, LONGEST),
            what=shortened(str(what), LONGEST),
            detail=str(detail),
            kind=kind,
        )

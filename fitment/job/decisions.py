"""Which orders wait for a manager's decision on their last check, by the checks on record."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Exists, Model, OuterRef, QuerySet, Subquery

from common.verdicts import GateResult
from shop.extensions.gates import MANAGER, RULES
from shop.models import GateOverride, State, WorkOrder

#: States in which a decision opens the way on.
UNDECIDED = (State.ENQUIRY, State.QUOTED, State.APPROVED)


def asks_manager(results: Iterable[str]) -> list[str]:
    """Those of some results on which a manager decides, by the rules of the gates."""
    return [str(one) for one in results if RULES[GateResult(str(one))][0] == MANAGER]


def with_last(orders: QuerySet[WorkOrder], checks: type[Model], **columns: str) -> QuerySet[Any]:
    """Open jobs that need a check, each with these columns of its last one."""
    rows = checks._base_manager.filter(order=OuterRef("pk")).order_by("-at", "-pk")
    last = {name: Subquery(rows.values(column)[:1]) for name, column in columns.items()}
    return orders.filter(state__in=UNDECIDED, moves_wheel_or_height=True).annotate(**last)


def not_decided(orders: QuerySet[Any], gate: str) -> QuerySet[Any]:
    """Without those on whose ``last_digest`` a manager has decided."""
    taken = GateOverride.objects.filter(
        order=OuterRef("pk"), gate=gate, digest=OuterRef("last_digest")
    )
    return orders.exclude(Exists(taken))

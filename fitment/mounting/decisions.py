"""Orders whose last mounting check asks for a manager's decision."""

from __future__ import annotations

from django.db.models import QuerySet

from common.verdicts import GateResult, Outcome
from fitment.job.decisions import asks_manager, not_decided, with_last
from fitment.models import MountingCheck
from fitment.mounting.gate import GATE, result_of
from shop.models import WorkOrder


def mounting_decisions(orders: QuerySet[WorkOrder]) -> QuerySet[WorkOrder]:
    """Those whose last check fails a rule, and nothing that no decision passes.

    The answers of those checks are read: a rule that bars is not in a column.
    """
    last = with_last(
        orders, MountingCheck, last_digest="digest", last_outcome="outcome", last_check="pk"
    )
    asked = not_decided(last.filter(last_outcome__in=asks_manager(Outcome)), GATE)
    checks = MountingCheck.objects.filter(pk__in=asked.order_by().values("last_check"))
    decided_by = [
        check.order_id for check in checks if result_of(check) != GateResult.CANNOT_BE_MOUNTED
    ]
    return orders.filter(pk__in=decided_by)

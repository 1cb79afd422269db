"""Orders whose last clearance check asks for a manager's decision."""

from __future__ import annotations

from django.db.models import Q, QuerySet

from common.verdicts import Verdict
from fitment.job.data import GATE
from fitment.job.decisions import asks_manager, not_decided, with_last
from fitment.models import ClearanceCheck
from shop.models import WorkOrder


def clearance_decisions(orders: QuerySet[WorkOrder]) -> QuerySet[WorkOrder]:
    """Those whose last check does not clear, or has a setting out of reach."""
    last = with_last(
        orders,
        ClearanceCheck,
        last_digest="digest",
        last_verdict="verdict",
        last_in_reach="in_reach",
    )
    asks = Q(last_verdict__in=asks_manager(Verdict)) | Q(last_in_reach=False)
    return not_decided(last.filter(asks), GATE)

"""All readings of one order side by side: before, after, target and what is off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from alignment.models import PlannedSetting, RackVisit
from alignment.plans.services.order_targets import sheet_of
from alignment.visits.comparison import compare
from alignment.visits.data import Comparison
from alignment.visits.legal_limits_page import beyond_limits
from shop.models import WorkOrder


@dataclass(frozen=True)
class OrderReadings:
    """The table of an order's visits, what of the latest lies beyond the law's limits, and whether
    there are adjustments to look at."""

    table: Comparison
    beyond_limits: Sequence[str]
    may_adjust: bool


def readings_of(order: WorkOrder, visits: Sequence[RackVisit]) -> OrderReadings:
    """The visits of an order against its plan and its target sheet; ``visits`` is not empty."""
    plans = list(PlannedSetting.objects.filter(order=order))
    table = compare(visits, plans, sheet_of(order))
    latest = table.after or table.before
    return OrderReadings(table, beyond_limits(order, latest), _may_adjust(order, plans))


def _may_adjust(order: WorkOrder, plans: Sequence[PlannedSetting]) -> bool:
    """Adjustments of an open order, or those that a closed one keeps."""
    return bool(plans) if order.is_open else order.accepted_adjustments.exists()

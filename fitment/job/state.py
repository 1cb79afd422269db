"""Whether the last clearance check of an order still holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitment.job.data import CheckState
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck
from shop.site.page_cache import asked_once

if TYPE_CHECKING:
    from shop.models import WorkOrder


def state_once(order: WorkOrder) -> CheckState:
    """The same for those who put one page together, the order's check fetched once for all."""
    return asked_once(("clearance check", order.pk), lambda: check_state(order))


def check_state(order: WorkOrder) -> CheckState:
    """The order's inputs as they are now, and the checks made of it. Drawings stay unread."""
    inputs = check_inputs(order)
    checks = (
        ClearanceCheck.objects.filter(order=order).defer("inputs", "scenes").select_related("by")
    )
    latest = checks.first()
    if latest is None or latest.digest == inputs.digest:
        return CheckState(inputs, latest, latest)
    return CheckState(inputs, checks.filter(digest=inputs.digest).first(), latest)

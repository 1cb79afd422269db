"""Whether the last room check of an order still holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitment.clearance.inputs import CheckInputs, check_inputs
from fitment.models import ClearanceCheck
from shop.site.page_cache import asked_once

if TYPE_CHECKING:
    from shop.models import WorkOrder


@dataclass(frozen=True)
class CheckState:
    """Where an order's check stands.

    ``current`` is a check of exactly these inputs by this engine; ``latest`` the newest of all.
    """

    inputs: CheckInputs
    current: ClearanceCheck | None
    latest: ClearanceCheck | None

    @property
    def is_stale(self) -> bool:
        return self.current is None and self.latest is not None

    @property
    def shown(self) -> ClearanceCheck | None:
        return self.current or self.latest


def state_once(order: WorkOrder) -> CheckState:
    """The same for those who put one page together, the order's check fetched once for all."""
    return asked_once(("room check", order.pk), lambda: check_state(order))


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

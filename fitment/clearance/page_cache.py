"""What several panels of one page ask about an order, fetched once in a request."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fitment.clearance.state import CheckState, state_once
from fitment.mounting.earlier_jobs import EarlierJob, earlier_jobs, fitted_on

if TYPE_CHECKING:
    from django.http import HttpRequest

    from fitment.models import OrderWheels
    from shop.models import WorkOrder


def _kept(request: HttpRequest, order: WorkOrder) -> dict[str, Any]:
    """What this request knows of an order already."""
    pages: dict[int, dict[str, Any]] = request.__dict__.setdefault("fitment_pages", {})
    return pages.setdefault(order.pk, {})


def state_on_page(request: HttpRequest, order: WorkOrder) -> CheckState:
    """Where the order's check stands."""
    kept = _kept(request, order)
    if "state" not in kept:
        kept["state"] = state_once(order)
    state: CheckState = kept["state"]
    return state


def wheels_on_page(request: HttpRequest, order: WorkOrder) -> list[OrderWheels]:
    """What the order mounts on each axle."""
    kept = _kept(request, order)
    if "wheels" not in kept:
        kept["wheels"] = fitted_on(order)
    wheels: list[OrderWheels] = kept["wheels"]
    return wheels


def earlier_jobs_on_page(request: HttpRequest, order: WorkOrder) -> list[EarlierJob]:
    """Earlier jobs on the order's pattern."""
    kept = _kept(request, order)
    if "seen" not in kept:
        fitted = wheels_on_page(request, order)
        kept["seen"] = earlier_jobs(order, state_on_page(request, order), fitted)
    seen: list[EarlierJob] = kept["seen"]
    return seen

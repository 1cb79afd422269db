"""Signatures for torques that count no longer, since the work was taken up again."""

from __future__ import annotations

from django.utils.text import format_lazy
from django.utils.translation import ngettext_lazy

from shop.models import InstalledPart, User, WorkOrder
from shop.orders.services.log import log_write
from shop.orders.services.torques import keys_touched, torques_reopen


def reopen_logged(
    order: WorkOrder, by: User, because: str, keys: set[str] | None = None
) -> set[str]:
    """Reopen signatures, and say so in the log. Call it with the order locked."""
    touched = torques_reopen(order, because=because, keys=keys)
    if touched:
        log_write(
            order=order,
            by=by,
            what=format_lazy(
                ngettext_lazy(
                    "{count} torque must be signed again",
                    "{count} torques must be signed again",
                    len(touched),
                ),
                count=len(touched),
            ),
            detail=because,
        )
    return touched


def reopen_for(order: WorkOrder, by: User, installed: InstalledPart) -> set[str]:
    """What fitting a part takes up again; its line was fitted after all, and a wheel in front of
    it did not stay on."""
    if installed.line_id is not None:
        order.not_fitted.filter(line_id=installed.line_id).delete()
    return reopen_logged(order, by, str(installed), keys_touched(order, installed))

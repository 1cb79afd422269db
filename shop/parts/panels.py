"""The parts of an order on its page."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.extensions.panels import Panel
from shop.models import WorkOrder
from shop.parts.data import booked_too_early, parts_waiting


def parts_panel(request: HttpRequest, order: WorkOrder) -> Panel | None:
    """What is on order and what has arrived; nothing where no part was ordered."""
    made = order.part_orders.count()
    if not made:
        return None
    waiting = parts_waiting([order.pk]).get(order.pk, [])
    context = {
        "order": order,
        "made": made,
        "waiting": waiting,
        "today": timezone.localdate(),
        "too_early": booked_too_early(order) if order.is_open else "",
    }
    return Panel(_("Parts on order"), "shop/parts/panel.html", context, "parts")

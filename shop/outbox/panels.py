"""An order's email, for its page."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _

from shop.extensions.panels import Panel
from shop.models import WorkOrder
from shop.outbox.services.shown import sent


def sent_panel(request: HttpRequest, order: WorkOrder) -> Panel:
    """How the customer was told, for an order's page."""
    return Panel(_("Sent to the customer"), "shop/outbox/sent_panel.html", sent(order), "sent")

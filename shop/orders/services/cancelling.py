"""What has to be settled when an order is cancelled."""

from __future__ import annotations

from django.utils.translation import gettext as _

from shop.languages import speech_of_page
from shop.models import ShopSettings, WorkOrder


def before_cancelling(order: WorkOrder) -> list[str]:
    """What has to be settled when this order is cancelled: deposits, and parts on their way."""
    speech, currency = speech_of_page(), ShopSettings.load().currency
    found = []
    for one in order.deposits.all():
        if one.received:
            found.append(
                _("Deposit received on {day}: {amount}. It has to be paid back or kept.").format(
                    day=speech.day(one.received_on) if one.received_on else "–",
                    amount=speech.money(one.received, currency),
                )
            )
        elif one.received is None:
            amount = speech.money(one.asked, currency)
            found.append(_("Deposit asked and not received: {amount}.").format(amount=amount))
    for made in order.part_orders.select_related("supplier"):
        words = f"{speech.plain(made.quantity)} × {made.description}"
        sold_by = " ".join(filter(None, (str(made.supplier or ""), made.supplier_number)))
        found.append(
            _("Parts ordered on {day}: {names}.").format(
                day=speech.day(made.ordered_at), names=", ".join(filter(None, (words, sold_by)))
            )
        )
    return found

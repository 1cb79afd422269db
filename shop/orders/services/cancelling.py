"""What has to be settled when an order is cancelled."""

from __future__ import annotations

from django.utils.translation import gettext as _

from shop.languages import speech_of_page
from shop.models import LineKind, ShopSettings, WorkOrder


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
    if order.parts_ordered_at is not None:
        names = [
            f"{speech.plain(line.quantity)} × {line.description}"
            for line in order.lines.all()
            if line.kind == LineKind.PART
        ]
        found.append(
            _("Parts ordered on {day}: {names}.").format(
                day=speech.day(order.parts_ordered_at), names="; ".join(names) or "–"
            )
        )
    return found

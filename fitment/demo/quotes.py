"""The demonstration's quotes, told what the checks said: they were written before these were."""

from __future__ import annotations

from typing import Any

from shop.languages import speech_of
from shop.models import Quote, WorkOrder
from shop.orders.services.gates import gates_ask
from shop.orders.services.quoted import frozen_checks, frozen_job


def tell_checks(stage: dict[str, Any]) -> None:
    """Put wheels, settings and checks onto the quotes of orders that go on from them."""
    for key in ("waiting", "on_lift"):
        order: WorkOrder = stage["orders"][key]
        speech = speech_of(order)
        quote = Quote.objects.get(order=order)
        quote.document |= {
            "checks": frozen_checks(gates_ask(order), speech),
            "job": frozen_job(order, speech),
        }
        quote.save(update_fields=["document"])

"""The parts of an order on its page."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.languages import speech_of_page
from shop.models import WorkOrder
from shop.parts.data import WaitingPart, booked_too_early, parts_waiting


def parts_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """What is on order and what has arrived; nothing where no part was ordered."""
    if not order.part_orders.exists():
        return []
    waiting = parts_waiting([order.pk]).get(order.pk, [])
    words = "; ".join(_said(one) for one in waiting) or _("All parts have arrived.")
    return [
        OrderAnswer(
            Question.WHEN,
            _("Parts on order"),
            words,
            detail=booked_too_early(order) if order.is_open else "",
            links=(
                AnswerLink(_("Parts of this order"), reverse("order_parts", args=[order.pk])),
                AnswerLink(_("Labels (PDF)"), reverse("parts_labels", args=[order.pk])),
            ),
            anchor="parts",
        )
    ]


def parts_notes(orders: Sequence[WorkOrder], /) -> dict[int, list[str]]:
    """For the list of orders that wait for parts: what is to come, from whom and when."""
    waiting = parts_waiting(order.pk for order in orders)
    return {key: [_said(one) for one in parts] for key, parts in waiting.items()}


def _said(one: WaitingPart) -> str:
    speech = speech_of_page()
    pieces = f"{one.outstanding.normalize():f} × {one.description}"
    said = ", ".join(filter(None, (pieces, " ".join((one.supplier, one.supplier_number)).strip())))
    if one.promised_on is None:
        return said
    text = _("{part}, late: promised for {day}") if one.is_late else _("{part}, promised for {day}")
    return text.format(part=said, day=speech.day(one.promised_on))

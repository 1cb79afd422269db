"""What was typed into the search field, and the one record that it may name exactly."""

from __future__ import annotations

from django.db.models import Q

from shop.models import Vehicle, WorkOrder
from shop.orders.services.changes import ORDER_LETTER, order_number
from shop.values.contact_keys import plate_key
from shop.values.search_keys import number_pieces

#: Characters that one search takes.
LONGEST = 100


def exact_hit(typed: str) -> WorkOrder | Vehicle | None:
    """The order or the vehicle whose number or plate this is; None unless it is the only one."""
    hits: list[WorkOrder | Vehicle] = [*_orders(typed), *_vehicles(typed)]
    return hits[0] if len(hits) == 1 else None


def _orders(typed: str) -> list[WorkOrder]:
    wanted = Q(number__iexact=typed.strip())
    pieces = number_pieces(typed)
    if pieces and pieces[0] in ("", ORDER_LETTER.casefold()):
        wanted |= Q(number=order_number(pieces[1]))
    return list(WorkOrder.objects.filter(wanted)[:2])


def _vehicles(typed: str) -> list[Vehicle]:
    plate = plate_key(typed)
    if not plate:
        return []
    rows = Vehicle.objects.filter(search_key__contains=f" {plate.casefold()} ")
    return [row for row in rows.order_by("pk")[:20] if plate_key(row.plate) == plate][:2]

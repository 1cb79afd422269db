"""What the pages of parts show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, Q, QuerySet
from django.utils import timezone

from shop.models import PartOrder


@dataclass(frozen=True)
class Expected:
    """One row of what is expected: the part order, and whether its promised day has passed."""

    made: PartOrder
    is_late: bool


def expected(supplier: int | None, words: str) -> list[Expected]:
    """Part orders with pieces to come: late ones first, then by promised day, those without one
    last. ``words`` finds by the supplier's number, part, order, plate or customer."""
    today = timezone.localdate()
    rows = _found(words, supplier)
    made = [one for one in rows if one.outstanding]
    return [Expected(one, one.is_late(today)) for one in made]


def arrived_of(words: str, supplier: int | None) -> list[PartOrder]:
    """Part orders that match the words and have wholly arrived: a box may be looked for again."""
    if not words:
        return []
    return [one for one in _found(words, supplier) if not one.outstanding]


def _found(words: str, supplier: int | None) -> Iterable[PartOrder]:
    rows: QuerySet[PartOrder] = PartOrder.objects.select_related(
        "order__customer", "order__vehicle", "supplier", "part"
    ).prefetch_related("arrivals")
    if supplier is not None:
        rows = rows.filter(supplier=supplier)
    for word in words.split():
        rows = rows.filter(
            Q(supplier_number__icontains=word)
            | Q(description__icontains=word)
            | Q(part__number__icontains=word)
            | Q(order__number__icontains=word)
            | Q(order__vehicle__plate__icontains=word)
            | Q(order__customer__name__icontains=word)
        )
    return rows.order_by(F("promised_on").asc(nulls_last=True), "ordered_at", "pk")

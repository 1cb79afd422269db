"""Orders as lists show them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from shop.models import Booking, Line, LineKind, RoadTest, WorkOrder
from shop.orders.services.customer_answers import open_answers
from shop.orders.services.next_words import next_words


def for_list(orders: QuerySet[WorkOrder]) -> QuerySet[WorkOrder]:
    """With all that a row of a list shows: no query per row follows."""
    return orders.select_related("customer", "vehicle").annotate(
        next_start=Subquery(
            Booking.objects.filter(order=OuterRef("pk"))
            .order_by("starts_at")
            .values("starts_at")[:1]
        ),
        has_lines=Exists(Line.objects.filter(order=OuterRef("pk"))),
        has_parts=Exists(Line.objects.filter(order=OuterRef("pk"), kind=LineKind.PART)),
        customer_said=Subquery(
            open_answers().filter(order=OuterRef("pk")).order_by("kind").values("kind")[:1]
        ),
        has_road_test=Exists(RoadTest.objects.filter(order=OuterRef("pk"))),
    )


def with_next_words(orders: Iterable[Any]) -> list[WorkOrder]:
    """Orders out of ``for_list``, each with its next act in words."""
    rows = list(orders)
    for row in rows:
        row.next_words = next_words(row)
    return rows

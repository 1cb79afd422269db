"""What a customer said on their page and the shop has not replied to."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.models import CustomerAnswer, Quote, WorkOrder

#: Questions come first: they keep the customer from the other two.
FIRST = [CustomerAnswer.Kind.ASKED, CustomerAnswer.Kind.CHOSE, CustomerAnswer.Kind.DECLINED]


def open_answers() -> QuerySet[CustomerAnswer]:
    """Open answers of all orders: questions without a reply; declines and choices of a quote that
    is still its order's latest and was not approved after all."""
    newer = Quote.objects.filter(order=OuterRef("order"), pk__gt=OuterRef("quote"))
    on_the_latest = Q(quote__authorisation=None) & ~Exists(newer)
    asked = Q(kind=CustomerAnswer.Kind.ASKED)
    return CustomerAnswer.objects.filter(asked | on_the_latest, settled_at=None)


def open_answer(order: WorkOrder) -> CustomerAnswer | None:
    """The open answer of an order that comes first, the latest of its kind; None without any."""
    found = list(open_answers().filter(order=order))
    if not found:
        return None
    first = min(found, key=lambda one: FIRST.index(CustomerAnswer.Kind(one.kind))).kind
    return [one for one in found if one.kind == first][-1]

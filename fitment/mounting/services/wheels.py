"""What an order mounts, axle by axle."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar, cast

from django.db import transaction
from django.utils.translation import gettext, gettext_lazy

from fitment.models import OrderWheels, TyreModel, WheelModel
from fitment.mounting.services.record import mounting_keep
from shop.languages import speech_of_shop
from shop.orders.services.changes import order_moves_wheel
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User, WorkOrder


#: What may be typed for one order.
Row = TypeVar("Row", bound=WheelModel | TyreModel)


def own_row(order: WorkOrder, row: Row) -> Row:
    """A wheel or tyre as this order may have it: one that was typed for another order is copied."""
    if row.typed_for_id is None or row.typed_for_id == order.pk:
        return row
    model = type(row)
    kept = ("id", "version", "typed_for", "search_key")
    values = {f.name: getattr(row, f.name) for f in model._meta.fields if f.name not in kept}
    made = model._base_manager.create(typed_for=order, **values)
    return cast(Row, made)


@transaction.atomic
def order_wheels_choose(
    *, order: WorkOrder, choices: Mapping[str, OrderWheels | None], by: User
) -> list[OrderWheels]:
    """Replace an order's wheels by the given choices; None takes an axle out of the order.

    The mounting checks are answered anew, as far as they can be before the clearance is.

    Raises Refused once the order is closed.
    """
    if not order_lock(order).is_open:
        raise Refused(gettext("The order is closed: its wheels stay as they were."))
    kept: list[OrderWheels] = []
    for axle, choice in choices.items():
        if choice is None:
            OrderWheels.objects.filter(order=order, axle=axle).delete()
            continue
        row, _ = OrderWheels.objects.update_or_create(
            order=order,
            axle=axle,
            defaults={
                "wheel": own_row(order, choice.wheel),
                "tyre": own_row(order, choice.tyre),
                "spacer_mm": choice.spacer_mm,
                "worn_mm": choice.worn_mm,
                "growth_mm": choice.growth_mm,
                "largest_allowed": choice.largest_allowed,
            },
        )
        kept.append(row)
    detail = "; ".join(f"{row.axle}: {row}" for row in kept) or speech_of_shop().say("none")
    log_write(order=order, by=by, what=gettext_lazy("Wheels chosen"), detail=detail)
    if kept:
        because = speech_of_shop().say("Wheels are chosen: {wheels}", wheels=detail)
        order_moves_wheel(order=order, by=by, because=because)
    mounting_keep(order=order, by=by)
    return kept

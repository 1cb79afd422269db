"""A new order that begins where an older one stood."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.extensions.points import ORDER_COPIES
from shop.languages import speech_of_page
from shop.models import Line, OrderKind, ShopSettings, User, Vehicle, WorkOrder
from shop.orders.services.changes import order_create
from shop.orders.services.log import log_write
from shop.site.refusals import NotYours, Refused

#: Kinds of orders that are not repeated as such: the copy is ordinary work.
ONCE = (OrderKind.COMEBACK, OrderKind.SURVEY_VISIT)


@dataclass(frozen=True)
class Copied:
    """The new order, and what it did not take, a sentence each."""

    order: WorkOrder
    left: tuple[str, ...]


def vehicles_for_copy(source: WorkOrder) -> QuerySet[Vehicle]:
    """The same vehicle, and others of its car model; those of the customer first."""
    same = Q(pk=source.vehicle_id)
    if source.vehicle.car_model_id is not None:
        same |= Q(car_model=source.vehicle.car_model_id)
    return Vehicle.objects.filter(same).select_related("customer")


def vehicles_offered(source: WorkOrder, asked: int | None) -> QuerySet[Vehicle]:
    """Those of them that a page offers: the customer's own, and the one that it came from."""
    own = Q(customer=source.customer_id) | Q(pk=source.vehicle_id)
    return vehicles_for_copy(source).filter(own | Q(pk=asked) if asked is not None else own)


def copy_source(vehicle: Vehicle) -> WorkOrder | None:
    """The newest order that a new one for this vehicle may begin from: its own, then one of the
    same customer, then one of any car of its model."""
    orders = WorkOrder.objects.filter(kind__in=[k for k in OrderKind if k not in ONCE])
    found = orders.filter(vehicle=vehicle).first()
    if found is not None or vehicle.car_model_id is None:
        return found
    alike = orders.filter(vehicle__car_model=vehicle.car_model_id)
    return alike.filter(customer=vehicle.customer_id).first() or alike.first()


@transaction.atomic
def order_copy(
    *, source: WorkOrder, vehicle: Vehicle, request_text: str, mileage_km: int | None, by: User
) -> Copied:
    """Open an order with the older one's request, use, class, lines, and what other apps take.

    Lines keep the prices that they had. Quotes, signatures, discounts, deposits, notes and what
    was done or measured stay with the older order. Raises Refused for a car of another model.
    """
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can open orders."))
    if not vehicles_for_copy(source).filter(pk=vehicle.pk).exists():
        raise Refused(_("Choose a vehicle of the same car model."), field="vehicle")
    order = order_create(
        by=by,
        customer=vehicle.customer,
        vehicle=vehicle,
        kind=OrderKind.INSTALL if source.kind in ONCE else source.kind,
        request_text=request_text,
        mileage_km=mileage_km,
        use=source.use,
        further_uses=list(source.further_uses),
        class_rules=source.class_rules,
        class_record=source.class_record,
        moves_wheel_or_height=source.moves_wheel_or_height or source.kind in ONCE,
    )
    left = _copy_lines(source, order)
    for copy in ORDER_COPIES:
        left += copy(source, order, by)
    if source.deposits.exists():
        left.append(_("Deposits stay with {number}.").format(number=source.number))
    if source.technician_notes:
        left.append(_("Notes stay with {number}.").format(number=source.number))
    log_write(
        order=order,
        by=by,
        what=format_lazy(gettext_lazy("Copied from {number}"), number=source.number),
        detail=" ".join(left),
    )
    return Copied(order, tuple(left))


def _copy_lines(source: WorkOrder, order: WorkOrder) -> list[str]:
    """Lines at the prices that they had; answers where a part's price is another by now."""
    speech, currency = speech_of_page(), ShopSettings.load().currency
    left = []
    for line in source.lines.select_related("part"):
        if line.discount:
            left.append(_("The discount on “{line}” was not taken.").format(line=line.description))
        if line.part is not None and line.part.price != line.unit_price:
            left.append(
                _("“{line}” was copied at {before}; its price is {now} by now.").format(
                    line=line.description,
                    before=speech.money(line.unit_price, currency),
                    now=speech.money(line.part.price, currency),
                )
            )
        _copy_line(line, order)
    if source.discount:
        left.append(_("The discount in all was not taken."))
    moves = any(line.part and line.part.moves_wheel for line in order.lines.select_related("part"))
    if moves and not order.moves_wheel_or_height:
        order.moves_wheel_or_height = True
        order.save(update_fields=["moves_wheel_or_height"])
    return left


def _copy_line(line: Line, order: WorkOrder) -> None:
    kept = (
        "kind",
        "part",
        "description",
        "work",
        "axle",
        "quantity",
        "unit_price",
        "tax_rate",
        "with_tax",
        "source",
        "source_words",
        "position",
        "texts",
    )
    Line.objects.create(order=order, **{name: getattr(line, name) for name in kept})

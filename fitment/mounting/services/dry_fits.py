"""Dry fits of an order: recording one, and which axles still wait for theirs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.text.render import on_record, render
from common.canonical_json import digest_of
from fitment.job.fitted import fitted_on
from fitment.models import DryFit, OrderMounting, OrderWheels
from fitment.mounting.text import dry_fit_told
from shop.models import State
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import NotYours, Refused

if TYPE_CHECKING:
    from shop.models import User, WorkOrder

#: States in which a wheel may be offered up.
MAY_BE_OFFERED = (State.APPROVED, State.BOOKED, State.ON_LIFT, State.ROAD_TEST)


def offered_digests(order: WorkOrder) -> dict[str, str]:
    """By axle, what stands for the wheel, tyre, spacer and nuts that go on it."""
    others = {row.axle: row for row in OrderMounting.objects.filter(order=order)}
    return {row.axle: _digest(row, others.get(row.axle)) for row in fitted_on(order)}


def _digest(row: OrderWheels, other: OrderMounting | None) -> str:
    return digest_of(
        {
            "wheel": row.wheel_id,
            "tyre": row.tyre_id,
            "spacer_mm": row.spacer_mm,
            "held": _held(other) if other else {},
        }
    )


def _held(other: OrderMounting) -> dict[str, Any]:
    """What was chosen beside the car's own; a row with nothing chosen is no choice."""
    chosen = {name: getattr(other, name) for name in OrderMounting.HELD_BY}
    return {name: value for name, value in chosen.items() if value not in (None, "")}


def dry_fits_of(order: WorkOrder) -> dict[str, DryFit]:
    """By axle, the latest dry fit that was made with what the order mounts now."""
    digests = offered_digests(order)
    found: dict[str, DryFit] = {}
    if digests:
        for one in DryFit.objects.filter(order=order).select_related("by"):
            if digests.get(one.axle) == one.digest:
                found.setdefault(one.axle, one)
    return found


def dry_fits_due(order: WorkOrder) -> list[str]:
    """Axles whose wheels have not been offered up, or where something was left unanswered."""
    made = dry_fits_of(order)
    return [axle for axle in offered_digests(order) if axle not in made or not made[axle].is_good]


@transaction.atomic
def dry_fit_add(*, order: WorkOrder, by: User, axle: str, values: Mapping[str, Any]) -> DryFit:
    """Record the dry fit of one axle.

    Raises Refused, with the field at fault, where a question is left open.
    """
    if not by.may_work_on_cars:
        raise NotYours(_("Only a technician can record work."))
    row = order_lock(order)
    if row.state not in MAY_BE_OFFERED:
        raise Refused(_("A dry fit can be recorded from the approval to the road test."))
    digest = offered_digests(row).get(axle)
    if digest is None:
        raise Refused(_("This order mounts no wheels there."))
    if not values.get("on_car"):
        for name in DryFit.ASKED:
            if not values.get(name):
                raise Refused(_("Look there, and choose one."), field=name)
    made = DryFit.objects.create(order=row, by=by, axle=axle, digest=digest, **values)
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Dry fit recorded"),
        detail=render(dry_fit_told(made), on_record()),
    )
    return made

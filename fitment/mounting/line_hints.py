"""What the lines of an order have to name: wheels, tyres, spacers, rings, nuts, and their hours."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from fitment.job.fitted import fitted_on
from fitment.models import OrderMounting
from shop.extensions.panels import LineHint
from shop.models import Planned

if TYPE_CHECKING:
    from fitment.models import OrderWheels
    from shop.models import WorkOrder

SIDES = 2
#: Hours to mount, balance and fit one wheel; common practice, no source.
WHEEL_HOURS = Decimal("0.25")


def wheel_hints(order: WorkOrder) -> list[LineHint]:
    """Chosen wheels, then tyres, both axles together, with the price of the catalogue; then what
    goes between them and the hub, and the hours."""
    rows = fitted_on(order)
    return [*_chosen(rows), *_spacers(rows), *_holding(order), *_hours(rows)]


def _chosen(rows: list[OrderWheels]) -> Iterator[LineHint]:
    wheels = Counter(row.wheel for row in rows)
    tyres = Counter(row.tyre for row in rows)
    for planned, chosen in ((Planned.WHEEL, wheels), (Planned.TYRE, tyres)):
        for one, axles in chosen.items():
            key = f"{planned}:{one.pk}"
            yield LineHint(str(one), axles * SIDES, one.price, key, planned)


def _spacers(rows: list[OrderWheels]) -> Iterator[LineHint]:
    for row in rows:
        if row.spacer_mm:
            size = f"{row.spacer_mm:g}"
            yield LineHint(
                _("Wheel spacer, {size} mm").format(size=size),
                SIDES,
                None,
                f"spacer:{row.axle}:{size}",
                Planned.SPACER,
                axle=row.axle,
            )


def _holding(order: WorkOrder) -> Iterator[LineHint]:
    """Rings and nuts or bolts of the order's own; the car's own are not sold."""
    bolts = order.vehicle.car_model.bolt_count if order.vehicle.car_model else None
    for row in OrderMounting.objects.filter(order=order):
        if row.ring_outer_mm is not None and row.ring_inner_mm is not None:
            size = f"{row.ring_outer_mm:g}/{row.ring_inner_mm:g}"
            yield LineHint(
                _("Centring ring, {size} mm").format(size=size),
                SIDES,
                None,
                f"ring:{row.axle}:{size}",
                Planned.RING,
                axle=row.axle,
            )
        said = [row.thread, row.get_seat_display() if row.seat else ""]
        if row.length_mm is not None:
            said.append(f"{row.length_mm:g} mm")
        if any(said):
            told = ", ".join(one for one in said if one)
            seat = f"{row.thread}:{row.seat}:{row.length_mm or 0:g}"
            yield LineHint(
                _("Wheel nut or bolt, {what}").format(what=told),
                SIDES * (bolts or 1),
                None,
                f"nut:{row.axle}:{seat}",
                Planned.NUT,
                axle=row.axle,
            )


def _hours(rows: list[OrderWheels]) -> Iterator[LineHint]:
    if rows:
        yield LineHint(
            _("Mount, balance and fit the wheels"),
            WHEEL_HOURS * SIDES * len(rows),
            None,
            "mounting",
            Planned.MOUNTING,
            kind="labour",
        )

"""Target sheets of the demonstration: the makers' figures, and the shop's own for every use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.utils import timezone

from alignment.geometry import units
from alignment.models import OrderTarget, Quantity, TargetSheet
from alignment.models.targets import TargetKind
from alignment.targets.services import Figure, target_save
from shop.models import Axle, CarModel, Use, User, WorkOrder

Shop = dict[str, Any]
FRONT, REAR = Axle.FRONT, Axle.REAR
CAMBER, CASTER, TOE, HEIGHT = (
    Quantity.CAMBER,
    Quantity.CASTER,
    Quantity.TOE,
    Quantity.RIDE_HEIGHT,
)
#: Typed figures of a sheet: (axle, quantity) to both sides, ± of a side, ± of both together.
Sheet = dict[tuple[str, str], tuple[str, str, str]]

COUPE_MAKER: Sheet = {
    (FRONT, CAMBER): ("-0°50'", "0°45'", "0°45'"),
    (FRONT, CASTER): ("5°15'", "0°45'", "0°30'"),
    (FRONT, TOE): ("0°03'", "0°05'", "0°10'"),
    (FRONT, HEIGHT): ("366", "10", ""),
    (REAR, CAMBER): ("-1°05'", "0°45'", "0°45'"),
    (REAR, TOE): ("0°07'", "0°05'", "0°10'"),
    (REAR, HEIGHT): ("362", "10", ""),
}
COUPE_STREET: Sheet = {
    (FRONT, CAMBER): ("-1.6", "0.15", "0.2"),
    (FRONT, CASTER): ("5.3", "0.3", "0.3"),
    (FRONT, TOE): ("0.05", "0.03", "0.04"),
    (REAR, CAMBER): ("-1.35", "0.15", "0.2"),
    (REAR, TOE): ("0.12", "0.03", "0.04"),
}
COUPE_STREET_AGAIN: Sheet = {**COUPE_STREET, (REAR, CAMBER): ("-1.25", "0.15", "0.2")}
COUPE_AUTOCROSS: Sheet = {
    (FRONT, CAMBER): ("-2.1", "0.1", "0.1"),
    (FRONT, CASTER): ("5.5", "0.3", "0.2"),
    (FRONT, TOE): ("-0.03", "0.02", "0.03"),
    (REAR, CAMBER): ("-1.6", "0.1", "0.1"),
    (REAR, TOE): ("0.10", "0.02", "0.03"),
}
COUPE_TRACK: Sheet = {
    (FRONT, CAMBER): ("-2.3", "0.1", "0.1"),
    (FRONT, TOE): ("0", "0.02", "0.03"),
    (REAR, CAMBER): ("-1.9", "0.1", "0.1"),
    (REAR, TOE): ("0.10", "0.02", "0.03"),
}
ESTATE_MAKER: Sheet = {
    (FRONT, CAMBER): ("-0°25'", "0°30'", "0°30'"),
    (FRONT, CASTER): ("6°10'", "0°30'", "0°30'"),
    (FRONT, TOE): ("0°05'", "0°04'", "0°08'"),
    (REAR, CAMBER): ("-1°20'", "0°30'", "0°30'"),
    (REAR, TOE): ("0°07'", "0°04'", "0°08'"),
}
ESTATE_STREET: Sheet = {
    (FRONT, CAMBER): ("-0.5", "0.2", "0.2"),
    (FRONT, TOE): ("0.08", "0.03", "0.04"),
    (REAR, CAMBER): ("-1.4", "0.2", "0.2"),
    (REAR, TOE): ("0.12", "0.03", "0.04"),
}
ESTATE_AUTOCROSS: Sheet = {
    (FRONT, CAMBER): ("-1.8", "0.1", "0.1"),
    (FRONT, TOE): ("0", "0.02", "0.03"),
    (REAR, CAMBER): ("-1.8", "0.1", "0.1"),
    (REAR, TOE): ("0.12", "0.02", "0.03"),
}
ESTATE_TRACK: Sheet = {
    **ESTATE_AUTOCROSS,
    (FRONT, CAMBER): ("-2.2", "0.1", "0.1"),
    (REAR, CAMBER): ("-2.0", "0.1", "0.1"),
}
COUPE_CAMBER_BY = {FRONT: "top_mount"}
ESTATE_CAMBER_BY = {REAR: "rod:upper rear"}


def build(stage: Shop) -> None:
    """Write the sheets, and note from which one the car that was handed over was set."""
    manager: User = stage["users"]["manager"]
    coupe, estate = stage["car_models"]["coupe"], stage["car_models"]["estate"]
    book = "workshop book of the maker, group 32"
    _sheet(coupe, manager, Use.STREET, COUPE_MAKER, book, kind=TargetKind.MAKER)
    _sheet(estate, manager, Use.STREET, ESTATE_MAKER, book, kind=TargetKind.MAKER)
    own = "settled by the shop over two seasons"
    street = _sheet(coupe, manager, Use.STREET, COUPE_STREET, own)
    for use, figures in ((Use.AUTOCROSS, COUPE_AUTOCROSS), (Use.TRACK, COUPE_TRACK)):
        _sheet(coupe, manager, use, figures, own, camber_method=COUPE_CAMBER_BY)
    for use, figures in (
        (Use.STREET, ESTATE_STREET),
        (Use.AUTOCROSS, ESTATE_AUTOCROSS),
        (Use.TRACK, ESTATE_TRACK),
    ):
        _sheet(estate, manager, use, figures, own, camber_method=ESTATE_CAMBER_BY)
    _taken(stage["orders"]["handed_over"], street, stage["users"]["writer"])
    _sheet(
        coupe,
        manager,
        Use.STREET,
        COUPE_STREET_AGAIN,
        "less camber behind: inner edges wore early on two cars",
    )


def _sheet(
    car_model: CarModel,
    by: User,
    use: str,
    typed: Sheet,
    source: str,
    *,
    kind: str = TargetKind.SHOP,
    camber_method: Mapping[Axle, str] | None = None,
) -> TargetSheet:
    return target_save(
        car_model=car_model,
        use=use,
        kind=kind,
        source=source,
        dated=timezone.localdate() - dt.timedelta(days=200),
        camber_by={str(axle): by for axle, by in (camber_method or {}).items()},
        figures=[_figure(axle, quantity, *texts) for (axle, quantity), texts in typed.items()],
        by=by,
    )


def _figure(axle: str, quantity: str, both: str, side: str, pair: str) -> Figure:
    value = _number(quantity, both)
    tolerance = _number(quantity, side)
    typed = {"left": both, "left_tolerance": side}
    if pair:
        typed["cross_tolerance"] = pair
    return Figure(
        axle=str(axle),
        quantity=str(quantity.value) if isinstance(quantity, Quantity) else quantity,
        left=value,
        right=value,
        left_tolerance=tolerance,
        right_tolerance=tolerance,
        cross=2 * value if quantity == TOE else 0.0,
        cross_tolerance=_number(quantity, pair) if pair else None,
        typed=typed,
    )


def _number(quantity: str, text: str) -> float:
    if quantity == HEIGHT:
        return units.parse_length(text).value
    return units.parse_angle(text).value


def _taken(order: WorkOrder, sheet: TargetSheet, by: User) -> None:
    at = order.created_at + dt.timedelta(hours=1)
    OrderTarget.objects.create(order=order, sheet=sheet, taken_at=at, taken_by=by)

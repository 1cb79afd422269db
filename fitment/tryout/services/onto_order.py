"""A set-up taken onto an order: its wheels and its planned settings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from django.db import transaction
from django.utils.translation import gettext_lazy

from alignment.geometry import units
from alignment.models import PlannedSetting
from alignment.plans.services.plans import AxlePlan, plan_save
from fitment.models import OrderWheels, TyreModel, WheelModel
from fitment.mounting.services.wheels import order_wheels_choose
from fitment.tryout.data import SetUp
from shop.languages import speech_of_shop
from shop.languages.formatting import capital
from shop.orders.services.log import log_write

if TYPE_CHECKING:
    from shop.models import User, WorkOrder

Chosen = TypeVar("Chosen", WheelModel, TyreModel)
#: What people type of a wheel or tyre, by the columns of both.
TYPED = frozenset(
    (
        *("name", "diameter_in", "width_in", "offset_mm", "bolt_count", "bolt_circle_mm"),
        *("centre_bore_mm", "size", "load_index", "speed_symbol", "snow"),
    )
)


@transaction.atomic
def tryout_put(*, order: WorkOrder, set_up: SetUp, by: User) -> None:
    """Make a set-up the wheels and planned settings of an order's axle.

    What was typed becomes a wheel or tyre of this order alone, not of the catalogue. Raises Refused
    where the order is closed.
    """
    row = OrderWheels(
        axle=set_up.axle,
        wheel=_own(set_up.wheel, order),
        tyre=_own(set_up.worn, order),
        spacer_mm=set_up.spacer_mm,
        **set_up.state,
    )
    order_wheels_choose(order=order, choices={set_up.axle: row}, by=by)
    before = PlannedSetting.objects.filter(order=order, axle=set_up.axle).first()
    axles = {set_up.axle: _plan(set_up, before)}
    plan_save(
        order=order,
        by=by,
        axles=axles,
        why=speech_of_shop().say("Tried and chosen in the try-out."),
    )
    log_write(
        order=order,
        by=by,
        what=gettext_lazy("Set-up taken from the try-out"),
        detail=f"{capital(set_up.axle)}: {row}.",
    )


def _own(row: Chosen, order: WorkOrder) -> Chosen:
    """A row of the catalogue as it is; one that was typed kept for the order, and kept once."""
    if row.pk is not None:
        return row
    said = {
        field.attname: getattr(row, field.attname)
        for field in row._meta.concrete_fields
        if field.attname in TYPED
    }
    kept: Chosen | None = type(row).every.filter(typed_for=order, **said).first()
    if kept is not None:
        return kept
    row.typed_for = order
    row.save()
    return row


def _plan(set_up: SetUp, before: PlannedSetting | None) -> AxlePlan:
    """The axle's plan: what the try-out does not ask for stays as it was."""
    values: dict[str, Any] = {}
    if before is not None:
        for name in ("toe_unit", "toe_diameter_mm", "caster_deg", "bushes", "notes"):
            values[name] = getattr(before, name)
        for name in ("camber_tolerance_deg", "toe_tolerance_deg", "caster_tolerance_deg"):
            values[name] = getattr(before, name)
    typed = {
        key: text
        for key, text in (before.typed if before else {}).items()
        if key not in ("camber", "toe", "ride_height_mm", "bump_stop_mm")
    }
    figures = {
        "camber": (set_up.camber_deg, "°"),
        "toe": (set_up.toe_deg, "°"),
        "ride_height_mm": (set_up.ride_height_mm, ""),
        "bump_stop_mm": (set_up.bump_stop_mm, ""),
    }
    for key, (value, unit) in figures.items():
        if value is not None:
            typed[key] = f"{units.format_number(value, 3)}{unit}"
    return AxlePlan(
        toe_deg=set_up.toe_deg,
        camber_deg=set_up.camber_deg,
        camber_by=set_up.camber_by if set_up.camber_deg is not None else "",
        adjusters=set_up.stated(),
        rolled_lips=set_up.rolled_lips,
        typed=typed,
        **values,
    )

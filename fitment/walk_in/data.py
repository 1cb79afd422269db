"""What a walk-in asks for, as the form hands it to the service."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from fitment.engine.solid.typed import TypedTyre, TypedWheel

if TYPE_CHECKING:
    from alignment.plans.services.plans import AxlePlan
    from fitment.models import TyreModel, WheelModel
    from shop.models import CarModel, Customer, Vehicle


@dataclass(frozen=True)
class AxleAsked:
    """What goes on one axle: rows of the catalogue, or what was typed; and how it is set."""

    wheel: WheelModel | TypedWheel
    tyre: TyreModel | TypedTyre
    spacer_mm: float
    plan: AxlePlan


@dataclass(frozen=True)
class WalkIn:
    """A walk-in. Without ``customer`` or ``vehicle`` on record, new ones are made of the values
    in ``person`` and ``car``, fields of their models."""

    customer: Customer | None
    vehicle: Vehicle | None
    car_model: CarModel | None
    person: Mapping[str, Any]
    car: Mapping[str, Any]
    order: Mapping[str, Any]
    axles: Mapping[str, AxleAsked] = field(default_factory=dict)

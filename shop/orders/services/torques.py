"""Which fasteners of an order have to be signed for, and which are."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from django.utils.translation import gettext_noop

if TYPE_CHECKING:
    from shop.models import TorqueSign, WorkOrder

WHEEL_NUTS = gettext_noop("Wheel nuts or bolts")


@dataclass(frozen=True)
class TorqueDue:
    """A fastener (group), its figure in N·m, and the latest signature for it."""

    what: str
    torque_nm: Decimal | None
    sign: TorqueSign | None = None

    @property
    def signed(self) -> bool:
        return self.sign is not None


def torques_due(order: WorkOrder) -> list[TorqueDue]:
    """One entry for each part line whose part has a torque, and one for the wheel nuts.

    The wheel nuts are due whenever the job moves a wheel; without a figure on the car model the
    technician enters the vehicle maker's.
    """
    signs = {sign.what: sign for sign in order.torques.select_related("by")}
    due: dict[str, Decimal | None] = {}
    for line in order.lines.select_related("part"):
        if line.part is not None and line.part.torque_nm is not None:
            due.setdefault(line.part.name, line.part.torque_nm)
    if order.needs_check:
        car_model = order.vehicle.car_model
        due[WHEEL_NUTS] = car_model.wheel_nut_torque_nm if car_model else None
    return [TorqueDue(what, torque, signs.get(what)) for what, torque in due.items()]

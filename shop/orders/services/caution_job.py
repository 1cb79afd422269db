"""What cautions look at: what a job plans and fits, as codes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shop.models import LineWork, OrderKind, PartKind
from shop.orders.services.rows import installed_of, lines_of

if TYPE_CHECKING:
    from shop.models import WorkOrder

#: What camber is set with, as a plan names it, and the adjuster that it moves.
METHOD_ADJUSTERS = {
    "top_mount": "top_mount_in_mm",
    "lower_arm": "lower_arm_out_mm",
    "upper_arm": "upper_arm_in_mm",
    "knuckle": "knuckle_camber_deg",
}
RUNNING_GEAR = frozenset(
    {
        PartKind.TOP_MOUNT,
        PartKind.SHIM,
        PartKind.ARM,
        PartKind.TOE_LINK,
        PartKind.COILOVER,
        PartKind.DAMPER,
        PartKind.SPRING,
    }
)
#: Parts for which a spring has to come out, or a strut apart.
SPRINGS = frozenset({PartKind.TOP_MOUNT, PartKind.COILOVER, PartKind.DAMPER, PartKind.SPRING})
HEIGHT = frozenset({PartKind.COILOVER, PartKind.SPRING})
WHEELS = frozenset({PartKind.WHEEL, PartKind.TYRE, PartKind.SPACER})
RUBBER = frozenset({PartKind.ARM, PartKind.COILOVER, PartKind.DAMPER, PartKind.TOE_LINK})
JOINTS = frozenset({PartKind.ARM, PartKind.TOE_LINK})


@dataclass(frozen=True)
class Job:
    """The kinds of part planned or fitted, and what the job moves.

    ``adjusters`` are those that a plan uses or a part sets, ``work`` what lines of labour are
    marked with (``LineWork``), ``aligns`` whether angles are set.
    """

    kinds: frozenset[str]
    moves_wheel: bool
    has_assistance: bool
    cuts_body: bool = False
    adjusters: frozenset[str] = frozenset()
    work: frozenset[str] = frozenset()
    aligns: bool = False

    def has(self, kinds: frozenset[str]) -> bool:
        return bool(self.kinds & kinds)

    @property
    def opens_strut(self) -> bool:
        return self.has(SPRINGS) or LineWork.SPRINGS in self.work

    @property
    def parts_joints(self) -> bool:
        """Whether ball joints or links are parted."""
        return self.has(JOINTS) or LineWork.JOINTS in self.work

    @property
    def tightens_bushes(self) -> bool:
        """Whether rubber bushes are clamped anew."""
        return self.has(RUBBER) or bool(self.work & {LineWork.SPRINGS, LineWork.JOINTS})

    @property
    def opens_brakes(self) -> bool:
        return PartKind.BRAKE in self.kinds or LineWork.BRAKES in self.work

    @property
    def shims_arm(self) -> bool:
        """Whether a lower arm is set by shims or an eccentric."""
        return PartKind.SHIM in self.kinds or "lower_arm_out_mm" in self.adjusters

    @property
    def sets_toe(self) -> bool:
        return self.aligns or PartKind.TOE_LINK in self.kinds or "toe_link_mm" in self.adjusters

    @property
    def changes_height(self) -> bool:
        return self.has(HEIGHT) or "ride_height_mm" in self.adjusters

    @property
    def takes_wheels_off(self) -> bool:
        """Whether wheel nuts or bolts are undone: for all work under a car but the angles."""
        return (
            self.moves_wheel
            or self.has(RUNNING_GEAR | WHEELS)
            or self.opens_brakes
            or bool(self.work)
        )


def job_of(order: WorkOrder) -> Job:
    """What an order plans and fits: lines, installed parts, wheels, settings, the vehicle."""
    lines = lines_of(order)
    parts = [line.part for line in lines if line.part]
    parts += [fitted.part for fitted in installed_of(order) if fitted.part]
    plans = list(order.planned_settings.values("camber_by", "adjusters", "rolled_lips"))
    work = frozenset(line.work for line in lines if line.work)
    car_model = order.vehicle.car_model
    return Job(
        kinds=frozenset(part.kind for part in parts) | _mounted(order),
        moves_wheel=order.needs_check,
        has_assistance=bool(car_model and car_model.has_assistance_sensors),
        cuts_body=LineWork.LIPS in work or any(plan["rolled_lips"] for plan in plans),
        adjusters=frozenset(part.adjuster for part in parts if part.adjuster) | _planned(plans),
        work=work,
        aligns=bool(plans) or order.kind == OrderKind.ALIGNMENT,
    )


def _mounted(order: WorkOrder) -> frozenset[str]:
    """Kinds of part that the order's wheels bring without a line."""
    spacers = order.order_wheels.filter(spacer_mm__gt=0).exists()
    mounted = {PartKind.WHEEL, PartKind.TYRE} if order.order_wheels.exists() else set()
    return frozenset(mounted | ({PartKind.SPACER} if spacers else set()))


def _planned(plans: Iterable[Mapping[str, Any]]) -> frozenset[str]:
    """Adjusters that the plan uses."""
    used: set[str] = set()
    for plan in plans:
        used.add(METHOD_ADJUSTERS.get(str(plan["camber_by"]), ""))
        adjusters = plan["adjusters"] if isinstance(plan["adjusters"], dict) else {}
        used |= {name for name, value in adjusters.items() if value}
    return frozenset(used - {""})

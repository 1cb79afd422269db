"""Points at which the app above plugs into adjustments at the rack.

Without a plug, adjustments are learned from visits, and clearance is not stated.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Protocol

from alignment.adjustments.data import ClearanceAfter, Geometry, Stand
from shop.extensions.registry import Slot

if TYPE_CHECKING:
    from shop.models import WorkOrder


class ClearanceAsker(Protocol):
    """The clearance of a corner after adjustments; None where it is not known."""

    def __call__(self, corner: str, stand: Stand, /) -> ClearanceAfter | None: ...


class CornerMotion(Protocol):
    """By corner of an order's car, what is known of its joints."""

    def __call__(self, order: WorkOrder, /) -> Mapping[str, Geometry]: ...


class AdjustmentClearance(Protocol):
    """Gives the function that answers for the clearance of an order's corners."""

    def __call__(self, order: WorkOrder, /) -> ClearanceAsker: ...


CORNER_MOTION: Slot[CornerMotion] = Slot("corner motion", CornerMotion)
ADJUSTMENT_CLEARANCE: Slot[AdjustmentClearance] = Slot("adjustment clearance", AdjustmentClearance)


def geometry_of(order: WorkOrder) -> Mapping[str, Geometry]:
    """By corner, what is known of its joints; empty where nothing is plugged in."""
    motion = CORNER_MOTION.plug
    return motion(order) if motion else {}


def clearance_after(order: WorkOrder) -> ClearanceAsker:
    """The function that answers for the clearance after adjustments at a corner."""
    clearance = ADJUSTMENT_CLEARANCE.plug
    return clearance(order) if clearance else _unknown


def _unknown(corner: str, stand: Stand, /) -> None:
    """The clearance where no plug gives it: not known."""

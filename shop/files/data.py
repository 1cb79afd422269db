"""What a file belongs to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shop.models import CarModel, Vehicle, WorkOrder


@dataclass(frozen=True)
class Owner:
    """An order, a vehicle, or a corner of a car model: one of the three."""

    order: WorkOrder | None = None
    vehicle: Vehicle | None = None
    car_model: CarModel | None = None
    corner: str = ""


@dataclass(frozen=True)
class Incoming:
    """A file that was looked at: its bytes as they are kept, and its type."""

    name: str
    extension: str
    content_type: str
    content: bytes
    thumb: bytes = b""
    width_px: int | None = None
    height_px: int | None = None

"""What the alignment pages ask of the app above, by dotted paths in the settings.

``CORNER_MOTION`` names ``f(order) -> {corner: Geometry}``: the corners whose joints are known.
``MOVE_ROOM`` names ``f(order)``, which answers ``ask(corner, stand) -> RoomAfter | None``: the
room that is left once a corner has been moved. Without them moves come from what visits teach,
and room is not told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils.module_loading import import_string

from alignment.geometry.model import Suspension
from alignment.geometry.motion import Motion

if TYPE_CHECKING:
    from shop.models import WorkOrder


@dataclass(frozen=True)
class Geometry:
    """A corner's motion as surveyed; the reach of ``suspension`` is that of the parts on the
    car. ``source`` says in words where it comes from."""

    motion: Motion
    suspension: Suspension
    source: str = ""


@dataclass(frozen=True)
class Stand:
    """How a corner stands after moves: adjusters (mm, ° at the knuckle) and what the rack should
    read. ``camber_by`` is the means to which the rack's own camber is put down; may be empty."""

    adjusters: Mapping[str, float]
    camber_deg: float | None
    toe_deg: float
    camber_by: str = ""


@dataclass(frozen=True)
class ClearanceAfter:
    """The tightest place after moves: its clearance in mm, its verdict and a sentence."""

    clearance_mm: float
    verdict: str
    sentence: str


def geometry_of(order: WorkOrder) -> Mapping[str, Geometry]:
    """By corner, what is known of its joints; empty where nothing is plugged in."""
    path = getattr(settings, "CORNER_MOTION", "")
    found: Mapping[str, Geometry] = import_string(path)(order) if path else {}
    return found


def clearance_after(order: WorkOrder) -> Callable[[str, Stand], ClearanceAfter | None]:
    """What answers the room after moves at a corner; None where nobody can tell."""
    path = getattr(settings, "ADJUSTMENT_CLEARANCE", "")
    if not path:
        return lambda corner, stand: None
    found: Callable[[str, Stand], ClearanceAfter | None] = import_string(path)(order)
    return found

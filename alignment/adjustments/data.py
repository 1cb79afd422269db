"""What adjustments at the rack ask of the app above, and its answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from alignment.geometry.model import Suspension
from alignment.geometry.motion import Motion
from common.verdicts import Verdict


@dataclass(frozen=True)
class Geometry:
    """A corner's motion as surveyed; the reach of ``suspension`` is that of the parts on the
    car. ``source`` says in words where it comes from."""

    motion: Motion
    suspension: Suspension
    source: str = ""


@dataclass(frozen=True)
class Stand:
    """A corner after adjustments: adjusters (mm, ° at the knuckle) and predicted readings.
    ``camber_by`` is the camber method to which the rack's own camber is ascribed; may be empty."""

    adjusters: Mapping[str, float]
    camber_deg: float | None
    toe_deg: float
    camber_by: str = ""


@dataclass(frozen=True)
class ClearanceAfter:
    """The tightest spot after adjustments: its clearance in mm, its verdict and a sentence."""

    clearance_mm: float
    verdict: Verdict
    sentence: str

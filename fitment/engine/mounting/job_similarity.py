"""How alike two jobs on one car model are: the nearest earlier job by size and setting.

A distance without a unit. Each difference is divided by what makes about five millimetres at a
lip, so that one unit is a difference that a shop would call noticeable. The scales are this
project's judgement.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

#: Difference that counts as one, by what differs.
SCALE: dict[str, float] = {
    "width_mm": 10.0,
    "diameter_mm": 10.0,
    "centre_mm": 5.0,
    "camber_deg": 1.0,
    "height_mm": 10.0,
}
#: What an unknown setting counts for.
UNKNOWN = 1.0


@dataclass(frozen=True)
class Fit:
    """One axle of a job: tyre size on the wheel, the wheel's centre plane, and its setting."""

    width_mm: float
    diameter_mm: float
    centre_mm: float
    camber_deg: float | None = None
    camber_by: str = ""
    height_mm: float = 0.0


def distance(one: Fit, other: Fit) -> float:
    """Distance of two fits, 0 for the same; camber set another way counts for one."""
    squares = 0.0
    for name, scale in SCALE.items():
        a, b = getattr(one, name), getattr(other, name)
        if a is None and b is None:
            continue
        off = UNKNOWN if a is None or b is None else (a - b) / scale
        squares += off * off
    if one.camber_by != other.camber_by:
        squares += UNKNOWN
    return math.sqrt(squares)

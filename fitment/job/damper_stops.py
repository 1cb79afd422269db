"""Stops of the wheel's travel with the damper that will be on the car.

A survey's limits belong to the damper that was on the car when it was measured. Another damper
has stops of its own; one whose body is screwed for height takes them along. Millimetres.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from shop.models import HeightBy

if TYPE_CHECKING:
    from shop.models import Part


def why_unknown(damper: Part, ride_height_mm: float) -> str:
    """Why the bump stop is not known with this damper; empty where it is."""
    if damper.bump_mm is None:
        return "how far the wheel goes into bump with it is not known"
    if ride_height_mm and not damper.height_by:
        return "whether its spring seat or its body sets the height is not known"
    return ""


def limits_with(
    limits: Mapping[str, Any], damper: Part | None, ride_height_mm: float
) -> dict[str, Any]:
    """A survey's ``limits`` with the stops of a damper that was fitted since.

    ``ride_height_mm`` is the planned height against the survey, lower negative. What is not
    known of bump stays out, so that the corner is unmeasured; unknown droop stays the survey's.
    """
    stops = dict(limits)
    if damper is None:
        return stops
    stops.pop("bump_mm", None)
    along = ride_height_mm if damper.height_by == HeightBy.BODY else 0.0
    if damper.bump_mm is not None and not why_unknown(damper, ride_height_mm):
        stops["bump_mm"] = damper.bump_mm - along
    if damper.droop_mm is not None:
        stops["droop_mm"] = damper.droop_mm + along
    return stops

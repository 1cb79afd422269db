"""Which spots of one place are joined into its edge: those that were read in one pose.

A hub in another pose is known less well, and at full lock the tightest spots of a liner lie far
apart with nothing read between. So an edge takes the spots of one pose, straight ahead, and every
other spot stands for itself in a feature beside it.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitment.engine.model import BODY, EDGE
from fitment.engine.survey.reading_sheet import Point
from fitment.engine.survey.readings import LOCKS, Place

#: What the feature of spots that are not joined is called, after its place.
SINGLE = ", single spots"


def single_spots_of(place: str) -> str:
    """The name of the feature that holds the spots of a place which are not joined."""
    return place if place.endswith(SINGLE) else f"{place}{SINGLE}"


def is_single(place: str) -> bool:
    return place.endswith(SINGLE)


def parted(place: Place, points: Sequence[Point]) -> tuple[list[Point], list[Point]]:
    """Points that may be joined, and those that stand for themselves; both in their order.

    Only edges of the body are joined. Of several poses straight ahead, the one with the most
    points makes the edge, of two alike the one that was read first.
    """
    if place.carried_by != BODY or place.shape != EDGE:
        return list(points), []
    counts: dict[str, int] = {}
    for point in points:
        if point.reading.pose not in LOCKS:
            counts[point.reading.pose] = counts.get(point.reading.pose, 0) + 1
    of_edge = max(counts, key=lambda pose: counts[pose], default="")
    together = [point for point in points if point.reading.pose == of_edge]
    return together, [point for point in points if point.reading.pose != of_edge]

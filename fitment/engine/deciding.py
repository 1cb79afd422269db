"""What decides an answer: its worst corner, the spot that decides there, and what would help most.

Sentences about it are made in ``fitment.text``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from common.verdicts import VERDICTS
from fitment.engine.model import FROM_CAR_TO_CAR, LEARNED, Answer, CornerAnswer, SpotAnswer

#: The reading that helps against the difference from car to car, and against a survey's own error.
GAP_ON_THIS_CAR = "gap on this car"
#: What is known of other cars alone.
OF_OTHER_CARS = (FROM_CAR_TO_CAR, LEARNED)


@dataclass(frozen=True)
class Deciding:
    """The corner that an answer is decided at, and others that come to the same verdict."""

    corner: str
    others: tuple[str, ...]


def deciding_corner(answer: Answer) -> Deciding | None:
    """The corner with the answer's verdict and the least clearance; None without corners."""
    same = [name for name, corner in answer.corners.items() if corner.verdict == answer.verdict]
    if not answer.corners:
        return None
    first = min(same or answer.corners, key=lambda name: _least(answer.corners[name]))
    return Deciding(first, tuple(name for name in same if name != first))


def worst_spot(corner: CornerAnswer) -> SpotAnswer | None:
    """The place that decides a corner: the worst verdict, then the least room."""
    if not corner.places:
        return None
    return min(corner.places, key=lambda place: (VERDICTS.index(place.verdict), place.order_mm))


def best_reading(place: SpotAnswer) -> str:
    """The source whose reading would cut the uncertainty of a spot most."""
    largest = max(place.uncertainty, key=lambda share: share.mm, default=None)
    if largest is None or largest.source in OF_OTHER_CARS:
        return GAP_ON_THIS_CAR
    return largest.source


def _least(corner: CornerAnswer) -> float:
    worst = worst_spot(corner)
    return math.inf if worst is None else worst.order_mm

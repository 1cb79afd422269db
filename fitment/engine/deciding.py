"""What decides an answer: its worst corner, the spot that decides there, and what would help most.

Sentences about it are made in ``fitment.text``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from common.verdicts import VERDICTS
from fitment.engine.model import Answer, CornerAnswer, SpotAnswer

#: The reading that helps where the difference from car to car is what is left of a doubt.
GAP_ON_THIS_CAR = "gap on this car"


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
    return min(corner.places, key=lambda place: (VERDICTS.index(place.verdict), place.clearance_mm))


def best_reading(place: SpotAnswer) -> str:
    """The source of doubt whose reading would cut the doubt of a place most."""
    known = math.hypot(*(share.mm for share in place.uncertainty))
    if not place.uncertainty or known < place.sigma_mm - 1e-6:
        return GAP_ON_THIS_CAR
    return max(place.uncertainty, key=lambda share: share.mm).source


def _least(corner: CornerAnswer) -> float:
    worst = worst_spot(corner)
    gap = math.inf if worst is None else worst.clearance_mm
    return -math.inf if math.isnan(gap) else gap

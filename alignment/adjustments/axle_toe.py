"""Toe of one wheel where only the total was read, and the line from which front toe is counted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from alignment.geometry import readings
from alignment.geometry.adjustment_problem import QUANTITIES, TOE, Adjustments
from alignment.models import Quantity, RackVisit, ToeReference
from common.corners import AXLE_CORNERS, axle_of
from shop.models import Axle, Corner

TOTAL = str(Quantity.TOE_TOTAL.value)


@dataclass(frozen=True)
class CornerRead:
    """Toe, camber and caster of one corner. ``is_split``: only the axle's total toe was read, and
    the toe here is half of it."""

    values: Mapping[str, float]
    is_split: bool = False


def read_at(visit: RackVisit, corner: str) -> CornerRead:
    """What was read at one corner; toe that was not read there follows from the total."""
    values = visit.values()
    named = ((name, values.get((corner, name))) for name in QUANTITIES)
    found = {name: value for name, value in named if value is not None}
    left, right = AXLE_CORNERS[axle_of(corner)]
    total = values.get((left, TOTAL))
    if TOE in found or total is None:
        return CornerRead(found)
    other = values.get((right if corner == left else left, TOE))
    if other is not None:
        return CornerRead({**found, TOE: total - other})
    return CornerRead({**found, TOE: total / 2}, is_split=True)


def thrust_of(visit: RackVisit) -> float | None:
    """The thrust angle; None where it was not read wheel by wheel."""
    both = [read_at(visit, corner) for corner in AXLE_CORNERS[Axle.REAR]]
    if any(one.is_split or TOE not in one.values for one in both):
        return None
    return readings.thrust_angle(both[0].values[TOE], both[1].values[TOE])


def shift_at(corner: str, visit: RackVisit, thrust_shift: float) -> float:
    """What a line that turned adds to the reading of a front wheel that is not touched.

    Halves of a total do not change with the line.
    """
    if corner not in AXLE_CORNERS[Axle.FRONT] or visit.toe_reference != ToeReference.THRUST:
        return 0.0
    if read_at(visit, corner).is_split:
        return 0.0
    return -thrust_shift if corner == Corner.LF else thrust_shift


def shifted(answer: Adjustments, shift: float) -> Adjustments:
    """Predicted toe as the rack will count it."""
    if not shift:
        return answer
    options = tuple(
        replace(one, predicted={q: v + shift * (q == TOE) for q, v in one.predicted.items()})
        for one in answer.options
    )
    missing = tuple(
        replace(one, wanted_deg=one.wanted_deg + shift, best_deg=one.best_deg + shift)
        if one.quantity == TOE
        else one
        for one in answer.missing
    )
    return replace(answer, options=options, missing=missing)

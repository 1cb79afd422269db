"""What a car's axles come to after the adjustments of all corners: totals and the thrust line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from alignment.adjustments.services import CornerAdjustments
from alignment.geometry import readings
from alignment.geometry.adjustment_problem import TOE
from common.corners import AXLE_CORNERS
from shop.models import Axle


@dataclass(frozen=True)
class AfterRow:
    """One quantity of an axle or the car as read, after the adjustments, and its target; °."""

    name: str
    read: float
    after: float
    target: float | None = None


def car_after(corners: Mapping[str, CornerAdjustments]) -> list[AfterRow]:
    """Total toe of each axle and the thrust angle, with what stays as it stands.

    An axle of which a wheel's toe was not read is left out.
    """
    rows = []
    for axle, words in ((Axle.FRONT, _("Total toe, front")), (Axle.REAR, _("Total toe, rear"))):
        pair = _pair(corners, axle)
        if pair is None:
            continue
        read, after, wanted = pair
        target = None if wanted is None else readings.total_toe(*wanted)
        rows.append(AfterRow(words, readings.total_toe(*read), readings.total_toe(*after), target))
        if axle == Axle.REAR and not any(corners[one].toe_is_split for one in AXLE_CORNERS[axle]):
            line = None if wanted is None else readings.thrust_angle(*wanted)
            thrust = readings.thrust_angle(*read), readings.thrust_angle(*after)
            rows.append(AfterRow(_("Thrust angle"), *thrust, line))
    return rows


_Pair = tuple[float, float]


def _pair(
    corners: Mapping[str, CornerAdjustments], axle: str
) -> tuple[_Pair, _Pair, _Pair | None] | None:
    """Toe left and right as read, after, and wanted."""
    both = [corners.get(corner) for corner in AXLE_CORNERS[axle]]
    found = [(one, one.read.get(TOE), one.toe_after) for one in both if one is not None]
    known = [(one, read, after) for one, read, after in found if None not in (read, after)]
    if len(known) < 2:
        return None
    (left, left_read, left_after), (right, right_read, right_after) = known
    wanted = [one.wanted[TOE].deg for one in (left, right) if TOE in one.wanted]
    return (
        (float(left_read or 0.0), float(right_read or 0.0)),
        (float(left_after or 0.0), float(right_after or 0.0)),
        (wanted[0], wanted[1]) if len(wanted) == 2 else None,
    )

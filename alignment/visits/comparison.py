"""Readings of an order compared: before, after, target and difference.

One comparison serves the page, the order's panel and the printed sheet. Angles are degrees,
heights and wheelbases millimetres, signs as in ``alignment.models``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from alignment.geometry import readings
from alignment.models import (
    LENGTHS,
    AdjusterPosition,
    PlannedSetting,
    Quantity,
    RackVisit,
    Stage,
    TargetSheet,
)
from alignment.plans.services.order_targets import Aim, Aims, aims_of
from alignment.visits.data import (
    CROSS,
    LEFT,
    RIGHT,
    SETBACK,
    THRUST,
    TOTAL,
    AxleTable,
    Comparison,
    Group,
    Off,
    Row,
)
from alignment.visits.services.derived_quantities import limits_of, total_toe_of
from common.corners import AXLE_CORNERS
from shop.models import Axle, Corner

#: Quantities of an axle in the order of the table.
ROWS: dict[str, tuple[str, ...]] = {
    Axle.FRONT: (
        Quantity.CAMBER,
        Quantity.CASTER,
        Quantity.TOE,
        Quantity.SAI,
        Quantity.RIDE_HEIGHT,
        Quantity.WHEELBASE,
    ),
    Axle.REAR: (Quantity.CAMBER, Quantity.TOE, Quantity.RIDE_HEIGHT),
}


def compare(
    visits: Sequence[RackVisit],
    plans: Iterable[PlannedSetting],
    sheet: TargetSheet | None = None,
) -> Comparison:
    """Put visits (in the order of time), plans and the target sheet beside each other."""
    before = next((v for v in visits if v.stage == Stage.BEFORE), None)
    after = next(
        (v for v in reversed(visits) if v.stage == Stage.AFTER),
        next((v for v in reversed(visits) if v.stage == Stage.BETWEEN), None),
    )
    aims = aims_of(plans, sheet)
    tables = tuple(_axle_table(axle, before, after, aims) for axle in (Axle.FRONT, Axle.REAR))
    return Comparison(before, after, tuple(table for table in tables if table.groups))


def one_visit(
    visit: RackVisit, plans: Iterable[PlannedSetting], sheet: TargetSheet | None = None
) -> Comparison:
    """A single visit of any stage against the plan and the target sheet."""
    aims = aims_of(plans, sheet)
    tables = tuple(_axle_table(axle, None, visit, aims) for axle in (Axle.FRONT, Axle.REAR))
    return Comparison(None, visit, tuple(table for table in tables if table.groups))


Values = dict[tuple[str, str], float]
Pairwise = Callable[[float, float], float]


def _axle_table(
    axle: str, before: RackVisit | None, after: RackVisit | None, aims: Aims
) -> AxleTable:
    old: Values = before.values() if before else {}
    new: Values = after.values() if after else {}
    latest = after or before
    groups = []
    for quantity in ROWS[axle]:
        limits = [limits_of(latest, c, quantity) if latest else 0.0 for c in AXLE_CORNERS[axle]]
        rows = tuple(
            _changed(row, quantity, axle, before, after)
            for row in _rows(axle, quantity, (old, new), aims, limits, judged=1 if after else 0)
            if not row.is_empty
        )
        if rows:
            unit = "mm" if quantity in LENGTHS else "°"
            groups.append(Group(quantity, str(Quantity(quantity).label), unit, rows))
    return AxleTable(axle, str(Axle(axle).label), tuple(groups))


def _rows(
    axle: str,
    quantity: str,
    visits: tuple[Values, Values],
    aims: Aims,
    limits: Sequence[float],
    *,
    judged: int,
) -> Iterator[Row]:
    """Lines of one quantity; ``judged`` says which visit is compared with the target, ``limits``
    what its readings left and right are good for."""
    left, right = AXLE_CORNERS[axle]
    aim = aims.get((axle, quantity))
    places = 0 if quantity in LENGTHS else 2
    sides: tuple[tuple[str, str, float | None, float], ...] = (
        (LEFT, left, aim.left if aim else None, aim.left_tolerance if aim else 0.0),
        (RIGHT, right, aim.right if aim else None, aim.right_tolerance if aim else 0.0),
    )
    for (side, corner, target, tolerance), limit in zip(sides, limits, strict=True):
        values = [numbers.get((corner, quantity)) for numbers in visits]
        off = _off(values[judged], target, tolerance, limit, quantity)
        yield Row(side, values[0], values[1], target, off, places)
    both = math.hypot(*limits)
    pairs = [(numbers.get((left, quantity)), numbers.get((right, quantity))) for numbers in visits]
    if quantity in (Quantity.CAMBER, Quantity.CASTER):
        yield _judged(_pair(CROSS, pairs, readings.cross), aim, both, judged)
    elif quantity == Quantity.TOE:
        totals = [total_toe_of(numbers, axle) for numbers in visits]
        yield _judged(Row(TOTAL, totals[0], totals[1], None, None, 2), aim, both, judged)
        if axle == Axle.REAR:
            yield _pair(THRUST, pairs, readings.thrust_angle)
    elif quantity == Quantity.WHEELBASE:
        yield _pair(SETBACK, pairs, readings.cross, places=0)


def _changed(
    row: Row, quantity: str, axle: str, before: RackVisit | None, after: RackVisit | None
) -> Row:
    """With what changed from before to after; each visit has its own rack and its own sweeps."""
    if quantity in LENGTHS or before is None or after is None:
        return row
    if row.before is None or row.after is None:
        return row
    corners = AXLE_CORNERS[axle]
    used = corners if row.side not in (LEFT, RIGHT) else (corners[row.side == RIGHT],)
    share = 0.5 if row.side == THRUST else 1.0
    limits = [
        share * math.hypot(*(limits_of(visit, c, quantity) for c in used))
        for visit in (before, after)
    ]
    return replace(row, change=readings.change_between(row.before, row.after, *limits))


def _off(
    value: float | None,
    target: float | None,
    tolerance: float,
    accuracy: float,
    quantity: str,
) -> Off | None:
    if value is None or target is None:
        return None
    if quantity in LENGTHS:
        beyond = readings.beyond_tolerance(value - target, tolerance)
        return Off(value - target, tolerance, beyond, True, "mm")
    difference = readings.off_target(value, target, accuracy)
    beyond = readings.beyond_tolerance(difference.deg, tolerance)
    return Off(difference.deg, tolerance, beyond, abs(beyond) > difference.expanded_deg)


Pairs = list[tuple[float | None, float | None]]


def _pair(side: str, pairs: Pairs, both: Pairwise, *, places: int = 2) -> Row:
    """A line worked out from left and right; empty where one of them was not read."""
    values = [None if left is None or right is None else both(left, right) for left, right in pairs]
    return Row(side, values[0], values[1], None, None, places)


def _judged(row: Row, aim: Aim | None, accuracy: float, judged: int) -> Row:
    """Cross or total against its target; ``accuracy`` is that of two readings together."""
    if row.is_empty or aim is None:
        return row
    value = (row.before, row.after)[judged]
    tolerance = math.inf if aim.cross_tolerance is None else aim.cross_tolerance
    off = _off(value, aim.cross, tolerance, accuracy, Quantity.CAMBER)
    return replace(row, target=aim.cross, off=off)


def positions_in_order(visit: RackVisit) -> list[AdjusterPosition]:
    """Adjuster positions by axle, then adjuster, left before right."""
    corners = list(Corner.values)
    return sorted(
        visit.positions.all(),
        key=lambda p: (corners.index(p.corner) // 2, p.adjuster, corners.index(p.corner)),
    )

"""Readings of an order beside each other: before, after, target and what is off.

One comparison serves the page, the order's panel and the printed sheet. Angles are degrees,
heights and wheelbases millimetres, signs as in ``alignment.models``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from alignment.geometry import readings
from alignment.geometry.units import format_degrees, format_number
from alignment.models import (
    AXLE_CORNERS,
    LENGTHS,
    AdjusterPosition,
    PlanAxle,
    PlannedSetting,
    Quantity,
    RackVisit,
    Stage,
    ToeReference,
)
from shop.models import Corner, WorkOrder

LEFT, RIGHT, CROSS, TOTAL, THRUST, SETBACK = (
    "left",
    "right",
    "cross",
    "total",
    "thrust angle",
    "setback",
)

#: Quantities of an axle in the order of the table.
ROWS: dict[str, tuple[str, ...]] = {
    PlanAxle.FRONT: (
        Quantity.CAMBER,
        Quantity.CASTER,
        Quantity.TOE,
        Quantity.SAI,
        Quantity.RIDE_HEIGHT,
        Quantity.WHEELBASE,
    ),
    PlanAxle.REAR: (Quantity.CAMBER, Quantity.TOE, Quantity.RIDE_HEIGHT),
}


@dataclass(frozen=True)
class Off:
    """A reading less its target; ``beyond`` is how far it leaves the tolerance, 0.0 inside."""

    value: float
    tolerance: float
    beyond: float
    told_by_rack: bool

    @property
    def is_out(self) -> bool:
        return self.beyond != 0.0

    @property
    def text(self) -> str:
        return format_number(self.value, 2)

    @property
    def words(self) -> str:
        """Empty inside the tolerance; otherwise by how much it is out."""
        if not self.is_out:
            return ""
        said = f"{abs(self.beyond):.2f}° beyond ±{self.tolerance:.2f}°"
        return said if self.told_by_rack else f"{said}, less than the rack can tell"


@dataclass(frozen=True)
class Row:
    """One line of the table. ``places`` is the number of decimals shown."""

    side: str
    before: float | None
    after: float | None
    target: float | None
    off: Off | None
    places: int

    def _shown(self, value: float | None) -> str:
        if value is None:
            return "–"
        text = format_number(value, self.places)
        return text.lstrip("+") if self.places == 0 and self.side != SETBACK else text

    @property
    def before_text(self) -> str:
        return self._shown(self.before)

    @property
    def after_text(self) -> str:
        return self._shown(self.after)

    @property
    def target_text(self) -> str:
        return self._shown(self.target)

    @property
    def is_empty(self) -> bool:
        return self.before is None and self.after is None and self.target is None


@dataclass(frozen=True)
class Group:
    """All lines of one quantity on one axle; ``unit`` is "°" or "mm"."""

    quantity: str
    title: str
    unit: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class AxleTable:
    axle: str
    title: str
    groups: tuple[Group, ...]


@dataclass(frozen=True)
class Comparison:
    """``before`` is the first visit before the work, ``after`` the latest one since."""

    before: RackVisit | None
    after: RackVisit | None
    axles: tuple[AxleTable, ...]

    @property
    def is_empty(self) -> bool:
        return self.before is None and self.after is None

    @property
    def after_title(self) -> str:
        if self.after is not None and self.after.stage == Stage.BETWEEN:
            return "Latest"
        return "After"

    @property
    def out_of_tolerance(self) -> list[str]:
        """A sentence for every line that the work left out of tolerance and the rack can tell.

        Cross follows from its sides and is not said again; before the work everything may be out.
        """
        if self.after is None:
            return []
        return [
            f"{axle.title}, {row.side}: {group.title.split(',')[0].lower()} is off by "
            f"{format_degrees(row.off.value)}, {row.off.words}."
            for axle in self.axles
            for group in axle.groups
            for row in group.rows
            if row.off is not None and row.off.is_out and row.off.told_by_rack and row.side != CROSS
        ]


def comparison_of(order: WorkOrder) -> Comparison:
    """The comparison of an order: two queries for plans and visits, two for the numbers."""
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    plans = list(PlannedSetting.objects.filter(order=order))
    return compare(visits, plans)


def compare(visits: Sequence[RackVisit], plans: Iterable[PlannedSetting]) -> Comparison:
    """Put visits (in the order of time) and plans beside each other."""
    before = next((v for v in visits if v.stage == Stage.BEFORE), None)
    after = next(
        (v for v in reversed(visits) if v.stage == Stage.AFTER),
        next((v for v in reversed(visits) if v.stage == Stage.BETWEEN), None),
    )
    by_axle = {plan.axle: plan for plan in plans}
    tables = tuple(
        _axle_table(axle, before, after, by_axle.get(axle))
        for axle in (PlanAxle.FRONT, PlanAxle.REAR)
    )
    return Comparison(before, after, tuple(table for table in tables if table.groups))


def one_visit(visit: RackVisit, plans: Iterable[PlannedSetting]) -> Comparison:
    """A single visit against the plan, whatever its stage."""
    by_axle = {plan.axle: plan for plan in plans}
    tables = tuple(
        _axle_table(axle, None, visit, by_axle.get(axle))
        for axle in (PlanAxle.FRONT, PlanAxle.REAR)
    )
    return Comparison(None, visit, tuple(table for table in tables if table.groups))


Values = dict[tuple[str, str], float]
Pairwise = Callable[[float, float], float]


def _axle_table(
    axle: str, before: RackVisit | None, after: RackVisit | None, plan: PlannedSetting | None
) -> AxleTable:
    old: Values = before.values() if before else {}
    new: Values = after.values() if after else {}
    latest = after or before
    accuracy = latest.accuracy_deg if latest else 0.0
    groups = []
    for quantity in ROWS[axle]:
        rows = tuple(
            row
            for row in _rows(axle, quantity, (old, new), plan, accuracy, judged=1 if after else 0)
            if not row.is_empty
        )
        if rows:
            unit = "mm" if quantity in LENGTHS else "°"
            groups.append(Group(quantity, str(Quantity(quantity).label), unit, rows))
    return AxleTable(axle, str(PlanAxle(axle).label), tuple(groups))


def _rows(
    axle: str,
    quantity: str,
    visits: tuple[Values, Values],
    plan: PlannedSetting | None,
    accuracy: float,
    *,
    judged: int,
) -> Iterator[Row]:
    """Lines of one quantity; ``judged`` says which of the two visits is held to the target."""
    left, right = AXLE_CORNERS[axle]
    target, tolerance = _target(quantity, plan)
    places = 0 if quantity in LENGTHS else 2
    for side, corner in ((LEFT, left), (RIGHT, right)):
        values = [numbers.get((corner, quantity)) for numbers in visits]
        off = _off(values[judged], target, tolerance, accuracy)
        yield Row(side, values[0], values[1], target, off, places)
    pairs = [(numbers.get((left, quantity)), numbers.get((right, quantity))) for numbers in visits]
    if quantity in (Quantity.CAMBER, Quantity.CASTER):
        aim = None if target is None else 0.0
        yield _judged(_pair(CROSS, pairs, readings.cross), aim, tolerance, accuracy, judged)
    elif quantity == Quantity.TOE:
        aim = None if target is None else 2 * target
        yield _judged(_pair(TOTAL, pairs, readings.total_toe), aim, tolerance, accuracy, judged)
        if axle == PlanAxle.REAR:
            yield _pair(THRUST, pairs, readings.thrust_angle)
    elif quantity == Quantity.WHEELBASE:
        yield _pair(SETBACK, pairs, readings.cross, places=0)


def _target(quantity: str, plan: PlannedSetting | None) -> tuple[float | None, float]:
    if plan is None:
        return None, 0.0
    if quantity == Quantity.CAMBER:
        return plan.camber_deg, plan.camber_tolerance_deg
    if quantity == Quantity.CASTER:
        return plan.caster_deg, plan.caster_tolerance_deg
    if quantity == Quantity.TOE:
        return plan.toe_deg, plan.toe_tolerance_deg
    return None, 0.0


def _off(
    value: float | None, target: float | None, tolerance: float, accuracy: float
) -> Off | None:
    if value is None or target is None:
        return None
    difference = readings.off_target(value, target, accuracy)
    beyond = readings.beyond_tolerance(difference.deg, tolerance)
    return Off(difference.deg, tolerance, beyond, abs(beyond) > difference.expanded_deg)


Pairs = list[tuple[float | None, float | None]]


def _pair(side: str, pairs: Pairs, both: Pairwise, *, places: int = 2) -> Row:
    """A line worked out from left and right; empty where one of them was not read."""
    values = [None if left is None or right is None else both(left, right) for left, right in pairs]
    return Row(side, values[0], values[1], None, None, places)


def _judged(row: Row, target: float | None, tolerance: float, accuracy: float, judged: int) -> Row:
    """Cross or total against its target. Each side may use its whole tolerance, so the pair's is
    twice as wide; two readings are uncertain, so the pair's uncertainty is √2 of one."""
    if row.is_empty:
        return row
    value = (row.before, row.after)[judged]
    off = _off(value, target, 2 * tolerance, math.sqrt(2) * accuracy)
    return replace(row, target=target, off=off)


def positions_in_order(visit: RackVisit) -> list[AdjusterPosition]:
    """Adjuster positions by axle, then adjuster, left before right."""
    corners = list(Corner.values)
    return sorted(
        visit.positions.all(),
        key=lambda p: (corners.index(p.corner) // 2, p.adjuster, corners.index(p.corner)),
    )


def included_angles(visit: RackVisit) -> dict[str, float]:
    """Camber and inclination together, for the corners where both were read."""
    values = visit.values()
    found = {}
    for corner in (*AXLE_CORNERS[PlanAxle.FRONT], *AXLE_CORNERS[PlanAxle.REAR]):
        camber, inclination = (
            values.get((corner, Quantity.CAMBER)),
            values.get((corner, Quantity.SAI)),
        )
        if camber is not None and inclination is not None:
            found[corner] = readings.included_angle(camber, inclination)
    return found


def toe_from_thrust_line(visit: RackVisit) -> tuple[float, float] | None:
    """Front toe (left, right) counted from the rear axle's thrust line.

    Worked out only for a rack that counts it from the car's centre line, and where both axles
    were read; None otherwise.
    """
    values = visit.values()
    corners = (*AXLE_CORNERS[PlanAxle.FRONT], *AXLE_CORNERS[PlanAxle.REAR])
    toes = [values.get((corner, Quantity.TOE)) for corner in corners]
    read = [toe for toe in toes if toe is not None]
    if visit.toe_reference != ToeReference.CENTRE or len(read) != len(corners):
        return None
    thrust = readings.thrust_angle(read[2], read[3])
    return readings.toe_against_thrust(read[0], read[1], thrust)

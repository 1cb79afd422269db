"""Readings of an order beside each other: before, after, target and what is off.

One comparison serves the page, the order's panel and the printed sheet. Angles are degrees,
heights and wheelbases millimetres, signs as in ``alignment.models``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from alignment.geometry import readings
from alignment.geometry.units import format_degrees, format_number
from alignment.models import (
    AXLE_CORNERS,
    LENGTHS,
    PlanAxle,
    PlannedSetting,
    Quantity,
    RackVisit,
    Stage,
)
from shop.models import WorkOrder

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
        """A sentence for every line that is out; cross follows from its sides and is left out."""
        return [
            f"{axle.title}: {group.title.lower()} {row.side} is off by "
            f"{format_degrees(row.off.value)}, {row.off.words}."
            for axle in self.axles
            for group in axle.groups
            for row in group.rows
            if row.off is not None and row.off.is_out and row.side != CROSS
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
    accuracy = after.accuracy_deg if after else 0.0
    groups = []
    for quantity in ROWS[axle]:
        rows = tuple(
            row for row in _rows(axle, quantity, old, new, plan, accuracy) if not row.is_empty
        )
        if rows:
            unit = "mm" if quantity in LENGTHS else "°"
            groups.append(Group(quantity, str(Quantity(quantity).label), unit, rows))
    return AxleTable(axle, str(PlanAxle(axle).label), tuple(groups))


def _rows(
    axle: str,
    quantity: str,
    old: Values,
    new: Values,
    plan: PlannedSetting | None,
    accuracy: float,
) -> Iterator[Row]:
    left, right = AXLE_CORNERS[axle]
    target, tolerance = _target(quantity, plan)
    places = 0 if quantity in LENGTHS else 2
    for side, corner in ((LEFT, left), (RIGHT, right)):
        was, now = old.get((corner, quantity)), new.get((corner, quantity))
        off = _off(now, target, tolerance, accuracy)
        yield Row(side, was, now, target, off, places)
    pairs = [(values.get((left, quantity)), values.get((right, quantity))) for values in (old, new)]
    if quantity in (Quantity.CAMBER, Quantity.CASTER):
        yield _pair_row(CROSS, pairs, readings.cross, 0.0, target, tolerance, accuracy)
    elif quantity == Quantity.TOE:
        total_target = None if target is None else 2 * target
        yield _pair_row(TOTAL, pairs, readings.total_toe, total_target, target, tolerance, accuracy)
        if axle == PlanAxle.REAR:
            yield _plain_row(THRUST, pairs, readings.thrust_angle, 2)
    elif quantity == Quantity.WHEELBASE:
        yield _plain_row(SETBACK, pairs, readings.cross, 0)


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


def _pair_row(
    side: str,
    pairs: list[tuple[float | None, float | None]],
    both: Pairwise,
    pair_target: float | None,
    target: float | None,
    tolerance: float,
    accuracy: float,
) -> Row:
    """Cross or total. Each side may use its whole tolerance, so the pair's is twice as wide."""
    plain = _plain_row(side, pairs, both, 2)
    shown_target = None if target is None else pair_target
    off = _off(plain.after, shown_target, 2 * tolerance, 2**0.5 * accuracy)
    if plain.before is None and plain.after is None:
        shown_target = None
    return Row(side, plain.before, plain.after, shown_target, off, 2)


def _plain_row(
    side: str, pairs: list[tuple[float | None, float | None]], both: Pairwise, places: int
) -> Row:
    values = [None if left is None or right is None else both(left, right) for left, right in pairs]
    return Row(side, values[0], values[1], None, None, places)


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

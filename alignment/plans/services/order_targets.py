"""What the readings of an order are compared with: its plan, and the target sheet behind it.

A plan sets both sides of an axle alike. The sheet that it was made from may set the sides
differently, has tolerances for left, right and both together, and may hold quantities that are
not planned, such as a camber that the axle cannot be set to. Degrees and millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from alignment.models import PlannedSetting, Quantity, TargetFigure, TargetSheet
from shop.languages.figures import format_degrees
from shop.models import WorkOrder

#: Planned figures that differ by less than this are the sheet's (degrees, millimetres).
SAME = 5e-4


@dataclass(frozen=True)
class Aim:
    """Targets and tolerances of one quantity on one axle; ``cross`` is the total for toe.

    A tolerance of None is not judged.
    """

    left: float
    right: float
    left_tolerance: float
    right_tolerance: float
    cross: float
    cross_tolerance: float | None


Aims = dict[tuple[str, str], Aim]


def aims_of(plans: Iterable[PlannedSetting], sheet: TargetSheet | None = None) -> Aims:
    """By axle and quantity; ``sheet`` comes with its figures."""
    figures = {(f.axle, f.quantity): f for f in sheet.figures.all()} if sheet else {}
    aims = {key: _of_figure(figure) for key, figure in figures.items()}
    for plan in plans:
        for quantity, value, tolerance in planned_figures(plan):
            if value is not None:
                key = (plan.axle, quantity)
                aims[key] = _of_plan(quantity, value, tolerance, figures.get(key))
    return aims


def planned_figures(plan: PlannedSetting) -> list[tuple[str, float | None, float]]:
    """(quantity, value, tolerance) of what a plan can say."""
    return [
        (str(Quantity.CAMBER.value), plan.camber_deg, plan.camber_tolerance_deg),
        (str(Quantity.CASTER.value), plan.caster_deg, plan.caster_tolerance_deg),
        (str(Quantity.TOE.value), plan.toe_deg, plan.toe_tolerance_deg),
    ]


def _of_figure(figure: TargetFigure) -> Aim:
    return Aim(
        figure.left,
        figure.right,
        figure.left_tolerance,
        figure.right_tolerance,
        figure.cross,
        figure.cross_tolerance,
    )


def _of_plan(quantity: str, value: float, tolerance: float, figure: TargetFigure | None) -> Aim:
    """The sheet's aim where the plan is the sheet's; otherwise the plan's own on both sides.

    Each side may use its whole tolerance then, so that of both together is twice as wide.
    """
    if figure is not None and abs(figure.middle - value) < SAME:
        return _of_figure(figure)
    both = 2 * value if quantity == Quantity.TOE else 0.0
    return Aim(value, value, tolerance, tolerance, both, 2 * tolerance)


def differences(plans: Iterable[PlannedSetting], sheet: TargetSheet) -> list[str]:
    """A sentence for each figure in which the plans differ from the sheet."""
    figures = {(f.axle, f.quantity): f for f in sheet.figures.all()}
    said = []
    for plan in plans:
        for quantity, value, _ in planned_figures(plan):
            figure = figures.get((plan.axle, quantity))
            if figure is None or value is None or abs(value - figure.middle) < SAME:
                continue
            name = str(Quantity(quantity).label).split(",")[0].lower()
            said.append(
                f"{plan.get_axle_display()}: {name} {format_degrees(value)} instead of "
                f"{format_degrees(figure.middle)}."
            )
    return said


def sheet_of(order: WorkOrder) -> TargetSheet | None:
    """The version of a target sheet that the order was planned from, with its figures."""
    return TargetSheet.objects.filter(order_targets__order=order).with_figures().first()

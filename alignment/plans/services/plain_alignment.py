"""Whether a plan is a plain alignment: angles inside the maker's range, and nothing else moved.

Such a job moves no wheel out of the place for which the car was built, so it needs no clearance
check, on a car that was measured or not. Degrees.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from alignment.models import PlannedSetting, Quantity, TargetSheet
from alignment.models.targets import TargetKind
from alignment.plans.services.order_targets import planned_figures
from shop.models import Use, WorkOrder

#: Figures typed to a hundredth of a degree are inside a limit that they equal.
SAME_DEG = 5e-4


def more_than_plain(order: WorkOrder, plans: Iterable[PlannedSetting]) -> str:
    """Why these plans are no plain alignment, in one sentence; empty where they are one.

    Camber needs the maker's range on record. Toe alone does not: it is set on every car, and
    where the maker's figures are known it has to be inside them.
    """
    plans = list(plans)
    moved = [plan for plan in plans if plan.rolled_lips or any((plan.adjusters or {}).values())]
    if moved:
        axle = moved[0].get_axle_display()
        return _("{axle}: more is planned than camber and toe.").format(axle=axle)
    makers = makers_sheet(order)
    for plan in plans:
        said = _beyond_maker(plan, makers)
        if said:
            return said
    return ""


def makers_sheet(order: WorkOrder) -> TargetSheet | None:
    """The maker's figures for the order's use, or else for the street, with its figures."""
    sheets = TargetSheet.objects.current().filter(
        car_model=order.vehicle.car_model_id, kind=TargetKind.MAKER
    )
    by_use = {sheet.use: sheet for sheet in sheets.with_figures()}
    return by_use.get(order.use) or by_use.get(Use.STREET)


def _beyond_maker(plan: PlannedSetting, makers: TargetSheet | None) -> str:
    figures = {(f.axle, f.quantity): f for f in makers.figures.all()} if makers else {}
    axle = plan.get_axle_display()
    for quantity, value, _tolerance in planned_figures(plan):
        if value is None:
            continue
        name = Quantity(quantity).label
        figure = figures.get((plan.axle, quantity))
        if figure is None:
            if quantity == Quantity.TOE:
                continue
            return _("{axle}, {name}: the maker's range is not on record.").format(
                axle=axle, name=name
            )
        low = min(figure.left - figure.left_tolerance, figure.right - figure.right_tolerance)
        high = max(figure.left + figure.left_tolerance, figure.right + figure.right_tolerance)
        if not low - SAME_DEG <= value <= high + SAME_DEG:
            return _("{axle}, {name}: outside the maker's range.").format(axle=axle, name=name)
    return ""

"""What a set-up takes where nothing was said."""

from __future__ import annotations

from django.utils.translation import gettext

from alignment.models import Quantity
from alignment.plans.services.order_targets import aims_of
from fitment.job.car import Car
from fitment.tryout.limits import sheet_of
from shop.languages.figures import format_number


def usual_toe(car: Car, axle: str) -> tuple[float, str]:
    """Toe per wheel (degrees) where none was typed, and a sentence that says so.

    As the order plans it, else as its target sheet has it, the mean of both sides; else straight.
    """
    plan = car.plans.get(axle)
    if plan is not None:
        said = gettext("Toe is taken as planned: {toe}° per wheel.")
        return plan.toe_deg, said.format(toe=format_number(plan.toe_deg, 2))
    sheet = sheet_of(car.order)
    aim = aims_of((), sheet).get((axle, str(Quantity.TOE.value))) if sheet else None
    if aim is not None:
        toe = (aim.left + aim.right) / 2
        said = gettext("Toe is taken from the target sheet: {toe}° per wheel.")
        return toe, said.format(toe=format_number(toe, 2))
    return 0.0, gettext("Toe is taken as 0.00° per wheel, since none was typed.")

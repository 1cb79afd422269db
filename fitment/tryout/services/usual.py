"""What a set-up takes where nothing was said."""

from __future__ import annotations

from django.utils.translation import gettext

from alignment.models import Quantity
from alignment.plans.services.order_targets import aims_of
from fitment.engine.search.sizes import standard_sizes
from fitment.engine.solid.designation import BadSize, size_of
from fitment.job.car import Car
from fitment.models import TyreModel, WheelModel
from fitment.tryout.limits import sheet_of
from fitment.tryout.space import wheels_for
from shop.languages.figures import format_number
from shop.site.refusals import Refused


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


def usual_wheel(car: Car, axle: str) -> WheelModel:
    """A wheel of the catalogue to begin from: of the original rim diameter where there is one.

    Raises Refused where none fits the car.
    """
    rows = wheels_for(car.car_model)
    if not rows:
        said = gettext("No wheel of the catalogue fits this car: type one, such as 9x18 ET40.")
        raise Refused(said, field="wheel")
    rim = _original_rim(car, axle)
    return next((row for row in rows if row.diameter_in == rim), rows[0])


def usual_tyre(wheel: WheelModel) -> tuple[TyreModel | None, str]:
    """A tyre for a wheel to begin from: of the catalogue, else a standard size.

    Raises Refused where no standard size belongs on such a wheel.
    """
    for row in TyreModel.objects.all():
        try:
            if size_of(row.size).rim_in == wheel.diameter_in:
                return row, ""
        except BadSize:
            continue
    sizes = standard_sizes(wheel.diameter_in, wheel.width_in, diameter_mm=(450.0, 900.0))
    if not sizes:
        said = gettext("No standard tyre belongs on a wheel of {width}×{diameter} in.").format(
            width=f"{wheel.width_in:g}", diameter=f"{wheel.diameter_in:g}"
        )
        raise Refused(said, field="wheel")
    return None, sizes[0].tyre.size


def _original_rim(car: Car, axle: str) -> float | None:
    size = getattr(car.car_model, f"oe_tyre_{axle}", "") or ""
    try:
        return size_of(size).rim_in
    except BadSize:
        return None

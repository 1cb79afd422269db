"""Target sheets: a new version for every change, and an order planned from one of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.geometry.units import format_degrees
from alignment.models import OrderTarget, PlannedSetting, Quantity, TargetFigure, TargetSheet
from alignment.plans.services.order_targets import SAME
from alignment.plans.services.plans import CLOSED, AxlePlan, plan_save
from common.numerals import short
from shop.models import Axle, CarModel, User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

#: Fields of a plan by the quantity of a sheet.
PLANNED = {
    Quantity.CAMBER: ("camber_deg", "camber_tolerance_deg", "camber"),
    Quantity.CASTER: ("caster_deg", "caster_tolerance_deg", "caster"),
    Quantity.TOE: ("toe_deg", "toe_tolerance_deg", "toe"),
}


@dataclass(frozen=True)
class Figure:
    """One quantity of one axle; fields as in ``TargetFigure``."""

    axle: str
    quantity: str
    left: float
    right: float
    left_tolerance: float
    right_tolerance: float
    cross: float
    cross_tolerance: float | None = None
    typed: Mapping[str, str] = field(default_factory=dict)


@transaction.atomic
def target_save(
    *,
    car_model: CarModel,
    use: str,
    kind: str,
    source: str,
    dated: dt.date,
    figures: list[Figure],
    by: User,
    camber_by: Mapping[str, str] | None = None,
    toe_unit: str = "deg",
    toe_diameter_mm: float | None = None,
    notes: str = "",
) -> TargetSheet:
    """Write the next version for a car model, a use and a kind; no earlier version changes."""
    if not figures:
        raise Refused(_("Enter at least one figure."))
    CarModel.objects.select_for_update().get(pk=car_model.pk)
    earlier = TargetSheet.objects.filter(car_model=car_model, use=use, kind=kind)
    last = earlier.aggregate(last=Max("version"))["last"] or 0
    sheet = TargetSheet.objects.create(
        car_model=car_model,
        use=use,
        kind=kind,
        version=last + 1,
        source=source.strip(),
        dated=dated,
        camber_by=dict(camber_by or {}),
        toe_unit=toe_unit,
        toe_diameter_mm=toe_diameter_mm,
        notes=notes.strip(),
        saved_by=by,
    )
    TargetFigure.objects.bulk_create(
        TargetFigure(sheet=sheet, **{**vars(figure), "typed": dict(figure.typed)})
        for figure in figures
    )
    return sheet


# ---- from the sheet to the plan


@transaction.atomic
def target_take(*, order: WorkOrder, sheet: TargetSheet, by: User) -> list[PlannedSetting]:
    """Plan an order from a sheet: its figures take the place of those that are planned.

    What the sheet does not hold is kept: camber method, adjusters, notes. A camber is planned where
    the sheet or the plan states how it is set; otherwise it is only a target.
    """
    if order.vehicle.car_model_id != sheet.car_model_id:
        raise Refused(_("This target sheet belongs to another car model."))
    row = order_lock(order)
    if not row.is_open:
        raise Refused(str(CLOSED))
    figures = {(f.axle, f.quantity): f for f in sheet.figures.all()}
    plans = {plan.axle: plan for plan in PlannedSetting.objects.of_order(row)}
    axles = {}
    for axle in Axle.values:
        if any(key[0] == axle for key in figures):
            wanted = _axle_plan(axle, sheet, figures, plans.get(axle))
            if wanted is not None:
                axles[axle] = wanted
    OrderTarget.objects.update_or_create(
        order=row,
        defaults={"sheet": sheet, "reason": "", "taken_at": timezone.now(), "taken_by": by},
    )
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Planned from a target sheet"),
        detail=format_lazy("{sheet}, {source}", sheet=sheet, source=sheet.source),
    )
    return plan_save(order=order, by=by, axles=axles)


def _axle_plan(
    axle: str,
    sheet: TargetSheet,
    figures: Mapping[tuple[str, str], TargetFigure],
    plan: PlannedSetting | None,
) -> AxlePlan | None:
    """The plan of one axle with the sheet's figures; None if neither states the toe."""
    toe = figures.get((axle, Quantity.TOE))
    if toe is None and plan is None:
        return None
    wanted = (
        AxlePlan(toe_deg=0.0)
        if plan is None
        else AxlePlan(**{name: getattr(plan, name) for name in AxlePlan.__dataclass_fields__})
    )
    typed = dict(wanted.typed)
    values: dict[str, Any] = {"toe_unit": sheet.toe_unit, "toe_diameter_mm": sheet.toe_diameter_mm}
    for quantity, (name, tolerance, text) in PLANNED.items():
        figure = figures.get((axle, quantity))
        if figure is None:
            continue
        if quantity == Quantity.CAMBER:
            camber_method = sheet.camber_by.get(axle) or wanted.camber_by
            if not camber_method:
                continue
            values["camber_by"] = camber_method
        values[name] = figure.middle
        values[tolerance] = min(figure.left_tolerance, figure.right_tolerance)
        typed[text] = _typed(figure, quantity)
        typed[f"{text}_tolerance"] = short(values[tolerance])
    return replace(wanted, **values, typed=typed)


def _typed(figure: TargetFigure, quantity: str) -> str:
    """The text for the plan's form: as typed where both sides are alike, else the middle."""
    typed = str(figure.typed.get("left", ""))
    if typed and abs(figure.left - figure.right) < SAME:
        return typed
    return format_degrees(figure.middle, 3)

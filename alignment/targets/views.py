"""Target sheets of a pattern, and the one action that plans an order from one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods

from alignment.geometry.units import format_degrees
from alignment.models import PlannedSetting, Quantity, TargetSheet
from alignment.targets.forms import TargetForm
from alignment.targets.page import figure_rows
from alignment.targets.services import target_save, target_take
from shop.models import CarModel, WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import render_page, role_required


@role_required()
@require_GET
def target_list(request: HttpRequest, pk: int) -> HttpResponse:
    """All sheets of a pattern, the newest version of each first."""
    car_model = get_object_or_404(CarModel, pk=pk)
    sheets = TargetSheet.objects.filter(car_model=car_model).with_figures()
    context = {"car_model": car_model, "sheets": sheets}
    return render_page(request, "alignment/target_list.html", context)


@role_required()
@require_GET
def target(request: HttpRequest, pk: int) -> HttpResponse:
    sheets = TargetSheet.objects.with_figures()
    sheet = get_object_or_404(sheets, pk=pk)
    same = TargetSheet.objects.filter(car_model=sheet.car_model, use=sheet.use, kind=sheet.kind)
    context = {
        "sheet": sheet,
        "rows": figure_rows(sheet),
        "versions": same,
        "is_current": not same.filter(version__gt=sheet.version).exists(),
        "orders": sheet.order_targets.select_related("order__vehicle", "order__customer"),
    }
    return render_page(request, "alignment/target.html", context)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def target_new(request: HttpRequest, pk: int) -> HttpResponse:
    car_model = get_object_or_404(CarModel, pk=pk)
    use = request.GET.get("use", "")
    form = TargetForm(request.POST or None, initial={"use": use} if use else None)
    return _form(request, form, car_model, {"car_model": car_model})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def target_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Other figures: what stands is kept, and a new version is written."""
    sheets = TargetSheet.objects.with_figures()
    sheet = get_object_or_404(sheets, pk=pk)
    form = TargetForm(request.POST or None, sheet=sheet)
    return _form(request, form, sheet.car_model, {"car_model": sheet.car_model, "sheet": sheet})


def _form(
    request: HttpRequest, form: TargetForm, car_model: CarModel, context: dict[str, Any]
) -> HttpResponse:
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            sheet = target_save(
                car_model=car_model,
                use=data["use"],
                kind=data["kind"],
                source=data["source"],
                dated=data["dated"],
                notes=data["notes"],
                toe_unit=data["toe_unit"],
                toe_diameter_mm=form.diameter_mm,
                camber_by=form.camber_by,
                figures=form.figures,
                by=request.user,
            )
        except Refused as refusal:
            form.add_error(refusal.field or None, refusal.reason)
        else:
            messages.success(request, f"Saved as version {sheet.version}.")
            return redirect(sheet)
    status = 422 if form.errors else 200
    context = {**context, "form": form}
    return render_page(request, "alignment/target_form.html", context, status=status)


@role_required("writer", "technician")
@require_http_methods(["POST"])
def target_take_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Fill the order's planned settings from the sheet that was pressed."""
    orders = WorkOrder.objects.select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    sheets = TargetSheet.objects.with_figures()
    number = request.POST.get("sheet", "")
    sheet = get_object_or_404(sheets, pk=int(number)) if number.isdigit() else None
    if sheet is None:
        messages.error(request, "Choose the target sheet to plan from.")
        return redirect("plan_edit", pk=order.pk)
    try:
        plans = target_take(order=order, sheet=sheet, by=request.user)
    except Refused as refusal:
        messages.error(request, refusal.reason)
    else:
        messages.success(request, f"Planned from {sheet}. Change what this car needs otherwise.")
        if left_out := _without_camber(sheet, plans):
            messages.warning(
                request,
                f"The sheet's camber is not in the plan yet: {left_out}. Where it is to be set, "
                "type it and choose under “Reached by” what sets it.",
            )
    return redirect("plan_edit", pk=order.pk)


def _without_camber(sheet: TargetSheet, plans: list[PlannedSetting]) -> str:
    """Cambers that stand on the sheet but, for want of a means, not in the plan."""
    aims = {f.axle: f.middle for f in sheet.figures.all() if f.quantity == Quantity.CAMBER}
    return ", ".join(
        f"{plan.get_axle_display().lower()} {format_degrees(aims[plan.axle])}"
        for plan in plans
        if plan.axle in aims and plan.camber_deg is None
    )

"""Target sheets of a car model, and the one action that plans an order from one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from alignment.models import PlannedSetting, Quantity, TargetSheet
from alignment.targets.forms import TargetForm
from alignment.targets.page import figure_rows
from alignment.targets.services import target_save, target_take
from alignment.text.labels import axle_here
from common.numerals import whole
from shop.languages.figures import format_degrees
from shop.models import CarModel, WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required()
@require_GET
def target_list(request: StaffRequest, pk: int) -> HttpResponse:
    """All sheets of a car model, the newest version of each first."""
    car_model = get_object_or_404(CarModel, pk=pk)
    sheets = TargetSheet.objects.filter(car_model=car_model).with_figures()
    context = {"car_model": car_model, "sheets": sheets}
    return render_page(request, "alignment/target_list.html", context)


@role_required()
@require_GET
def target(request: StaffRequest, pk: int) -> HttpResponse:
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
def target_new(request: StaffRequest, pk: int) -> HttpResponse:
    car_model = get_object_or_404(CarModel, pk=pk)
    use = request.GET.get("use", "")
    form = TargetForm(request.POST or None, initial={"use": use} if use else None)
    return _form(request, form, car_model, {"car_model": car_model})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def target_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """Other figures: the present version is kept, and a new one is written.

    An older version's address opens the present one, so that no figure goes back unseen.
    """
    sheets = TargetSheet.objects.with_figures()
    sheet = get_object_or_404(sheets, pk=pk)
    if request.method == "POST":
        CarModel.objects.select_for_update().get(pk=sheet.car_model_id)
    same = sheets.filter(car_model=sheet.car_model_id, use=sheet.use, kind=sheet.kind)
    sheet = same.order_by("-version")[0]
    form = TargetForm(request.POST or None, sheet=sheet)
    return _form(request, form, sheet.car_model, {"car_model": sheet.car_model, "sheet": sheet})


def _form(
    request: StaffRequest, form: TargetForm, car_model: CarModel, context: dict[str, Any]
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
            messages.success(request, _("Saved as version {number}.").format(number=sheet.version))
            return redirect(sheet)
    status = 422 if form.errors else 200
    context = {**context, "form": form}
    return render_page(request, "alignment/target_form.html", context, status=status)


@role_required("writer", "technician")
@require_http_methods(["POST"])
def target_take_view(request: StaffRequest, pk: int) -> HttpResponse:
    """Fill the order's planned settings from the sheet that was pressed."""
    orders = WorkOrder.objects.select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    sheets = TargetSheet.objects.with_figures()
    number = whole(request.POST.get("sheet", ""))
    sheet = get_object_or_404(sheets, pk=number) if number is not None else None
    if sheet is None:
        messages.error(request, _("Choose the target sheet to plan from."))
        return redirect("plan_edit", pk=order.pk)
    try:
        plans = target_take(order=order, sheet=sheet, by=request.user)
    except Refused as refusal:
        messages.error(request, refusal.reason)
    else:
        messages.success(
            request,
            _("Planned from {sheet}. Change what this car needs differently.").format(sheet=sheet),
        )
        if left_out := _without_camber(sheet, plans):
            messages.warning(
                request,
                _(
                    "The sheet's camber is not in the plan yet: {cambers}. Enter it and choose "
                    "“Camber set with” where it is to be set."
                ).format(cambers=left_out),
            )
    return redirect("plan_edit", pk=order.pk)


def _without_camber(sheet: TargetSheet, plans: list[PlannedSetting]) -> str:
    """Cambers of the sheet that are not in the plan, as it is not stated how they are set."""
    aims = {f.axle: f.middle for f in sheet.figures.all() if f.quantity == Quantity.CAMBER}
    return ", ".join(
        f"{axle_here(plan.axle)} {format_degrees(aims[plan.axle])}"
        for plan in plans
        if plan.axle in aims and plan.camber_deg is None
    )

"""Tyres and wheels that the shop measured."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_POST

from fitment.catalogue.measured_forms import MeasurementForm, WheelMeasurementForm
from fitment.catalogue.tyre_pools import measurement_add, measurement_remove
from fitment.catalogue.wheel_pools import wheel_measurement_add, wheel_measurement_remove
from fitment.models import TyreMeasurement, TyreModel, WheelMeasurement, WheelModel
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def tyre_measure(request: StaffRequest, pk: int) -> HttpResponse:
    """Record one measured tyre; all of its kind are pooled anew."""
    tyre = get_object_or_404(TyreModel.every, pk=pk)
    form = MeasurementForm(posted(request), tyre=tyre)
    if request.method == "POST" and form.is_valid():
        measurement_add(tyre=tyre, by=request.user, values=form.cleaned_data)
        messages.success(
            request, _("Recorded. Clearance checks with this tyre are now out of date.")
        )
        return redirect(tyre)
    return render_page(request, "fitment/tyre_measure.html", {"form": form, "tyre": tyre})


@role_required("writer", "technician")
@require_POST
def measurement_remove_view(request: StaffRequest, pk: int) -> HttpResponse:
    """Take a measurement back."""
    measurement = get_object_or_404(TyreMeasurement, pk=pk)
    tyre = measurement_remove(measurement=measurement)
    messages.success(request, _("Taken back. Clearance checks with this tyre are now out of date."))
    return redirect(tyre)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def wheel_measure(request: StaffRequest, pk: int) -> HttpResponse:
    """Record one measured wheel; all of its kind are pooled anew."""
    wheel = get_object_or_404(WheelModel.every, pk=pk)
    form = WheelMeasurementForm(posted(request), wheel=wheel)
    if request.method == "POST" and form.is_valid():
        wheel_measurement_add(wheel=wheel, by=request.user, values=form.cleaned_data)
        messages.success(
            request, _("Recorded. Clearance checks with this wheel are now out of date.")
        )
        return redirect(wheel)
    return render_page(request, "fitment/wheel_measure.html", {"form": form, "wheel": wheel})


@role_required("writer", "technician")
@require_POST
def wheel_measurement_remove_view(request: StaffRequest, pk: int) -> HttpResponse:
    """Take a measured wheel back."""
    measurement = get_object_or_404(WheelMeasurement, pk=pk)
    wheel = wheel_measurement_remove(measurement=measurement)
    messages.success(
        request, _("Taken back. Clearance checks with this wheel are now out of date.")
    )
    return redirect(wheel)

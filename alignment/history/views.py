"""A vehicle's visits to the rack over the years, one quantity at a time."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from alignment.history.data import MILEAGE, TIME, TRACKS
from alignment.history.page import history_of, track_of
from alignment.history.plot import plot_svg
from shop.models import Vehicle
from shop.site.view_helpers import render_page, role_required


@role_required()
@require_GET
def vehicle_readings(request: HttpRequest, pk: int) -> HttpResponse:
    vehicles = Vehicle.objects.select_related("customer")
    vehicle = get_object_or_404(vehicles, pk=pk)
    history = history_of(vehicle, track_of(request.GET.get("quantity", "")))
    over = MILEAGE if request.GET.get("over") == MILEAGE and history.has_mileage else TIME
    context = {
        "vehicle": vehicle,
        "history": history,
        "tracks": TRACKS,
        "over": over,
        "plot": mark_safe(plot_svg(history, over)),  # noqa: S308  the plot escapes its texts
    }
    return render_page(request, "alignment/vehicle_readings.html", context)

"""Plots of a check: curves, maps, and the whole car."""

from __future__ import annotations

import csv

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from fitment.clearance import curve_pages
from fitment.clearance.car_page import car_page
from fitment.clearance.tyre_page import tyre_page
from fitment.engine import checkfile
from fitment.engine.curves.corner_curves import QUANTITIES
from fitment.engine.drawing.curve_drawing import TRAVEL
from fitment.engine.model import CornerAnswer
from fitment.models import ClearanceCheck
from shop.site.view_helpers import is_fragment, render_page, role_required

PAGE, PART = "fitment/plot.html", "fitment/plot_part.html"


def stored_check(pk: int) -> ClearanceCheck:
    checks = ClearanceCheck.objects.defer("scenes", "options")
    return get_object_or_404(checks.select_related("order__vehicle"), pk=pk)


def checked_corner(check: ClearanceCheck, corner: str) -> CornerAnswer:
    """The answer of a corner; Http404 where the check has none."""
    if not check.answer or corner not in check.answer.get("corners", {}):
        raise Http404
    return checkfile.answer_load(check.answer).corners[corner]


@role_required()
@require_GET
def clearance_curves(request: HttpRequest, pk: int, corner: str) -> HttpResponse:
    """One quantity of a corner over travel or lock, before and after."""
    check = stored_check(pk)
    answer = checked_corner(check, corner)
    shown = (request.GET.get("show", QUANTITIES[0]), request.GET.get("over", TRAVEL))
    choices = curve_pages.curve_choices(check, corner, answer, shown)
    if not any(choice.current for choice in choices):
        raise Http404
    context = curve_pages.plot_context(check, corner, "curves", choices)
    try:
        context["plot"] = curve_pages.curve_plot(check, corner, *shown)
    except curve_pages.CannotPlot as cannot:
        context["cannot"] = str(cannot)
    return render_page(request, PART if is_fragment(request) else PAGE, context)


@role_required()
@require_GET
def clearance_curves_csv(request: HttpRequest, pk: int, corner: str) -> HttpResponse:
    """All curves of a corner as comma-separated values."""
    check = stored_check(pk)
    checked_corner(check, corner)
    try:
        curves = curve_pages.curves_of(check, corner)
    except curve_pages.CannotPlot as cannot:
        raise Http404(str(cannot)) from cannot
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    name = f"curves-{check.order.number}-{corner}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    writer = csv.writer(response)
    writer.writerow(curve_pages.CSV_HEAD)
    writer.writerows(curve_pages.curve_rows(curves))
    return response


@role_required()
@require_GET
def clearance_map(request: HttpRequest, pk: int, corner: str) -> HttpResponse:
    """How the clearance of one spot changes over travel and lock."""
    check = stored_check(pk)
    answer = checked_corner(check, corner)
    places = curve_pages.mapped_places(answer)
    wanted = request.GET.get("place", places[0].place if places else "")
    place = next((one for one in places if one.place == wanted), None)
    if place is None:
        raise Http404
    choices = curve_pages.map_choices(check, corner, answer, place.place)
    context = curve_pages.plot_context(check, corner, "map", choices)
    try:
        context["plot"] = curve_pages.map_plot(check, corner, place)
    except curve_pages.CannotPlot as cannot:
        context["cannot"] = str(cannot)
    return render_page(request, PART if is_fragment(request) else PAGE, context)


@role_required()
@require_GET
def clearance_tyre(request: HttpRequest, pk: int, corner: str) -> HttpResponse:
    """A corner with its tyre new, worn, grown, and as large as the standard allows."""
    check = stored_check(pk)
    context = tyre_page(check, corner, checked_corner(check, corner))
    return render_page(request, "fitment/tyre_states.html", context)


@role_required()
@require_GET
def clearance_car(request: HttpRequest, pk: int) -> HttpResponse:
    """The four corners of a check beside each other."""
    check = get_object_or_404(
        ClearanceCheck.objects.select_related("order__vehicle__car_model"), pk=pk
    )
    if not check.answer:
        raise Http404
    return render_page(request, "fitment/car.html", car_page(check))

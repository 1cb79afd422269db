"""What a wheel was seen to do: a bump-steer sheet, and joints fitted to readings at heights."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from alignment.geometry.joint_fit import CannotFit
from common.corners import CORNER_NAMES
from fitment.engine import checkfile
from fitment.models import CornerSurvey
from fitment.surveys.curves import joint_rows, sheet_plot
from fitment.surveys.joint_forms import JointFitForm, TravelSheetForm
from fitment.surveys.joints import fit_save, fitted, moved_joints, sheet_save
from fitment.text.corner_names import corner_said
from fitment.text.render import reason_text
from shop.models import CarModel
from shop.site.sending import long_work
from shop.site.view_helpers import StaffRequest, is_fragment, render_page, role_required


def _survey(pk: int, corner: str) -> CornerSurvey:
    """The current survey of a corner; Http404 where it was not measured."""
    if corner not in CORNER_NAMES:
        raise Http404
    survey = CornerSurvey.objects.current(get_object_or_404(CarModel, pk=pk), corner)
    if survey is None:
        raise Http404
    return survey


def _context(survey: CornerSurvey) -> dict[str, Any]:
    return {
        "survey": survey,
        "car_model": survey.car_model,
        "corner": survey.corner,
        "corner_name": corner_said(survey.corner),
    }


@role_required("technician")
@require_http_methods(["GET", "POST"])
def travel_sheet(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Enter a bump-steer sheet and see it over the model's own curve."""
    if request.method == "POST":
        get_object_or_404(CarModel.objects.select_for_update(), pk=pk)
    survey = _survey(pk, corner)
    context = _context(survey) | sheet_plot(survey, request.GET.get("show", "toe"))
    if is_fragment(request):
        return render_page(request, "fitment/plot_part.html", context)
    sheet = survey.document["suspension"].get("measured") or {}
    initial = {**sheet, "measured_by": request.user.shown_name}
    form = TravelSheetForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        value = form.cleaned_data
        try:
            saved = sheet_save(
                survey=survey,
                sheet=form.sheet(),
                measured_on=value["measured_on"],
                measured_by=value["measured_by"],
            )
        except checkfile.BadCheckFile as bad:
            for problem in bad.problems:
                form.put(problem.path, problem.message)
        else:
            messages.success(
                request, gettext("Saved as version {version}.").format(version=saved.version)
            )
            return redirect("travel_sheet", pk=pk, corner=corner)
    return render_page(request, "fitment/travel_sheet.html", context | {"form": form})


@role_required("technician")
@require_http_methods(["GET", "POST"])
@long_work
def joint_fit(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Fit a corner's joints to camber and toe read at heights; look first, then keep."""
    survey = _survey(pk, corner)
    setting = survey.document["survey"]["setting"]
    initial = {"measured_by": request.user.shown_name}
    form = JointFitForm(request.POST or None, setting=setting, initial=initial)
    context = _context(survey) | {"form": form}
    if request.method == "POST" and form.is_valid():
        value, readings = form.cleaned_data, form.readings()
        try:
            fit = fitted(survey, readings, value["sigma_deg"])
        except CannotFit as cannot:
            form.add_error(
                None, f"No joints near the measured ones repeat this: {reason_text(cannot)}."
            )
        else:
            if request.POST.get("act") == "save":
                saved = fit_save(
                    survey=survey,
                    fit=fit,
                    readings=readings,
                    measured_on=value["measured_on"],
                    measured_by=value["measured_by"],
                )
                messages.success(
                    request, gettext("Saved as version {version}.").format(version=saved.version)
                )
                return redirect(saved)
            moved = moved_joints(fit.moved_mm, survey.document["suspension"])
            context |= {"fit": fit, "moved": joint_rows(moved)}
    return render_page(request, "fitment/joint_fit.html", context)

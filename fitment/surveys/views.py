"""Surveys of a car model's corners: shown, typed, taken over to the other side, in and out."""

from __future__ import annotations

import json

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.text import slugify
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from common.corners import CORNER_NAMES, OTHER_SIDE
from fitment.engine import checkfile
from fitment.models import CornerSurvey
from fitment.surveys.entry_forms import SurveyEntry
from fitment.surveys.files import corners_of_file, survey_export, surveys_import
from fitment.surveys.forms import TYPED_KINDS
from fitment.surveys.page import survey_heads, survey_page
from fitment.surveys.services import (
    MIRROR_SIGMA_MM,
    fit_still_true,
    survey_copy,
    survey_mirror,
    survey_save,
)
from fitment.surveys.source_forms import CopyForm, ImportForm
from fitment.surveys.worked_out import worked_out
from fitment.text.corner_names import corner_said
from fitment.text.labels import KIND_WORDS
from shop.files.data import Owner
from shop.files.services import files_shown
from shop.languages import speech_of_page
from shop.models import CarModel
from shop.site.view_helpers import StaffRequest, render_page, role_required


def _car_model(pk: int, corner: str) -> CarModel:
    if corner not in CORNER_NAMES:
        raise Http404
    return get_object_or_404(CarModel, pk=pk)


def _survey(pk: int, corner: str) -> CornerSurvey:
    car_model = _car_model(pk, corner)
    survey = CornerSurvey.objects.current(car_model, corner)
    if survey is None:
        raise Http404
    return survey


@role_required()
@require_GET
def survey(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """The current survey of a corner, or with ``?version=`` an earlier one."""
    car_model = _car_model(pk, corner)
    versions = list(CornerSurvey.objects.filter(car_model=car_model, corner=corner))
    wanted = request.GET.get("version", "")
    shown = next((row for row in versions if str(row.version) == wanted), None)
    if wanted and shown is None:
        raise Http404
    current = next((row for row in versions if row.withdrawn_at is None), None)
    shown = shown or current
    context = worked_out(f"The page of {shown}", lambda: survey_page(car_model, corner, shown))
    if context is None:
        context = survey_heads(car_model, corner, shown) | {"failed": True}
    files = Owner(car_model=car_model, corner=corner)
    context |= {"versions": versions, "current": current, "files": files_shown(files)}
    return render_page(request, "fitment/survey.html", context)


@role_required("technician")
@require_http_methods(["GET", "POST"])
def survey_edit(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Type a corner's survey; saving makes a new version."""
    car_model = _car_model(pk, corner)
    if request.method == "POST":
        CarModel.objects.select_for_update().get(pk=pk)
    current = CornerSurvey.objects.current(car_model, corner)
    document = current.document if current else None
    version, latest_by = (current.version, current.measured_by) if current else (0, "")
    kind = request.GET.get("kind") or (current.kind if current else TYPED_KINDS[0])
    if kind not in TYPED_KINDS and (current is None or kind != current.kind):
        raise Http404
    if request.POST.get("act") == "more":
        entry = SurveyEntry.with_more_places(kind=kind, data=request.POST, document=document)
    else:
        entry = SurveyEntry(
            kind=kind,
            data=request.POST if request.method == "POST" else None,
            document=document,
            measured_by=request.user.shown_name,
            base_version=version,
        )
    saving = request.method == "POST" and request.POST.get("act") != "more"
    if saving and entry.is_valid() and entry.is_on_top_of(version, latest_by):
        value, typed = entry.form.cleaned_data, entry.document()
        saved = survey_save(
            car_model=car_model,
            corner=corner,
            document=typed,
            fit=fit_still_true(current, typed),
            measured_on=value["measured_on"],
            measured_by=value["measured_by"],
            notes=value["notes"],
            by=request.user,
            what=_("Typed in"),
        )
        messages.success(
            request, gettext("Saved as version {version}.").format(version=saved.version)
        )
        return redirect(saved)
    context = {
        "car_model": car_model,
        "corner": corner,
        "corner_name": corner_said(corner),
        "entry": entry,
        "kind": kind,
        "kinds": [(name, gettext(KIND_WORDS[name])) for name in TYPED_KINDS],
    }
    return render_page(request, "fitment/survey_edit.html", context)


@role_required("technician")
@require_POST
def survey_mirror_view(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Take a corner's survey for the other side of the car."""
    mirrored = survey_mirror(survey=_survey(pk, corner), by=request.user)
    messages.success(
        request,
        f"Taken over as version {mirrored.version} of the {mirrored.corner_name}; "
        f"{MIRROR_SIGMA_MM:g} mm were added to the uncertainty of every place.",
    )
    return redirect("survey", pk=pk, corner=OTHER_SIDE[corner])


@role_required("technician")
@require_http_methods(["GET", "POST"])
def survey_copy_view(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Take this corner over from another car model, wider and to be confirmed."""
    car_model = _car_model(pk, corner)
    sources = CornerSurvey.objects.elsewhere(car_model, corner)
    form = CopyForm(request.POST or None, sources=sources)
    if request.method == "POST" and form.is_valid():
        value = form.cleaned_data
        saved = survey_copy(
            survey=value["source"],
            car_model=car_model,
            sigma_mm=value["sigma_mm"],
            why=value["why"],
            by=request.user,
        )
        messages.success(
            request, f"Taken over as version {saved.version}. Every place is to be confirmed."
        )
        return redirect(saved)
    context = {
        "car_model": car_model,
        "corner": corner,
        "corner_name": corner_said(corner),
        "form": form,
        "sources": sources,
    }
    return render_page(request, "fitment/survey_copy.html", context)


@role_required()
@require_GET
def survey_export_view(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """A corner's survey as a check file to keep or to send; ``?all=1`` the car model's corners."""
    current = _survey(pk, corner)
    surveys, version = [current], f"{corner}-v{current.version}"
    if request.GET.get("all"):
        surveys = list(CornerSurvey.objects.current_by_corner(current.car_model).values())
        version = "all"
    text = json.dumps(survey_export(surveys), ensure_ascii=False, indent=1)
    name = f"{slugify(current.car_model.name) or 'survey'}-{version}.json"
    response = HttpResponse(text, content_type="application/json")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@role_required("technician")
@require_http_methods(["GET", "POST"])
def survey_import(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Take a corner's survey, or all, from a check file; every problem of the file is listed."""
    car_model = _car_model(pk, corner)
    form = ImportForm(request.POST or None, request.FILES or None)
    problems: tuple[checkfile.Problem, ...] = ()
    if request.method == "POST" and form.is_valid():
        value = form.cleaned_data
        try:
            corners = corners_of_file(value["file"].read(), corner, whole=value["whole"])
        except checkfile.BadCheckFile as bad:
            problems = bad.problems
        else:
            saved = surveys_import(
                car_model=car_model,
                corners=corners,
                file_name=value["file"].name,
                measured_on=value["measured_on"],
                measured_by=value["measured_by"],
                by=request.user,
            )
            names = [f"{one.corner_name}, version {one.version}" for one in saved]
            taken = speech_of_page().listed(names)
            messages.success(request, gettext("Taken from the file: {what}.").format(what=taken))
            return redirect(saved[0])
    context = {
        "car_model": car_model,
        "corner": corner,
        "corner_name": corner_said(corner),
        "form": form,
        "problems": problems,
    }
    return render_page(request, "fitment/survey_import.html", context)

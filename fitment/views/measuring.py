"""Measuring a corner reading by reading, and the readings behind a survey."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods

from fitment.engine.readings import FORMS, POSES
from fitment.engine.surveying import BadReading
from fitment.forms.measuring import ReadingForm
from fitment.measure_page import Asked, asked_of, measure_page
from fitment.models import CORNER_NAMES, SurveySession
from fitment.services.measuring import (
    SoFar,
    reading_strike,
    reading_take,
    session_finish,
    session_open,
)
from shop.models import Pattern
from shop.services.refusals import Refused
from shop.web import render_page, role_required


@role_required("technician")
@require_http_methods(["GET", "POST"])
def survey_measure(request: HttpRequest, pk: int, corner: str) -> HttpResponse:
    """The session at a corner: the next reading, what is missing, and finishing."""
    if corner not in CORNER_NAMES:
        raise Http404
    pattern = get_object_or_404(Pattern.objects.visible_to(request.user), pk=pk)
    session = SurveySession.objects.open_at(pattern, corner)
    act = request.POST.get("act", "")
    if act == "start":
        return redirect(session_open(pattern=pattern, corner=corner, by=request.user))
    context: dict[str, Any] = {
        "pattern": pattern,
        "corner": corner,
        "corner_name": CORNER_NAMES[corner],
        "earlier": _earlier(pattern, corner),
    }
    if session is None:
        return render_page(request, "fitment/measure_start.html", context)
    if act in ("strike", "finish"):
        return _end(request, session, act)
    so_far = SoFar(session)
    context |= measure_page(so_far)
    asked = _asked(request, so_far, context["wanted"])
    form = None
    if asked is not None:
        sent = request.POST if act == "read" else None
        form = ReadingForm(sent, kind=asked.form, sheet=so_far.sheet, initial=asked.initial())
        if sent is not None and form.is_valid() and _taken(request, session, form):
            return redirect(session)
        context["expected_mm"] = _expected(so_far, asked)
    return render_page(request, "fitment/measure.html", context | {"asked": asked, "form": form})


@role_required()
@require_GET
def survey_session(request: HttpRequest, pk: int) -> HttpResponse:
    """The readings of a session as they were taken, whatever became of them."""
    sessions = SurveySession.objects.visible_to(request.user)
    session = get_object_or_404(sessions.select_related("pattern", "survey", "started_by"), pk=pk)
    context = measure_page(SoFar(session))
    return render_page(request, "fitment/survey_session.html", context)


def _earlier(pattern: Pattern, corner: str) -> list[SurveySession]:
    sessions = SurveySession.objects.filter(pattern=pattern, corner=corner)
    return list(sessions.exclude(finished_at=None).select_related("survey", "started_by"))


def _asked(request: HttpRequest, so_far: SoFar, wanted: Any) -> Asked | None:
    """What is asked now: what the address or the form names, else the next reading."""
    given = request.POST if request.POST.get("act") == "read" else request.GET
    kind = given.get("form", "")
    if kind not in FORMS:
        return asked_of(so_far, wanted)
    pose = given.get("pose", "")
    clock = given.get("clock", "").replace("−", "-")
    return Asked(
        kind,
        given.get("place", "")[:80],
        pose if pose in POSES else "standing",
        float(clock) if clock.lstrip("+-").isdigit() else None,
        "",
    )


def _expected(so_far: SoFar, asked: Asked) -> list[tuple[str, str, float]]:
    """Gaps that the survey on record expects, where a gap is asked for."""
    if asked.form != "gap" or so_far.expected is None:
        return []
    rows = [
        (place, pose, so_far.gap_mm(place, pose))
        for place in so_far.expected.places
        for pose in ("standing", "lock_in", "lock_out")
    ]
    return [(place, POSES[pose], gap) for place, pose, gap in rows if gap is not None]


def _taken(request: HttpRequest, session: SurveySession, form: ReadingForm) -> bool:
    try:
        row = reading_take(
            session=session, reading=form.reading(), values=form.values(), by=request.user
        )
    except (Refused, BadReading) as refused:
        form.add_error(None, str(refused))
        return False
    said = f"{FORMS[row.form].words} kept."
    if row.expected_mm is not None:
        off = float(row.values["gap_mm"]["value"]) - row.expected_mm
        said += f" The survey expected {row.expected_mm:.1f} mm: off by {off:+.1f} mm."
    messages.success(request, said.replace("-", "−"))
    return True


def _end(request: HttpRequest, session: SurveySession, act: str) -> HttpResponse:
    """Strike a reading, or finish the session."""
    try:
        if act == "strike":
            key = request.POST.get("reading", "")
            reading_strike(session=session, key=int(key) if key.isdigit() else 0)
            messages.success(request, "Taken back. It stays on record, struck through.")
            return redirect(session)
        version = request.POST.get("base_version", "")
        survey = session_finish(
            session=session, base_version=int(version) if version.isdigit() else -1, by=request.user
        )
    except Refused as refused:
        messages.error(request, refused.reason)
        return redirect(session)
    messages.success(request, f"Saved as version {survey.version}, with its readings.")
    return redirect(survey)

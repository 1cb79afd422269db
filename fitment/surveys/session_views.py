"""Measuring a corner reading by reading, and the readings behind a survey."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods

from common.corners import CORNER_NAMES
from common.numerals import whole
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import LOCKS, POSES, STANDING
from fitment.engine.survey.surveying import BadReading
from fitment.engine.uncertainty.this_car import Expectation, is_explained
from fitment.models import CornerSurvey, SurveyReading, SurveySession
from fitment.surveys.finishing import session_finish
from fitment.surveys.session_form_state import Asked, asked_by_name, caution_words, steer_words
from fitment.surveys.session_forms import LeaveOutForm, ReadingForm, SeriesForm
from fitment.surveys.session_next import asked_of
from fitment.surveys.session_page import drawings, measure_page
from fitment.surveys.sessions import (
    SoFar,
    readings_take,
    session_open,
    step_leave_out,
)
from fitment.surveys.withdraw_page import BARE, bare_session
from fitment.surveys.worked_out import worked_out
from fitment.text.corner_names import corner_said
from shop.languages.figures import fixed
from shop.models import CarModel, OrderKind, WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required("technician")
@require_http_methods(["GET", "POST"])
def survey_measure(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """The session at a corner: the next reading, what is missing, and finishing."""
    if corner not in CORNER_NAMES:
        raise Http404
    car_model = get_object_or_404(CarModel, pk=pk)
    session = SurveySession.objects.open_at(car_model, corner)
    act = request.POST.get("act", "")
    context: dict[str, Any] = {
        "car_model": car_model,
        "corner": corner,
        "corner_name": corner_said(corner),
        "earlier": _earlier(car_model, corner),
        "order": _order(request, car_model),
    }
    if session is None:
        return _start(request, car_model, corner, context)
    if act == "start":  # another session was started meanwhile
        return redirect(session)
    if act == "finish":
        return _end(request, session)
    name, make = f"Session {session.pk}", partial(_measuring, request, session, act, context)
    answer = None
    if not act:
        answer = worked_out(name, make)
    elif worked_out(name, partial(SoFar, session)) is not None:
        answer = make()  # what was sent is not to vanish behind a page without its form
    return answer or render_page(request, BARE, bare_session(session, failed=True))


def _measuring(
    request: StaffRequest, session: SurveySession, act: str, context: dict[str, Any]
) -> HttpResponse:
    """The page of an open session, or what follows from what was sent to it."""
    corner = session.corner
    so_far = SoFar(session)
    context |= measure_page(so_far)
    asked = asked_by_name(so_far.sheet, context["wanted"], request.POST if act else request.GET)
    asked = asked or asked_of(so_far, context["wanted"])
    form = leave = None
    if asked is not None:
        form = _form(request.POST if act == "read" else None, so_far, asked)
        if act == "read" and form.is_valid() and _taken(request, session, form):
            return redirect(session)
        leave = LeaveOutForm(request.POST if act == "leave" else None, prefix="leave")
        if act == "leave" and leave.is_valid() and _left_out(request, session, asked, leave):
            return redirect(session)
        context["expected"] = _expected(so_far, asked)
        context["caution"] = caution_words(asked.first)
        context["steer"] = steer_words(asked.pose, corner)
    context |= {"asked": asked, "form": form, "leave": leave}
    context["drawings"] = list(drawings(so_far, context["wanted"], asked))
    return render_page(request, "fitment/measure.html", context)


def _start(
    request: StaffRequest, car_model: CarModel, corner: str, context: dict[str, Any]
) -> HttpResponse:
    """Before a session: on a corner not measured yet, how much and what kind it is."""
    current = CornerSurvey.objects.current(car_model, corner)
    sent = request.POST if request.POST.get("act") == "start" else None
    form = ReadingForm(sent, kind="plan", sheet=Sheet(())) if current is None else None
    if sent is not None and (form is None or form.is_valid()):
        session = session_open(car_model=car_model, corner=corner, by=request.user)
        if form is not None:
            readings_take(session=session, readings=form.readings(), by=request.user)
        return redirect(session)
    context |= {"form": form, "current": current}
    return render_page(request, "fitment/measure_start.html", context)


def _form(sent: Any, so_far: SoFar, asked: Asked) -> ReadingForm | SeriesForm:
    """The form of what is asked: one reading, or several of a kind in one go."""
    about: dict[str, Any] = {"kind": asked.form, "sheet": so_far.sheet}
    about["initial"] = asked.initial()
    if asked.is_series:
        return SeriesForm(sent, asked=asked.rows(), **about)
    return ReadingForm(sent, pose=asked.pose, **about)


def _left_out(
    request: StaffRequest, session: SurveySession, asked: Asked, leave: LeaveOutForm
) -> bool:
    try:
        keys = [step.key for step in asked.steps]
        why = leave.cleaned_data["why"]
        step_leave_out(session=session, keys=keys, why=why, by=request.user)
    except Refused as refused:
        leave.add_error("why", refused.reason)
        return False
    messages.success(request, _("Left out, and why stands with the readings."))
    return True


def _order(request: StaffRequest, car_model: CarModel) -> WorkOrder | None:
    """The order that the page leads back to: the one that is named, else an open survey visit."""
    orders = WorkOrder.objects.filter(vehicle__car_model=car_model)
    number = whole(request.GET.get("order", ""))
    if number is not None:
        return orders.filter(pk=number).first()
    return orders.open().filter(kind=OrderKind.SURVEY_VISIT).order_by("-pk").first()


@role_required()
@require_GET
def survey_session(request: StaffRequest, pk: int) -> HttpResponse:
    """The readings of a session as they were taken, used or not."""
    session = get_object_or_404(
        SurveySession.objects.select_related(
            "car_model", "survey", "started_by", "discarded_by", "survey__withdrawn_by"
        ),
        pk=pk,
    )
    answer = worked_out(f"The readings of session {pk}", partial(_looked_at, request, session))
    return answer or render_page(request, BARE, bare_session(session, failed=True))


def _looked_at(request: StaffRequest, session: SurveySession) -> HttpResponse:
    so_far = SoFar(session)
    context = measure_page(so_far)
    context["drawings"] = list(drawings(so_far, context["wanted"], None))
    return render_page(request, "fitment/survey_session.html", context)


def _earlier(car_model: CarModel, corner: str) -> list[SurveySession]:
    sessions = SurveySession.objects.filter(car_model=car_model, corner=corner)
    over = sessions.exclude(finished_at=None, discarded_at=None)
    return list(over.select_related("survey", "started_by"))


def _expected(so_far: SoFar, asked: Asked) -> list[tuple[str, str, Expectation]]:
    """Gaps that the survey expects, where a gap is asked for, those of its pose first."""
    if asked.form != "gap" or so_far.expected is None:
        return []
    poses = sorted((STANDING, *LOCKS), key=lambda pose: pose != asked.pose)
    rows = [
        (place, POSES[pose], so_far.gap(place, pose))
        for pose in poses
        for place in so_far.expected.places
    ]
    return [(place, pose, gap) for place, pose, gap in rows if gap is not None]


def _taken(request: StaffRequest, session: SurveySession, form: ReadingForm | SeriesForm) -> bool:
    try:
        rows = readings_take(session=session, readings=form.readings(), by=request.user)
    except (Refused, BadReading) as refused:
        form.add_error(None, str(refused))
        return False
    said = ngettext("{reading} kept.", "{reading}: {count} readings kept.", len(rows)).format(
        reading=gettext(FORMS[rows[0].form].words), count=len(rows)
    )
    messages.success(request, f"{said} {_beside_what_was_expected(session, rows[0])}".strip())
    return True


def _beside_what_was_expected(session: SurveySession, row: SurveyReading) -> str:
    """How far a gap lies from the one that the survey expected; empty where it expected none."""
    if row.expected_mm is None:
        return ""
    off = float(row.values["gap_mm"]["value"]) - row.expected_mm
    expected = SoFar(session).gap(row.place, row.pose)
    if expected is None:
        said = gettext("The survey expected {expected} mm: off by {off} mm.")
    elif is_explained(off, expected.sigma_mm):
        said = gettext(
            "The survey expected {expected} mm: off by {off} mm, as its uncertainty explains "
            "(±{sigma} mm)."
        )
    else:
        said = gettext(
            "The survey expected {expected} mm: off by {off} mm, more than its uncertainty "
            "explains (±{sigma} mm)."
        )
    return said.format(
        expected=fixed(row.expected_mm, 1),
        off=fixed(off, 1, signed=True),
        sigma=fixed(expected.sigma_mm, 1) if expected else "",
    )


def _end(request: StaffRequest, session: SurveySession) -> HttpResponse:
    """Finish the session."""
    try:
        version = whole(request.POST.get("base_version", ""))
        survey = session_finish(
            session=session,
            base_version=-1 if version is None else version,
            by=request.user,
            own_wheel_why=request.POST.get("own_wheel_why", ""),
        )
    except Refused as refused:
        messages.error(request, refused.reason)
        return redirect(session)
    messages.success(
        request, _("Saved as version {version}, with its readings.").format(version=survey.version)
    )
    return redirect(survey)

"""Withdrawing readings, sessions and versions; pages that open with any readings."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from common.numerals import whole
from fitment.models import CornerSurvey, SurveySession
from fitment.surveys.withdraw_forms import REASONS, WithdrawForm
from fitment.surveys.withdraw_page import BARE, bare_session
from fitment.surveys.withdrawal import (
    is_current,
    reading_withdraw,
    session_discard,
    session_reopen,
    survey_withdraw,
)
from fitment.text.corner_names import corner_said
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required
from shop.values.first_rows import first_rows

#: How many finished or discarded sessions the list shows.
LATEST = 40


@role_required()
@require_GET
def survey_sessions(request: StaffRequest) -> HttpResponse:
    """Sessions of all car models, the open ones first: the way to readings from anywhere."""
    sessions = SurveySession.objects.select_related(
        "car_model", "survey", "started_by", "discarded_by"
    )
    open_now = list(sessions.going_on())
    over = first_rows(sessions.exclude(pk__in=[one.pk for one in open_now]), LATEST)
    context = {
        "rows": [(one, corner_said(one.corner)) for one in (*open_now, *over)],
        "more": over.more,
    }
    return render_page(request, "fitment/survey_sessions.html", context)


@role_required("technician")
@require_http_methods(["GET", "POST"])
def session_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Withdraw one reading (``?reading=``), or discard the session, with a reason."""
    session = get_object_or_404(
        SurveySession.objects.select_related("car_model", "survey", "started_by"), pk=pk
    )
    key = whole(request.GET.get("reading", ""))
    form = WithdrawForm(posted(request))
    if request.method == "POST" and form.is_valid():
        why = form.cleaned_data["why"]
        try:
            if key is None:
                session_discard(session=session, why=why, by=request.user)
            else:
                reading_withdraw(session=session, key=key, why=why, by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            said = _("Session discarded.") if key is None else _("Reading withdrawn.")
            messages.success(request, f"{said} {_('It stays on record, with your reason.')}")
            return redirect(_after(session))
    context = bare_session(session)
    context["asked"] = next((row for row in context["rows"] if row.kept.pk == key), None)
    if key is not None and context["asked"] is None:
        raise Http404
    return render_page(request, BARE, context | {"form": form, "reasons": REASONS})


def _after(session: SurveySession) -> str:
    """Where one goes on: measuring, as long as the session is open."""
    session.refresh_from_db()
    if session.is_open:
        return session.get_absolute_url()
    return session.car_model.get_absolute_url()


@role_required("technician")
@require_POST
def session_continue(request: StaffRequest, pk: int) -> HttpResponse:
    """Go on with the readings of a session whose version was withdrawn."""
    session = get_object_or_404(SurveySession, pk=pk)
    try:
        session_reopen(session=session, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
        return redirect("survey_session", pk)
    return redirect(session)


@role_required("technician")
@require_http_methods(["GET", "POST"])
def version_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Withdraw the current version of a corner's survey, with a reason."""
    survey = get_object_or_404(CornerSurvey.objects.select_related("car_model"), pk=pk)
    form = WithdrawForm(posted(request))
    if request.method == "POST" and form.is_valid():
        try:
            survey_withdraw(survey=survey, why=form.cleaned_data["why"], by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            said = _("Version {number} is withdrawn. It stays on record, with your reason.")
            messages.success(request, said.format(number=survey.version))
            return redirect("survey", survey.car_model_id, survey.corner)
    context = {
        "survey": survey,
        "car_model": survey.car_model,
        "corner_name": corner_said(survey.corner),
        "form": form,
        "reasons": REASONS,
        "may_withdraw": survey.withdrawn_at is None and is_current(survey),
    }
    return render_page(request, "fitment/version_withdraw.html", context)

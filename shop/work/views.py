"""What is recorded beside the lift and after it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.extensions.answers import Question, back_to
from shop.extensions.panels import rendered
from shop.extensions.points import ROAD_TEST_PANELS
from shop.files.services import file_response, kind_stored
from shop.models import Comeback, ContactMark, OrderKind, WorkOrder
from shop.orders.services.access import order_or_404
from shop.orders.services.cautions import Moment, cautions_at, job_of
from shop.orders.services.changes import comeback_open
from shop.orders.services.states import order_hand_over
from shop.orders.services.torques import torques_due
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required
from shop.work.forms import (
    ComebackForm,
    HandOverForm,
    InstalledForm,
    RoadTestForm,
    mark_formset,
    marks_of,
)
from shop.work.road_test_forms import ContradictionForm
from shop.work.services import contradictions, installed_add, road_test_add

PLACES = (
    "arch lip",
    "arch edge",
    "liner, front",
    "liner, rear",
    "inner panel",
    "frame rail",
    "strut",
    "damper body",
    "knuckle",
    "toe link",
    "anti-roll bar",
    "brake caliper",
)


def known_places() -> list[str]:
    """Places of earlier marks, and common ones, for the list of a field."""
    marks = ContactMark.objects.order_by("place").values_list("place", flat=True).distinct()
    return sorted({*PLACES, *marks})


@role_required("technician")
@require_http_methods(["GET", "POST"])
def installed_new(request: StaffRequest, pk: int) -> HttpResponse:
    order = order_or_404(pk)
    initial = {"line": request.GET.get("line", "")}
    form = InstalledForm(posted(request), order=order, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            installed_add(order=order, by=request.user, values=form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Part recorded."))
            return back_to(order, Question.DONE)
    context = {
        "order": order,
        "form": form,
        "cautions": cautions_at(job_of(order), Moment.FIT),
    }
    return render_page(request, "shop/installed_new.html", context)


def _road_test_kept(
    request: StaffRequest,
    order: WorkOrder,
    form: RoadTestForm,
    marks: list[dict[str, Any]],
    settle: ContradictionForm | None,
) -> bool:
    """Keep a road test, unless something is still to be asked or stands in the way."""
    if settle is not None and not settle.is_valid():
        return False
    judged = settle.cleaned_data if settle else {}
    try:
        road_test_add(
            order=order,
            by=request.user,
            values=form.cleaned_data,
            marks=marks,
            wrong=judged.get("wrong", ""),
            wrong_note=judged.get("wrong_note", ""),
        )
    except Refused as refused:
        refuse(form, refused)
        return False
    return True


@role_required("technician")
@require_http_methods(["GET", "POST"])
def road_test(request: StaffRequest, pk: int) -> HttpResponse:
    order = order_or_404(pk)
    form = RoadTestForm(posted(request))
    marks = mark_formset(posted(request))
    settle: ContradictionForm | None = None
    if request.method == "POST" and all([form.is_valid(), marks.is_valid()]):
        values, found = form.cleaned_data, marks_of(marks)
        against = contradictions(order, values, found)
        settle = ContradictionForm(request.POST, sentences=against) if against else None
        if _road_test_kept(request, order, form, found, settle):
            messages.success(request, _("Road test recorded."))
            return back_to(order, Question.HELD)
    context = {
        "order": order,
        "form": form,
        "marks": marks,
        "settle": settle,
        "places": known_places(),
        "panels": rendered(panel(order) for panel in ROAD_TEST_PANELS),
        "cautions": cautions_at(job_of(order), Moment.ROAD_TEST),
    }
    return render_page(request, "shop/road_test.html", context)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def hand_over(request: StaffRequest, pk: int) -> HttpResponse:
    """Look at what was done once more, then give the car back."""
    order = order_or_404(pk)
    form = HandOverForm(posted(request), initial={"curves": order.curves_on_sheet})
    if request.method == "POST" and form.is_valid():
        try:
            order_hand_over(order=order, by=request.user, **form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{number} is handed over.").format(number=order.number))
            return back_to(order, Question.HELD)
    context = {
        "order": order,
        "form": form,
        "due": torques_due(order),
        "installed": order.installed.all(),
        "test": order.road_tests.prefetch_related("marks").first(),
        "is_survey": order.kind == OrderKind.SURVEY_VISIT,
        "cautions": cautions_at(job_of(order), Moment.HAND_OVER),
    }
    return render_page(request, "shop/hand_over.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def comeback_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The customer is back: open an order for it, tied to the first."""
    first = order_or_404(pk)
    form = ComebackForm(posted(request), request.FILES if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            order = comeback_open(
                first_order=first, by=request.user, values=dict(form.cleaned_data)
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Comeback {number} opened.").format(number=order.number))
            return redirect(order)
    context = {"first": first, "form": form, "places": known_places()}
    return render_page(request, "shop/comeback_new.html", context)


@role_required()
@require_GET
def comeback_photo(request: StaffRequest, pk: int) -> HttpResponseBase:
    """A comeback's photograph, with the type that its bytes have and no other."""
    comeback = get_object_or_404(Comeback.objects.select_related("order"), order__pk=pk)
    if not comeback.photo:
        raise Http404
    kind = kind_stored(comeback.photo)
    if kind is None:
        raise Http404
    name = f"{comeback.order.number}.{kind.extension}"
    return file_response(comeback.photo, content_type=kind.content_type, name=name, shown=True)

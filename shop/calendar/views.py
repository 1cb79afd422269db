"""Booking a time, moving it, taking it back, and the sheets of a day and a week."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.calendar.day_sheet import sheet_of_day
from shop.calendar.forms import CALENDAR_YEARS, BookingEditForm, BookingForm, NoShowForm
from shop.calendar.opening import opening
from shop.calendar.proposals import FreeTime, duration_of, free_times, needs_rack
from shop.calendar.services import booking_cancel as do_cancel
from shop.calendar.services import booking_make
from shop.calendar.services import booking_move as do_move
from shop.calendar.services import booking_no_show as do_no_show
from shop.calendar.week_sheet import week_of
from shop.extensions.answers import Question, back_to
from shop.models import Booking, WorkOrder
from shop.orders.services.access import order_or_404
from shop.orders.services.gates import GateClosed, gates_ask
from shop.outbox.services.queue import appointment_mail_queue
from shop.outbox.services.server import has_server
from shop.outbox.services.words import link_of
from shop.parts.data import booked_too_early, parts_due_from, parts_waiting
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required

#: What a booking is made of, by the form's names.
BOOKED = ("bay", "technician", "starts_at", "ends_at", "needs_rack", "outside_reason")


@role_required("writer")
@require_http_methods(["GET", "POST"])
def booking_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Book a free time in one press, or one's own; the day's sheet stands beside the form."""
    order = order_or_404(pk)
    duration, rack = duration_of(order), needs_rack(order)
    free = free_times(
        duration=duration, rack=rack, after=max(timezone.now(), parts_due_from(order))
    )
    day = _day_of(request.GET.get("day", ""))
    initial = _first_values(free, day, duration, rack)
    may_mail = has_server() and bool(order.customer.email)
    form = BookingForm(posted(request), initial=initial, may_mail=may_mail)
    closed: GateClosed | None = None
    if request.method == "POST" and form.is_valid():
        try:
            data = {name: form.cleaned_data[name] for name in BOOKED}
            booking = booking_make(order=order, by=request.user, **data)
            if form.cleaned_data.get("by_mail"):
                link = link_of(order, request)
                appointment_mail_queue(booking=booking, by=request.user, link=link)
        except GateClosed as gate:
            closed = gate
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Appointment booked."))
            _warn_of_parts(request, order)
            return back_to(order, Question.WHEN)
    context: dict[str, Any] = {
        "order": order,
        "form": form,
        "free": free,
        "duration": duration,
        "rack": rack,
        "closed": closed,
        "parts_waiting": parts_waiting([order.pk]).get(order.pk, []),
        "verdicts": [v for v in gates_ask(order) if not v.is_open],
        **sheet_of_day(_day_shown(form, initial["day"])),
    }
    return render_page(request, "shop/booking_new.html", context)


def _warn_of_parts(request: StaffRequest, order: WorkOrder) -> None:
    """Say which parts are promised for after the appointment."""
    if early := booked_too_early(order):
        messages.warning(request, early)


def _first_values(
    free: list[FreeTime], day: dt.date | None, duration: dt.timedelta, rack: bool
) -> dict[str, Any]:
    """Where a booking begins: the first free time, or the day that was asked for."""
    if free and day in (None, timezone.localtime(free[0].starts_at).date()):
        return {"needs_rack": rack, **_values_of(free[0])}
    tomorrow = timezone.localdate() + dt.timedelta(days=1)
    return {"needs_rack": rack, "day": day or opening().next_open(tomorrow)}


def _values_of(time: FreeTime | Booking) -> dict[str, Any]:
    starts, ends = timezone.localtime(time.starts_at), timezone.localtime(time.ends_at)
    return {
        "day": starts.date(),
        "starts": starts.time(),
        "ends": ends.time(),
        "bay": time.bay,
        "technician": time.technician,
    }


def _day_shown(form: BookingForm, otherwise: dt.date) -> dt.date:
    """The day that was sent, where it is one."""
    day = form.cleaned_data.get("day") if form.is_bound else None
    return day if isinstance(day, dt.date) else otherwise


@role_required("writer")
@require_http_methods(["GET", "POST"])
def booking_move(request: StaffRequest, pk: int) -> HttpResponse:
    """Another time for a block in one act; free times stand beside the form."""
    booking = _standing_or_404(pk)
    duration = booking.ends_at - booking.starts_at
    free = free_times(
        duration=duration, rack=booking.needs_rack, after=timezone.now(), without=booking
    )
    day = _day_of(request.GET.get("day", ""))
    initial = {
        **_values_of(booking),
        "needs_rack": booking.needs_rack,
        "outside_reason": booking.outside_reason,
    }
    form = BookingEditForm(posted(request), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            data = {name: form.cleaned_data[name] for name in BOOKED}
            do_move(booking=booking, by=request.user, **data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Appointment moved."))
            _warn_of_parts(request, booking.order)
            return back_to(booking.order, Question.WHEN)
    context: dict[str, Any] = {
        "order": booking.order,
        "booking": booking,
        "form": form,
        "free": free,
        "duration": duration,
        "rack": booking.needs_rack,
        **sheet_of_day(_day_shown(form, day or initial["day"])),
    }
    return render_page(request, "shop/booking_move.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def booking_no_show(request: StaffRequest, pk: int) -> HttpResponse:
    """The car did not come: say what is known, and the time is free again."""
    booking = _standing_or_404(pk)
    form = NoShowForm(posted(request))
    if request.method == "POST" and form.is_valid():
        try:
            order = do_no_show(booking=booking, by=request.user, **form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Recorded. The time is free again."))
            return back_to(order, Question.WHEN)
    context = {"order": booking.order, "booking": booking, "form": form}
    return render_page(request, "shop/booking_no_show.html", context)


def _standing_or_404(pk: int) -> Booking:
    rows = Booking.objects.select_related("order__vehicle", "order__customer", "bay", "technician")
    return get_object_or_404(rows, pk=pk)


def _day_of(text: str) -> dt.date | None:
    """A day in the years of a shop's calendar; None for any other text."""
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        return None
    return day if day.year in CALENDAR_YEARS else None


@role_required("writer")
@require_POST
def booking_cancel(request: StaffRequest, pk: int) -> HttpResponse:
    booking = get_object_or_404(Booking.objects.select_related("order", "bay"), pk=pk)
    try:
        order = do_cancel(booking=booking, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
        return back_to(booking.order, Question.WHEN)
    messages.success(request, _("Appointment cancelled."))
    return back_to(order, Question.WHEN)


@role_required()
@require_GET
def day_sheet(request: StaffRequest, date: str = "") -> HttpResponse:
    """What is booked on a day, bay by bay."""
    day = _day_asked(request, date)
    mine = request.GET.get("mine") == "yes"
    by = _by(request)
    context = sheet_of_day(day, only=request.user if mine else None, by=by)
    return render_page(request, "shop/day_sheet.html", context | {"mine": mine})


@role_required()
@require_GET
def week_sheet(request: StaffRequest, date: str = "") -> HttpResponse:
    """A week, day by day, by bay or by technician."""
    by = _by(request)
    context = week_of(_day_asked(request, date), by=by)
    return render_page(request, "shop/week_sheet.html", context | {"by": by})


def _by(request: StaffRequest) -> str:
    """Whether a sheet goes by bay or by technician."""
    return "technician" if request.GET.get("by") == "technician" else "bay"


def _day_asked(request: StaffRequest, date: str) -> dt.date:
    """The day of an address, of the field for a day, or today; Http404 for what is none."""
    text = date or request.GET.get("date", "")
    day = _day_of(text) if text else timezone.localdate()
    if day is None:
        raise Http404
    return day

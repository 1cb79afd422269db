"""Booking a time, taking it back, and the sheet of a day."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.calendar.day_sheet import sheet_of_day
from shop.calendar.forms import CALENDAR_YEARS, BookingForm
from shop.calendar.services import booking_cancel as do_cancel
from shop.calendar.services import booking_make
from shop.models import Booking, OrderKind
from shop.orders.services.access import order_or_404
from shop.orders.services.gates import GateClosed, gates_ask
from shop.parts.data import late_sentence, parts_after, parts_waiting
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def booking_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Book a block; the day's sheet stands beside the form, so that free time can be seen."""
    order = order_or_404(pk)
    day = _day_of(request.GET.get("day", "")) or timezone.localdate() + dt.timedelta(days=1)
    initial = {"day": day, "needs_rack": order.needs_check or order.kind == OrderKind.ALIGNMENT}
    form = BookingForm(posted(request), initial=initial)
    closed: GateClosed | None = None
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        day = data["day"]
        names = ("bay", "technician", "starts_at", "ends_at", "needs_rack")
        try:
            booking_make(order=order, by=request.user, **{name: data[name] for name in names})
        except GateClosed as gate:
            closed = gate
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Appointment booked."))
            if late := late_sentence(parts_after(order, day), day):
                messages.warning(request, late)
            return redirect(order)
    context: dict[str, Any] = {
        "order": order,
        "form": form,
        "closed": closed,
        "parts_waiting": parts_waiting([order.pk]).get(order.pk, []),
        "verdicts": [v for v in gates_ask(order) if not v.is_open],
        **sheet_of_day(day),
    }
    return render_page(request, "shop/booking_new.html", context)


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
        return redirect(booking.order)
    messages.success(request, _("Appointment cancelled."))
    return redirect(order)


@role_required()
@require_GET
def day_sheet(request: StaffRequest, date: str = "") -> HttpResponse:
    """What is booked on a day, bay by bay."""
    day = _day_of(date) if date else timezone.localdate()
    if day is None:
        raise Http404
    mine = request.GET.get("mine") == "yes"
    context = sheet_of_day(day, only=request.user if mine else None)
    return render_page(request, "shop/day_sheet.html", context | {"mine": mine})

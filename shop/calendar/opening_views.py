"""The page of the opening hours."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from shop.calendar.opening import opening, opening_lock, opening_set
from shop.calendar.opening_forms import OpeningForm, first_values
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("manager")
@require_http_methods(["GET", "POST"])
def opening_hours(request: StaffRequest) -> HttpResponse:
    if request.method == "POST":
        opening_lock()
    now = opening()
    form = OpeningForm(posted(request), initial=first_values(dict(now.week), dict(now.closed)))
    if request.method == "POST" and form.is_valid():
        opening_set(week=form.week(), closed=form.cleaned_data["closed"])
        messages.success(request, _("Saved. Appointments that were made stay as they are."))
        return redirect("opening_hours")
    return render_page(request, "shop/opening_hours.html", {"form": form})

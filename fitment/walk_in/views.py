"""The page for a walk-in, and the part of it that says who is on record already."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from common.numerals import whole
from fitment.fields.catalogue_names import Catalogue
from fitment.models import TyreModel, WheelModel
from fitment.walk_in.forms import WalkInForm
from fitment.walk_in.services import first_check, measured_besides, walk_in_open
from shop.models import Vehicle
from shop.site.detours import DETOUR, detour_begin, take_draft
from shop.site.refusals import Refused, refuse
from shop.site.sending import long_work
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required

#: Pages that a walk-in may be left for, and what the buttons say.
DETOURS = {"car_model": "car_model_new", "wheel": "wheel_new", "tyre": "tyre_new"}


@role_required("writer")
@require_http_methods(["GET", "POST"])
@long_work
def walk_in(request: StaffRequest) -> HttpResponse:
    """Take in customer, car, request, wheels and settings at once, and answer with the check."""
    to = DETOURS.get(request.POST.get(DETOUR, ""))
    if to is not None:
        return detour_begin(request, reverse(to))
    form = WalkInForm(posted(request), initial=_chosen(request))
    if request.method == "GET" and take_draft(form, request, _made(request)):
        form = WalkInForm(initial=form.initial)
    if request.method == "POST" and form.is_valid() and form.asked:
        try:
            order = walk_in_open(asked=form.asked, by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{number} opened.").format(number=order.number))
            if not form.asked.axles:
                return redirect(order)
            check = first_check(order=order, by=request.user)
            if check is not None and (besides := measured_besides(check)):
                messages.info(request, _("Apart from that: {finding}").format(finding=besides))
            return redirect("clearance", pk=order.pk)
    context = {
        "form": form,
        "wheels": Catalogue.of(WheelModel.objects.all()).names,
        "tyres": Catalogue.of(TyreModel.objects.all()).names,
    }
    return render_page(request, "fitment/walk_in.html", context)


@role_required("writer")
@require_GET
def walk_in_known(request: StaffRequest) -> HttpResponse:
    """Who may be meant by what was typed so far, for the page that is being filled in."""
    names = ("name", "phone", "plate", "known")
    form = WalkInForm(initial={name: request.GET.get(name, "") for name in names})
    return render_page(request, "fitment/walk_in_known.html", {"form": form})


def _chosen(request: StaffRequest) -> dict[str, Any]:
    """What a link may choose beforehand: a vehicle or a customer on record."""
    number = whole(request.GET.get("vehicle", ""))
    if number is not None:
        vehicle = Vehicle.objects.unmerged().filter(pk=number).first()
        if vehicle is not None:
            return {"known": f"v{vehicle.pk}", "mileage_km": vehicle.mileage_km}
    number = whole(request.GET.get("customer", ""))
    return {} if number is None else {"known": f"c{number}"}


def _made(request: StaffRequest) -> dict[str, Any]:
    """What a detour made: a car model, a wheel or a tyre."""
    made: dict[str, Any] = {}
    if (number := whole(request.GET.get("car_model", ""))) is not None:
        made["car_model"] = str(number)
    for name, rows in (("wheel", WheelModel.objects), ("tyre", TyreModel.objects)):
        number = whole(request.GET.get(name, ""))
        row = None if number is None else rows.filter(pk=number).first()
        if row is not None:
            made[f"front_{name}"] = str(row)
    return made

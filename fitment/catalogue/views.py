"""The catalogue of wheels, tyres and profiles."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_GET, require_http_methods

from common.numerals import whole
from fitment.catalogue.forms import TyreForm, UseForm, WheelForm
from fitment.models import TyreModel, UseProfile, WheelModel
from shop.models import WorkOrder
from shop.site.detours import way_back
from shop.site.view_helpers import StaffRequest, page_of, render_page, role_required


def _back_to(request: HttpRequest, catalogue: str) -> str:
    """Where saving leads: to the wheels of the order that it was begun from, else the catalogue."""
    number = whole(request.GET.get("order", ""))
    if number is not None:
        order = WorkOrder.objects.filter(pk=number).first()
        if order is not None:
            return reverse("order_wheels", args=[order.pk])
    return reverse(catalogue)


@role_required()
@require_GET
def wheel_list(request: HttpRequest) -> HttpResponse:
    words = request.GET.get("q", "").strip()
    wheels = WheelModel.objects.search(words)
    return render_page(
        request, "fitment/wheel_list.html", {"page": page_of(request, wheels), "words": words}
    )


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def wheel_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A wheel of the catalogue, new or as it is."""
    wheel = get_object_or_404(WheelModel.every, pk=pk) if pk is not None else None
    back = _back_to(request, "wheel_list")
    form = WheelForm(request.POST or None, instance=wheel, by=request.user)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, gettext("Saved: {what}.").format(what=saved))
        return redirect(way_back(request, wheel=saved.pk) or back)
    context = {"form": form, "wheel": wheel, "back": back}
    return render_page(request, "fitment/wheel_edit.html", context)


@role_required()
@require_GET
def tyre_list(request: HttpRequest) -> HttpResponse:
    words = request.GET.get("q", "").strip()
    tyres = TyreModel.objects.search(words)
    return render_page(
        request, "fitment/tyre_list.html", {"page": page_of(request, tyres), "words": words}
    )


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def tyre_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A tyre of the catalogue, new or as it is."""
    tyre = get_object_or_404(TyreModel.every, pk=pk) if pk is not None else None
    back = _back_to(request, "tyre_list")
    form = TyreForm(request.POST or None, instance=tyre, by=request.user)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, gettext("Saved: {what}.").format(what=saved))
        return redirect(way_back(request, tyre=saved.pk) or back)
    context = {"form": form, "tyre": tyre, "back": back}
    return render_page(request, "fitment/tyre_edit.html", context)


@role_required()
@require_GET
def use_list(request: HttpRequest) -> HttpResponse:
    return render_page(request, "fitment/use_list.html", {"profiles": UseProfile.objects.all()})


@role_required("manager")
@require_http_methods(["GET", "POST"])
def use_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """What a use asks of the wheel and the margin it needs."""
    profile = get_object_or_404(UseProfile, pk=pk)
    form = UseForm(request.POST or None, instance=profile)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(
            request,
            gettext("Saved. Checks for {use} use made before are now out of date.").format(
                use=profile
            ),
        )
        return redirect("use_list")
    return render_page(request, "fitment/use_edit.html", {"form": form, "profile": profile})

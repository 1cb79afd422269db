"""How wheels are held, mounting checks, and the shop's law."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from common.corners import AXLES
from fitment.engine.mounting.law import PRESETS, USUAL
from fitment.models import MountingCheck, OrderMounting, ShopLaw
from fitment.mounting.forms import LawForm, OrderMountingForm
from fitment.mounting.law import law_save, law_take_over
from fitment.mounting.page import kept_page
from fitment.mounting.services.record import mounting_keep
from fitment.mounting.text import mounting_sentence
from fitment.text.labels import figure_words, preset_words
from shop.extensions.answers import back_to
from shop.models import WorkOrder
from shop.orders.services.access import order_or_404, order_to_change
from shop.orders.services.log import log_write
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_mounting(request: StaffRequest, pk: int) -> HttpResponse:
    """Rings, and other nuts, bolts or studs than the car's own."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    form = OrderMountingForm(posted(request), order=order)
    if request.method == "POST" and form.is_valid() and order.is_open:
        with transaction.atomic():
            for axle in AXLES:
                OrderMounting.objects.update_or_create(
                    order=order, axle=axle, defaults=form.values(axle)
                )
            log_write(order=order, by=request.user, what=_("Rings and nuts chosen"))
            mounting_keep(order=order, by=request.user)
        messages.success(request, _("Saved."))
        return redirect("order_mounting_checks", pk=order.pk)
    return render_page(request, "fitment/order_mounting.html", {"form": form, "order": order})


@role_required("writer", "technician")
@require_POST
def mounting_run(request: StaffRequest, pk: int) -> HttpResponse:
    """Answer the mounting checks of an order as it is now, and keep the answers."""
    order = get_object_or_404(WorkOrder.objects.select_related("vehicle__car_model"), pk=pk)
    if not order.is_open:
        messages.error(request, _("The order is closed: what was answered for it stays as it was."))
    elif (check := mounting_keep(order=order, by=request.user)) is None:
        messages.error(request, _("Choose wheels and tyres first."))
    else:
        messages.success(request, f"{_('On record.')} {mounting_sentence(check.answers)}")
    if request.POST.get("from") == "checks":
        return redirect("order_mounting_checks", pk=order.pk)
    return back_to(order, "mounting")


@role_required()
@require_GET
def mounting_check(request: StaffRequest, pk: int) -> HttpResponse:
    """Mounting checks as they were answered on the day, with what they used."""
    check = get_object_or_404(MountingCheck.objects.select_related("order__vehicle", "by"), pk=pk)
    context = {"check": check, "order": check.order, **kept_page(check)}
    return render_page(request, "fitment/mounting_check.html", context)


@role_required("manager")
@require_http_methods(["GET", "POST"])
def law(request: StaffRequest) -> HttpResponse:
    """Figures that the shop follows, each with its source."""
    kept = ShopLaw.load_to_change() if request.method == "POST" else ShopLaw.load()
    form = LawForm(posted(request), law=kept.law())
    if request.method == "POST" and form.is_valid():
        law_save(figures=form.law())
        messages.success(
            request,
            _(
                "Saved. Mounting checks use these figures from now on; those on record have to be "
                "repeated."
            ),
        )
        return redirect("law")
    presets = [(key, preset, preset_words(preset)) for key, preset in PRESETS.items()]
    usual = [(figure_words(key, figure.value), figure.source) for key, figure in USUAL.items()]
    context = {"form": form, "presets": presets, "usual": usual, "kept": kept}
    return render_page(request, "fitment/law.html", context)


@role_required("manager")
@require_POST
def law_take(request: StaffRequest) -> HttpResponse:
    """Take over the figures of one document."""
    preset = request.POST.get("preset", "")
    if preset in PRESETS:
        law_take_over(preset=preset)
        messages.success(request, _("Taken over: {name}.").format(name=PRESETS[preset].name))
    else:
        messages.error(request, _("Choose one of the documents."))
    return redirect("law")

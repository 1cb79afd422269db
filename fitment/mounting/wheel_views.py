"""Choosing what an order mounts."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from common.corners import AXLES
from common.numerals import whole
from fitment.mounting.services.wheels import order_wheels_choose
from fitment.mounting.wheel_forms import OrderWheelsForm
from shop.orders.services.access import order_or_404, order_to_change
from shop.site.detours import DETOUR, detour_begin, draft_of, take_draft
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required

#: Pages that this one may be left for.
DETOURS = {"wheel": "wheel_new", "tyre": "tyre_new"}


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def order_wheels(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose wheel, tyre and spacer for each axle of an order."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    to = DETOURS.get(request.POST.get(DETOUR, ""))
    if to is not None:
        return detour_begin(request, reverse(to))
    form = OrderWheelsForm(posted(request), order=order)
    take_draft(form, request, _made(request, form))
    if request.method == "POST" and form.is_valid():
        try:
            order_wheels_choose(order=order, choices=form.choices(), by=request.user)
        except Refused as refused:
            form.add_error(None, refused.reason)
        else:
            messages.success(request, _("Wheels saved. Check clearance next."))
            return redirect("clearance", pk=order.pk)
    buttons = [("wheel", gettext("New wheel")), ("tyre", gettext("New tyre"))]
    context = {"order": order, "form": form, "detours": buttons}
    return render_page(request, "fitment/order_wheels.html", context)


def _made(request: StaffRequest, form: OrderWheelsForm) -> dict[str, str]:
    """A wheel or tyre that a detour made, for the first axle that has none yet."""
    draft = draft_of(request) or QueryDict()
    made: dict[str, str] = {}
    for name in ("wheel", "tyre"):
        number = whole(request.GET.get(name, ""))
        empty = [axle for axle in AXLES if not draft.get(f"{axle}_{name}")]
        if number is not None:
            made[f"{(empty or AXLES)[0]}_{name}"] = str(number)
    return made

"""The adjustments of an order, corner by corner, and accepting them."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from alignment.adjustments.accept import CHANGED, adjustments_accept, versions_of
from alignment.adjustments.car_after import car_after
from alignment.adjustments.held import WHOLE, adjusters_hold
from alignment.adjustments.page import (
    FREE,
    LEAVE,
    CornerPage,
    adjustments_page,
    shown_digest,
    taken_of,
)
from alignment.geometry.adjustment_problem import EXACT_DEG, TOE
from alignment.models import PlannedSetting, RackVisit
from common.corners import AXLE_CORNERS
from shop.models import Axle, Corner, WorkOrder
from shop.orders.services.cautions import Moment, cautions_at, job_of
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required("technician")
@require_GET
def adjustments(request: StaffRequest, pk: int) -> HttpResponse:
    order = _order_or_404(pk)
    corners = adjustments_page(order)
    context = {
        "order": order,
        "corners": corners,
        "after": car_after({one.adjustments.corner: one.adjustments for one in corners}),
        "shown": shown_digest(corners),
        "may_accept": order.is_open and any(one.has_moves or one.stays for one in corners),
        "all_accepted": all(
            one.is_accepted or one.chosen == LEAVE for one in corners if one.has_moves
        ),
        "has_readings": RackVisit.objects.filter(order=order).exists(),
        "has_plan": PlannedSetting.objects.filter(order=order).exists(),
        "cautions": cautions_at(job_of(order), Moment.ADJUST),
    }
    return render_page(request, "alignment/adjustments.html", context)


@role_required("technician")
@require_POST
def adjustments_take(request: StaffRequest, pk: int) -> HttpResponse:
    """Keep the options that were chosen, as they were shown, and what stays.

    Where something else stays than the page was worked out with, nothing is accepted: what
    depends on it is worked out anew and shown first.
    """
    order = _order_or_404(pk)
    versions = versions_of(order)
    corners = adjustments_page(order)
    try:
        if request.POST.get("shown") != shown_digest(corners):
            raise Refused(str(CHANGED))
        chosen = _chosen(request.POST, corners)
        stays = _stays(request.POST, corners, chosen)
        if changed := adjusters_hold(order=order, by=request.user, wanted=stays):
            messages.warning(request, _worked_out_anew(changed))
            return redirect("adjustments", order.pk)
        front_waits = _turns_otherwise(corners, chosen)
        taken = [
            taken_of(one, chosen[one.adjustments.corner])
            for one in corners
            if chosen[one.adjustments.corner] not in (LEAVE, FREE)
            and not (front_waits and one.adjustments.corner in AXLE_CORNERS[Axle.FRONT])
        ]
        kept = adjustments_accept(order=order, by=request.user, taken=taken, versions=versions)
    except Refused as refusal:
        messages.error(request, refusal.reason)
    else:
        said = _("Adjustments accepted.") if kept else _("These adjustments were accepted before.")
        then = _("Make them, toe last, then read the car again.")
        messages.success(request, f"{said} {then}")
        if front_waits:
            messages.warning(
                request,
                _(
                    "This rear option turns the thrust line otherwise. The front is worked out "
                    "anew: check it, then accept."
                ),
            )
    return redirect("adjustments", order.pk)


def _chosen(data: QueryDict, corners: list[CornerPage]) -> dict[str, str]:
    """By corner, the option that was chosen. Raises Refused for one that is not offered."""
    found = {}
    for one in corners:
        corner, picked = one.adjustments.corner, data.get(one.field, LEAVE)
        offered = {str(index) for index in range(len(one.options))} if one.has_moves else set()
        if picked not in {LEAVE, FREE, *offered}:
            name = Corner(corner).label
            raise Refused(_("{corner}: this option is not offered.").format(corner=name))
        found[corner] = picked
    return found


def _stays(
    data: QueryDict, corners: list[CornerPage], chosen: dict[str, str]
) -> dict[str, set[str]]:
    """By corner, what is to stay: the whole of a corner that is left, and single adjusters."""
    found: dict[str, set[str]] = {}
    for one in corners:
        corner = one.adjustments.corner
        ticked = set(data.getlist(one.stay_field)) & set(one.adjustments.may_stay)
        left = chosen[corner] == LEAVE and one.field in data
        whole = left and (one.stays or (one.has_moves and not one.adjustments.needs_thrust))
        found[corner] = ticked | ({WHOLE} if whole else set())
    return found


def _worked_out_anew(corners: Sequence[str]) -> str:
    names = ", ".join(str(Corner(corner).label) for corner in corners)
    return _(
        "Noted what stays: {corners}. Everything that depends on it is worked out anew. Check the "
        "adjustments, then accept them."
    ).format(corners=names)


def _turns_otherwise(corners: list[CornerPage], chosen: dict[str, str]) -> bool:
    """Whether the rear options that were chosen turn the thrust line otherwise than the front was
    worked out with."""
    by_corner = {one.adjustments.corner: one for one in corners}
    rear = [by_corner.get(corner) for corner in AXLE_CORNERS[Axle.REAR]]
    turned = 0.0
    for sign, one in zip((0.5, -0.5), rear, strict=True):
        if one is None or chosen[one.adjustments.corner] in (LEAVE, FREE):
            continue
        toe = one.shown(chosen[one.adjustments.corner]).option.predicted.get(TOE)
        reckoned = one.adjustments.toe_after
        if toe is not None and reckoned is not None:
            turned += sign * (toe - reckoned)
    return abs(turned) > EXACT_DEG


def _order_or_404(pk: int) -> WorkOrder:
    orders = WorkOrder.objects.select_related("customer", "vehicle__car_model")
    return get_object_or_404(orders, pk=pk)

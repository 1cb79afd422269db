"""This car's gaps: how a corner stands, what the model expects, and what was read."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from alignment.geometry.linkage import Unreachable
from alignment.text.render import render
from common.corners import CORNER_NAMES
from fitment.clearance.gap_forms import GapsForm, PresentForm
from fitment.clearance.present_car import Expected, duty_of, gaps_save, present_save
from fitment.engine import checkfile
from fitment.engine.defaults import GAP_READING
from fitment.engine.findings import pose_of
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.models import CornerSurvey, PresentCorner
from fitment.text.corner_names import corner_said
from fitment.text.render import reason_text
from shop.languages.figures import fixed
from shop.languages.formatting import capital
from shop.models import WorkOrder
from shop.orders.services.access import order_or_404, order_to_change
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required("technician")
@require_http_methods(["GET", "POST"])
def gaps(request: StaffRequest, pk: int, corner: str) -> HttpResponse:
    """Enter how a corner of this car stands, then the gaps, each beside what is expected."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    if corner not in CORNER_NAMES:
        raise Http404
    car_model = order.vehicle.car_model
    surveys = CornerSurvey.objects.current_by_corner(car_model) if car_model else {}
    context: dict[str, Any] = {
        "order": order,
        "corner": corner,
        "corner_name": corner_said(corner),
        "corners": [(key, corner_said(key)) for key in CORNER_NAMES if key in surveys],
        "survey": surveys.get(corner),
    }
    if corner not in surveys:
        return render_page(request, "fitment/gaps.html", context)
    stands = PresentCorner.objects.filter(order=order, corner=corner)
    present = stands.select_related("wheel", "tyre", "order").prefetch_related("gaps").first()
    act = request.POST.get("act", "")
    typed = request.POST if act == "present" else None
    form = PresentForm(typed, order=order, survey=surveys[corner], stands=present)
    if act == "present" and form.is_valid() and _kept(request, order, corner, form):
        return redirect("gaps", pk=order.pk, corner=corner)
    context |= {"form": form, "present": present}
    if present is not None:
        context |= _reading(request, surveys[corner], present)
        if "saved" in context:
            return redirect("clearance", pk=order.pk)
    return render_page(request, "fitment/gaps.html", context)


def _kept(request: StaffRequest, order: WorkOrder, corner: str, form: PresentForm) -> bool:
    try:
        present_save(order=order, corner=corner, values=form.values(), by=request.user)
    except Refused as refused:
        form.add_error(None, refused.reason)
        return False
    messages.success(request, _("Saved. The model's gaps stand below: read them on the car."))
    return True


def _reading(request: StaffRequest, survey: CornerSurvey, present: PresentCorner) -> dict[str, Any]:
    """The table of gaps; ``saved`` once they were kept, ``stuck`` where the model cannot stand."""
    try:
        expected = Expected(survey, present, duty_of(present.order))
    except checkfile.BadCheckFile as bad:
        return {"stuck": [problem.message for problem in bad.problems]}
    except (Unreachable, RestsOnStops) as stuck:
        return {"stuck": [reason_text(stuck)]}
    typed = request.POST if request.POST.get("act") == "gaps" else None
    form = GapsForm(typed, expected=expected, read=list(present.gaps.all()))
    if typed is not None and form.is_valid():
        try:
            rows = gaps_save(stands=present, gaps=form.gaps(), expected=expected, by=request.user)
        except Refused as refused:
            form.add_error(None, refused.reason)
        else:
            _say(request, expected, rows)
            return {"saved": True}
    return {
        "readings": form,
        "usual_sigma": GAP_READING.value,
        "free_open": any("more" in name for name in form.errors),
    }


def _say(request: StaffRequest, expected: Expected, rows: list[Any]) -> None:
    messages.success(
        request, _("Gaps saved. The clearance check takes them in when it is run again.")
    )
    for row in rows:
        if why := expected.left_out(row.place, row.travel_mm, row.steer_deg):
            messages.warning(request, f"{capital(render(why))}.")
        gap = expected.gap(row.place, row.travel_mm, row.steer_deg)
        if gap is not None and not gap.explains(row.gap_mm):
            pose = render(pose_of(row.travel_mm, row.steer_deg))
            messages.warning(
                request,
                _(
                    "{spot}, {pose}: {gap} mm read where {expected} ±{sigma} mm was expected, more "
                    "than the uncertainty explains. Is it the same spot, wheel and height?"
                ).format(
                    spot=capital(row.place),
                    pose=pose,
                    gap=fixed(row.gap_mm, 1),
                    expected=fixed(gap.gap_mm, 1),
                    sigma=fixed(gap.sigma_mm, 1),
                ),
            )

"""Signing for torques, loosening again, and what is not fitted."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from common.numerals import whole
from shop.extensions.answers import Question, back_to
from shop.models import WorkOrder
from shop.orders.services.access import order_or_404
from shop.orders.services.cautions import WHEEL_NUT_CAUTION, Moment, cautions_at, job_of
from shop.orders.services.torques import TorqueDue, lines_unaccounted, torques_due
from shop.site.forms import MoveForm
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required
from shop.work import torques
from shop.work.torque_forms import TorqueForm


@role_required("technician")
@require_http_methods(["GET", "POST"])
def torque_sign(request: StaffRequest, pk: int) -> HttpResponse:
    """Tick what was tightened, with which wrench; each tick is a signature."""
    order = order_or_404(pk)
    due = torques_due(order)
    form = TorqueForm(posted(request), due=due)
    if request.method == "POST" and form.is_valid():
        tool = form.cleaned_data["tool"]
        try:
            with transaction.atomic():
                torques.torques_sign(order=order, by=request.user, figures=form.signed(), tool=tool)
                if other := form.other():
                    torques.torque_note(
                        order=order, by=request.user, what=other[0], torque_nm=other[1], tool=tool
                    )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Signed."))
            return back_to(order, Question.DONE)
    wheels_open = any(one.is_wheel and one.is_open for one in due)
    said_in_steps = WHEEL_NUT_CAUTION if wheels_open else ""
    context = {
        "order": order,
        "form": form,
        "due": due,
        "wheels_open": wheels_open,
        "unaccounted": lines_unaccounted(order),
        "dry_fits": torques.dry_fits_missing(order),
        "cautions": cautions_at(job_of(order), Moment.TORQUE, without=said_in_steps),
        "other_torques": order.torques.filter(due="").select_related("by"),
    }
    return render_page(request, "shop/torque_sign.html", context)


def _due_or_404(order: WorkOrder, key: str) -> TorqueDue:
    due = next((one for one in torques_due(order) if one.key == key), None)
    if due is None:
        raise Http404
    return due


@role_required("technician")
@require_http_methods(["GET", "POST"])
def torque_loosen(request: StaffRequest, pk: int) -> HttpResponse:
    """Say that a fastener was loosened again, and why."""
    order = order_or_404(pk)
    key = request.GET.get("due", "")
    due = _due_or_404(order, key)
    form = MoveForm(posted(request), most=torques.LONGEST_REASON)
    if request.method == "POST" and form.is_valid():
        try:
            torques.torque_loosen(
                order=order, by=request.user, key=key, reason=form.cleaned_data["reason"]
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Noted. It must be signed again."))
            return redirect("torque_sign", pk=order.pk)
    context = {"order": order, "form": form, "what": due.title, "act": _("Loosened again")}
    return render_page(request, "shop/torque_reason.html", context)


@role_required("technician")
@require_http_methods(["GET", "POST"])
def not_fitted(request: StaffRequest, pk: int) -> HttpResponse:
    """Say why a part is not fitted, or why a wheel stayed on."""
    order = order_or_404(pk)
    key, number = request.GET.get("due", ""), request.GET.get("line", "")
    line = get_object_or_404(order.lines.all(), pk=whole(number)) if number else None
    act, because = _("Not fitted"), _("Not fitted, because")
    if line is not None:
        what = line.description
    else:
        due = _due_or_404(order, key)
        what = due.title
        if due.is_wheel:
            act, because = _("Not taken off"), _("Not taken off, because")
    form = MoveForm(posted(request), most=torques.LONGEST_REASON)
    form.fields["reason"].label = because
    if request.method == "POST" and form.is_valid():
        try:
            torques.not_fitted(
                order=order,
                by=request.user,
                because=form.cleaned_data["reason"],
                line=line,
                key=key if line is None else "",
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Noted. Nothing more is due for it."))
            return redirect("torque_sign", pk=order.pk)
    context = {"order": order, "form": form, "what": what, "act": act}
    return render_page(request, "shop/torque_reason.html", context)

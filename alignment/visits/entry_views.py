"""Entering and correcting a visit, also by two people at once."""

from __future__ import annotations

import json
from typing import cast

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from alignment.fields.unit_fields import TypedField
from alignment.models import PlannedSetting, RackVisit, Stage
from alignment.plans.services.edit_conflict import COMPARE, SavedMeanwhile
from alignment.visits.forms import VisitForm
from alignment.visits.questions import SAME_VISIT
from alignment.visits.services.visits import visit_save
from alignment.visits.three_way_merge import Merged, base_of, merge
from shop.models import WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, kept_on_device, render_page, role_required

#: How often a save may meet another one before it stops and asks.
TRIES = 8


@role_required("technician")
@require_http_methods(["GET", "POST"])
@kept_on_device
def visit_new(request: StaffRequest, pk: int) -> HttpResponse:
    orders = WorkOrder.objects.select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    stage = request.GET.get("stage", "")
    if stage not in Stage.values:
        stage = Stage.AFTER if order.rack_visits.exists() else Stage.BEFORE
    return _entry(request, order, None, {"stage": stage})


@role_required("technician")
@require_http_methods(["GET", "POST"])
@kept_on_device
def visit_edit(request: StaffRequest, pk: int) -> HttpResponse:
    visit = visit_or_404(pk)
    return _entry(request, visit.order, visit, {})


@role_required("technician")
@require_GET
@never_cache
def visit_others(request: StaffRequest, pk: int) -> HttpResponse:
    """What another person saved since ``version``: nothing, or a line with the texts."""
    visit = visit_or_404(pk)
    if request.GET.get("version") == str(visit.version):
        return HttpResponse(status=204)
    form = VisitForm(order=visit.order, visit=visit, plans=_plans(visit.order))
    labels = {key: form.label_of(key) for key in form.texts()}
    context = {
        "visit": visit,
        "texts": json.dumps(form.texts()),
        "labels": json.dumps(labels),
    }
    return render_page(request, "alignment/others.html", context)


def visit_or_404(pk: int) -> RackVisit:
    visits = RackVisit.objects.with_numbers()
    return get_object_or_404(visits.select_related("order__customer", "order__vehicle"), pk=pk)


def _plans(order: WorkOrder) -> list[PlannedSetting]:
    return list(PlannedSetting.objects.filter(order=order))


def _entry(
    request: StaffRequest, order: WorkOrder, visit: RackVisit | None, initial: dict[str, str]
) -> HttpResponse:
    plans = _plans(order)
    data = request.POST if request.method == "POST" else None
    form = VisitForm(data, order=order, visit=visit, plans=plans, initial=initial)
    if data is not None:
        saved, form = _taken(request, order, visit, form)
        if saved is not None:
            messages.success(request, _("Readings saved. This is what was understood."))
            return redirect("visit_edit", saved.pk) if "stay" in data else redirect(saved)
    context = {
        "form": form,
        "order": order,
        "visit": visit,
        "plans": plans,
        "begun": None if visit or data is not None else _begun(order),
    }
    status = 422 if form.errors else 200
    return render_page(request, "alignment/visit_form.html", context, status=status)


def _begun(order: WorkOrder) -> RackVisit | None:
    """A visit that was entered a moment ago: two people add to one, not to two."""
    recent = order.rack_visits.filter(at__gte=timezone.now() - SAME_VISIT)
    return recent.select_related("technician").last()


def _taken(
    request: StaffRequest, order: WorkOrder, visit: RackVisit | None, form: VisitForm
) -> tuple[RackVisit | None, VisitForm]:
    """The saved visit, or None and the form with the errors."""
    for _try in range(TRIES):
        merged = None
        if visit is not None:
            visit = visit_or_404(visit.pk)
            form, merged = _joined(request, order, visit)
        if not form.is_valid():
            if visit is not None and merged is not None and merged.conflicts:
                form.meet(merged, visit)
            return None, form
        if visit is not None and merged is not None and merged.conflicts:
            form.add_error(None, f"{SavedMeanwhile([visit])} {COMPARE}")
            form.meet(merged, visit)
            return None, form
        try:
            saved = _save(request, order, visit, form, merged)
        except SavedMeanwhile as conflict:
            standing = cast(RackVisit, conflict.rows[0])  # visit_save raises it with a visit
            if merged is not None:
                continue
            form.add_error(None, f"{conflict} {COMPARE}")
            form.meet(_all_that_differs(form, standing), standing)
            return None, form
        except Refused as refusal:
            form.add_error(refusal.field or None, refusal.reason)
            return None, form
        if visit is not None and merged is not None and merged.taken:
            kept = ", ".join(form.label_of(key) for key in merged.taken)
            text = _("Kept what {name} saved meanwhile: {fields}.")
            messages.info(request, text.format(name=visit.saved_by, fields=kept))
        return saved, form
    form.add_error(None, _("Another save is in progress. Save again."))
    return None, form


def _joined(
    request: StaffRequest, order: WorkOrder, visit: RackVisit
) -> tuple[VisitForm, Merged | None]:
    """What was sent, with what others saved in fields that were not changed here."""
    plans = _plans(order)
    form = VisitForm(request.POST, order=order, visit=visit, plans=plans)
    base = base_of(request.POST.get("base", ""))
    if base is None:
        return form, None
    standing = VisitForm(order=order, visit=visit, plans=plans).texts()
    merged = merge(base, form.texts(), standing)
    form.take(merged.taken)
    return VisitForm(form.data, order=order, visit=visit, plans=plans), merged


def _all_that_differs(form: VisitForm, standing: RackVisit) -> Merged:
    """For a form without the texts that it started with: every reading that differs."""
    texts = VisitForm(order=standing.order, visit=standing).texts()
    mine = form.texts()
    readings = [
        name
        for name, field in form.fields.items()
        if isinstance(field, TypedField) and name not in form.declared_fields and name in texts
    ]
    conflicts = [
        (name, texts[name], mine.get(name, ""))
        for name in readings
        if texts[name] != mine.get(name, "")
    ]
    return Merged({}, tuple(conflicts), texts)


def _save(
    request: StaffRequest,
    order: WorkOrder,
    visit: RackVisit | None,
    form: VisitForm,
    merged: Merged | None,
) -> RackVisit:
    version = form.cleaned_data.get("version") or 0
    if merged is not None and visit is not None:
        version = visit.version  # every field was compared with this one
    return visit_save(
        order=order,
        by=request.user,
        conditions=form.values_cleaned(),
        readings=form.readings,
        positions=form.positions,
        visit=visit,
        version=version,
        entry_key=form.cleaned_data.get("entry_key"),
    )

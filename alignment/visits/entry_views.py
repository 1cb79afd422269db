"""Entering and correcting a visit, also by two people at once."""

from __future__ import annotations

import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from alignment.fields.unit_fields import TypedField
from alignment.models import PlannedSetting, RackVisit, Stage
from alignment.plans.services.edit_conflict import SavedMeanwhile
from alignment.visits.forms import VisitForm
from alignment.visits.questions import SAME_VISIT
from alignment.visits.services.visits import visit_save
from alignment.visits.three_way_merge import Merged, base_of, merge
from shop.models import WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import kept_on_device, render_page, role_required

#: How often a save may find that somebody was quicker before it gives up and asks.
TRIES = 8
LOST_SIGHT = "Nothing of theirs is lost: compare, then save again."


@role_required("technician")
@require_http_methods(["GET", "POST"])
@kept_on_device
def visit_new(request: HttpRequest, pk: int) -> HttpResponse:
    orders = WorkOrder.objects.select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    stage = request.GET.get("stage", "")
    if stage not in Stage.values:
        stage = Stage.AFTER if order.rack_visits.exists() else Stage.BEFORE
    return _entry(request, order, None, {"stage": stage})


@role_required("technician")
@require_http_methods(["GET", "POST"])
@kept_on_device
def visit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    visit = visit_or_404(pk)
    return _entry(request, visit.order, visit, {})


@role_required("technician")
@require_GET
@never_cache
def visit_others(request: HttpRequest, pk: int) -> HttpResponse:
    """What somebody else saved since version ``version``: nothing, or a line with the texts."""
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
    request: HttpRequest, order: WorkOrder, visit: RackVisit | None, initial: dict[str, str]
) -> HttpResponse:
    plans = _plans(order)
    data = request.POST if request.method == "POST" else None
    form = VisitForm(data, order=order, visit=visit, plans=plans, initial=initial)
    if data is not None:
        saved, form = _taken(request, order, visit, form)
        if saved is not None:
            messages.success(request, "Readings saved. This is what was understood.")
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
    """A visit that somebody entered a moment ago: two people add to one, not to two."""
    recent = order.rack_visits.filter(at__gte=timezone.now() - SAME_VISIT)
    return recent.select_related("technician").last()


def _taken(
    request: HttpRequest, order: WorkOrder, visit: RackVisit | None, form: VisitForm
) -> tuple[RackVisit | None, VisitForm]:
    """The saved visit, or None and the form that says why not."""
    for _ in range(TRIES):
        merged = None
        if visit is not None:
            visit = visit_or_404(visit.pk)
            form, merged = _joined(request, order, visit)
        if not form.is_valid():
            if merged is not None and merged.conflicts:
                form.meet(merged, visit)
            return None, form
        if merged is not None and merged.conflicts:
            form.add_error(None, f"{SavedMeanwhile([visit])} {LOST_SIGHT}")
            form.meet(merged, visit)
            return None, form
        try:
            saved = _save(request, order, visit, form, merged)
        except SavedMeanwhile as conflict:
            standing = conflict.rows[0]
            if merged is not None:
                continue
            form.add_error(None, f"{conflict} {LOST_SIGHT}")
            form.meet(_all_that_differs(form, standing), standing)
            return None, form
        except Refused as refusal:
            form.add_error(refusal.field or None, refusal.reason)
            return None, form
        if merged is not None and merged.taken:
            kept = ", ".join(form.label_of(key) for key in merged.taken)
            messages.info(request, f"Kept what {visit.saved_by} saved meanwhile: {kept}.")
        return saved, form
    form.add_error(None, "Somebody else is saving at this very moment. Save again.")
    return None, form


def _joined(
    request: HttpRequest, order: WorkOrder, visit: RackVisit
) -> tuple[VisitForm, Merged | None]:
    """What was sent, with what others saved in fields that were left alone here."""
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
    """For a form that does not say what it started with: every reading that is not the same."""
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
    request: HttpRequest,
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

"""Visits to the rack: entering readings and looking at them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods

from alignment.compare import included_angles, one_visit, positions_in_order, toe_from_thrust_line
from alignment.forms.readers import reader_of
from alignment.forms.visits import VisitForm
from alignment.geometry import units
from alignment.models import PlannedSetting, RackVisit, Stage
from alignment.services.meanwhile import SavedMeanwhile
from alignment.services.visits import visit_save
from alignment.words import CORNER_WORDS, adjuster_label
from shop.models import WorkOrder
from shop.services.refusals import Refused
from shop.web import render_page, role_required


@role_required("technician")
@require_http_methods(["GET", "POST"])
def visit_new(request: HttpRequest, pk: int) -> HttpResponse:
    orders = WorkOrder.objects.visible_to(request.user).select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    stage = request.GET.get("stage", "")
    if stage not in Stage.values:
        stage = Stage.AFTER if order.rack_visits.exists() else Stage.BEFORE
    return _entry(request, order, None, {"stage": stage})


@role_required("technician")
@require_http_methods(["GET", "POST"])
def visit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    visit = _visit(request, pk)
    return _entry(request, visit.order, visit, {})


@role_required()
@require_GET
def visit(request: HttpRequest, pk: int) -> HttpResponse:
    seen = _visit(request, pk)
    plans = PlannedSetting.objects.filter(order=seen.order)
    context = {
        "visit": seen,
        "order": seen.order,
        "table": one_visit(seen, plans),
        "included": [(CORNER_WORDS[c], value) for c, value in included_angles(seen).items()],
        "from_thrust": toe_from_thrust_line(seen),
        "positions": [
            (CORNER_WORDS[p.corner], adjuster_label(p.adjuster), p.shown)
            for p in positions_in_order(seen)
        ],
    }
    return render_page(request, "alignment/visit.html", context)


@role_required()
@require_GET
def typed_read(request: HttpRequest) -> HttpResponse:
    """What the server understands of one field: the text that stands beside it."""
    typed = request.GET.get(request.GET.get("field", ""), "").strip()[:80]
    said, refused = "", ""
    if typed:
        try:
            diameter = units.parse_length(request.GET.get("toe_diameter") or "0").value or None
            unit = request.GET.get("toe_unit", units.DEGREES)
            bare_unit = unit if unit in units.TOE_UNITS else units.DEGREES
            reader, say = reader_of(request.GET.get("kind", ""), bare_unit, diameter)
            said = say(reader(typed).value)
        except units.Refused as refusal:
            refused = str(refusal)
    context = {"said": said, "refused": refused}
    return render_page(request, "alignment/read_back.html", context)


def _visit(request: HttpRequest, pk: int) -> RackVisit:
    visits = RackVisit.objects.visible_to(request.user).with_numbers()
    return get_object_or_404(visits.select_related("order__customer", "order__vehicle"), pk=pk)


def _entry(
    request: HttpRequest, order: WorkOrder, visit: RackVisit | None, initial: dict[str, str]
) -> HttpResponse:
    plans = list(PlannedSetting.objects.filter(order=order))
    data = request.POST if request.method == "POST" else None
    form = VisitForm(data, order=order, visit=visit, plans=plans, initial=initial)
    if data is not None and form.is_valid():
        saved = _save(request, order, visit, form)
        if saved is not None:
            messages.success(request, "Readings saved. This is what was understood.")
            return redirect(saved)
    context = {"form": form, "order": order, "visit": visit, "plans": plans}
    status = 422 if form.errors else 200
    return render_page(request, "alignment/visit_form.html", context, status=status)


def _save(
    request: HttpRequest, order: WorkOrder, visit: RackVisit | None, form: VisitForm
) -> RackVisit | None:
    try:
        return visit_save(
            order=order,
            by=request.user,
            conditions=form.conditions_cleaned(),
            readings=form.readings,
            positions=form.positions,
            visit=visit,
            version=form.cleaned_data.get("version") or 0,
            entry_key=form.cleaned_data.get("entry_key"),
        )
    except SavedMeanwhile as conflict:
        form.add_error(None, f"{conflict} Nothing of theirs is lost: compare, then save again.")
        form.meet(conflict.rows[0])
    except Refused as refusal:
        form.add_error(refusal.field or None, refusal.reason)
    return None

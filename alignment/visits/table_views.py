"""Readings out of tables and into them: import by a layout, export as CSV and JSON."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from alignment.models import RackVisit, Stage
from alignment.models.import_layouts import ImportLayout
from alignment.visits.entry_views import visit_or_404
from alignment.visits.table_forms import ImportLayoutForm, PreviewForm, TableFileForm
from alignment.visits.table_import import import_layout_save, visits_import
from alignment.visits.tables.reading import read_table
from alignment.visits.tables.writing import as_csv, as_json
from common.numerals import short
from shop.models import Vehicle, WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required("technician")
@require_http_methods(["GET", "POST"])
def readings_import(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose a table, preview it, then import it whole or not at all."""
    orders = WorkOrder.objects.select_related("customer", "vehicle")
    order = get_object_or_404(orders, pk=pk)
    last = RackVisit.objects.order_by("-at", "-pk").first()
    initial: dict[str, str] = {"stage": Stage.AFTER if order.rack_visits.exists() else Stage.BEFORE}
    if last is not None:
        initial |= {"rack_name": last.rack_name, "accuracy": short(last.accuracy_deg)}
    sent = request.method == "POST"
    form = TableFileForm(
        request.POST if sent else None, request.FILES if sent else None, initial=initial
    )
    if sent and form.is_valid():
        return _preview(request, order, form)
    context = {"form": form, "order": order, "layouts": ImportLayout.objects.all()}
    status = 422 if form.errors else 200
    return render_page(request, "alignment/readings_import.html", context, status=status)


def _preview(request: StaffRequest, order: WorkOrder, form: TableFileForm) -> HttpResponse:
    sent = form.cleaned_data
    found = read_table(sent["text"], sent["import_layout"], sent["stage"])
    preview = PreviewForm(request.POST, found=found, order=order)
    if preview.is_valid() and "take" in request.POST:
        conditions = {"rack_name": sent["rack_name"]}
        if sent["accuracy_deg"] is not None:
            conditions["accuracy_deg"] = sent["accuracy_deg"]
        try:
            saved = visits_import(
                order=order,
                by=request.user,
                visits=found.visits,
                conditions=conditions,
                accepted=preview.accepted,
            )
        except Refused as refusal:
            preview.add_error(None, refusal.reason)
        else:
            count = len(saved)
            text = ngettext("{count} visit imported.", "{count} visits imported.", count)
            messages.success(request, text.format(count=count))
            return redirect(saved[0] if len(saved) == 1 else order)
    context = {"form": preview, "file": form, "sent": sent, "order": order, "found": found}
    status = 422 if found.bad or ("take" in request.POST and preview.errors) else 200
    return render_page(request, "alignment/readings_preview.html", context, status=status)


@role_required("technician")
@require_GET
def import_layout_list(request: StaffRequest) -> HttpResponse:
    layouts = ImportLayout.objects.select_related("saved_by")
    return render_page(request, "alignment/import_layout_list.html", {"layouts": layouts})


@role_required("technician")
@require_http_methods(["GET", "POST"])
def import_layout_new(request: StaffRequest) -> HttpResponse:
    return _layout_form(request, ImportLayout())


@role_required("technician")
@require_http_methods(["GET", "POST"])
def import_layout(request: StaffRequest, pk: int) -> HttpResponse:
    return _layout_form(request, get_object_or_404(ImportLayout, pk=pk))


def _layout_form(request: StaffRequest, kept: ImportLayout) -> HttpResponse:
    sent = request.method == "POST"
    form = ImportLayoutForm(
        request.POST if sent else None, request.FILES if sent else None, instance=kept
    )
    looking = "read_sample" in request.POST and form.sample_error is None
    if sent and not looking and form.is_valid():
        form.claim()
        import_layout_save(import_layout=form.instance, columns=form.columns, by=request.user)
        messages.success(request, _("Layout “{name}” saved.").format(name=form.instance))
        return redirect("import_layout_list")
    context = {"form": form, "import_layout": kept, "looking": looking}
    status = 422 if sent and not looking else 200
    return render_page(request, "alignment/import_layout.html", context, status=status)


@role_required()
@require_GET
def visit_export(request: StaffRequest, pk: int, kind: str) -> HttpResponse:
    visit = visit_or_404(pk)
    name = f"{visit.order.number}-{visit.stage}-{visit.at:%Y-%m-%d}"
    return _file([visit], kind, name)


@role_required()
@require_GET
def vehicle_export(request: StaffRequest, pk: int, kind: str) -> HttpResponse:
    vehicle = get_object_or_404(Vehicle, pk=pk)
    visits = RackVisit.objects.filter(vehicle=vehicle).with_numbers()
    return _file(visits, kind, f"readings-{slugify(vehicle.plate) or vehicle.pk}")


def _file(visits: Iterable[RackVisit], kind: str, name: str) -> HttpResponse:
    if kind == "csv":
        response = HttpResponse(as_csv(visits), content_type="text/csv; charset=utf-8")
    elif kind == "json":
        response = HttpResponse(as_json(visits), content_type="application/json")
    else:
        raise Http404
    response["Content-Disposition"] = f'attachment; filename="{name}.{kind}"'
    return response

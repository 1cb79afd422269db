"""Ordering the parts of an order, taking in what arrives, and all that is expected."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from common.numerals import whole
from common.verdicts import GateResult
from shop.extensions.answers import Question, back_to
from shop.models import Arrival, PartOrder, Supplier
from shop.orders.services.access import order_or_404, order_to_change
from shop.orders.services.cautions import class_caution
from shop.orders.services.gates import GateClosed, gates_ask
from shop.orders.services.part_orders import lines_due
from shop.parts import services
from shop.parts.data import booked_too_early
from shop.parts.forms import order_line_forms, part_order_rows
from shop.parts.labels import labels_pdf
from shop.parts.page import arrived_of, expected
from shop.site.refusals import Refused
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def parts_order(request: StaffRequest, pk: int) -> HttpResponse:
    """Look at the parts once more, then put on record where they were ordered."""
    order = order_or_404(pk)
    forms = order_line_forms(lines_due(order), posted(request))
    closed: GateClosed | None = None
    refusal = ""
    if request.method == "POST" and not [form for form in forms if not form.is_valid()]:
        bought = {form.due.line.pk: form.bought for form in forms}
        later = {form.due.line.pk for form in forms if form.cleaned_data["later"]}
        try:
            made = services.parts_order(order=order, by=request.user, bought=bought, later=later)
        except GateClosed as gate:
            closed = gate
        except Refused as refused:
            refusal = refused.reason
        else:
            messages.success(
                request,
                ngettext("{count} part ordered.", "{count} parts ordered.", len(made)).format(
                    count=len(made)
                ),
            )
            if early := booked_too_early(order):
                messages.warning(request, early)
            return back_to(order, Question.WHEN)
    context = {
        "order": order,
        "forms": forms,
        "refusal": refusal,
        "closed": closed,
        "has_suppliers": Supplier.objects.filter(in_use=True).exists(),
        "class_caution": class_caution(order),
        "verdicts": [v for v in gates_ask(order) if v.answer.result != GateResult.NOT_NEEDED],
    }
    return render_page(request, "shop/parts/order.html", context)


@role_required()
@require_http_methods(["GET", "POST"])
def order_parts(request: StaffRequest, pk: int) -> HttpResponse:
    """All parts of this order: supplier, number, promised day, and what arrived."""
    order = order_to_change(pk) if request.method == "POST" else order_or_404(pk)
    rows = part_order_rows(order, posted(request))
    refusal = ""
    if request.method == "POST" and rows.is_valid():
        try:
            early = services.parts_change(
                order=order, by=request.user, changed=rows.changed(), arrived=rows.arrived()
            )
        except Refused as refused:
            refusal = refused.reason
        else:
            messages.success(request, _("Saved."))
            if early:
                messages.warning(request, early)
            return redirect("order_parts", pk=order.pk)
    context = {
        "order": order,
        "rows": rows,
        "refusal": refusal,
        "due": lines_due(order),
        "too_early": booked_too_early(order),
        "outstanding": any(form.instance.outstanding for form in rows.forms),
    }
    return render_page(request, "shop/parts/of_order.html", context)


@role_required()
@require_POST
def parts_arrived(request: StaffRequest, pk: int) -> HttpResponse:
    """All that was still to come is here."""
    order = order_or_404(pk)
    try:
        services.parts_arrive_all(order=order, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
    else:
        messages.success(request, _("All parts have arrived."))
    return back_to(order, Question.WHEN)


@role_required()
@require_POST
def arrival_undo(request: StaffRequest, pk: int) -> HttpResponse:
    arrival = get_object_or_404(Arrival.objects.select_related("part_order__order"), pk=pk)
    order = arrival.part_order.order
    try:
        services.arrival_undo(arrival=arrival, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
    else:
        messages.success(request, _("Arrival undone."))
    return redirect("order_parts", pk=order.pk)


@role_required("writer")
@require_POST
def part_order_undo(request: StaffRequest, pk: int) -> HttpResponse:
    made = get_object_or_404(PartOrder.objects.select_related("order"), pk=pk)
    try:
        services.part_order_undo(part_order=made, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
    else:
        messages.success(request, _("Undone: the part is to be ordered again."))
    return redirect("order_parts", pk=made.order_id)


@role_required()
@require_GET
def parts_expected(request: StaffRequest) -> HttpResponse:
    """What is to come for all orders: late first."""
    words = request.GET.get("q", "").strip().replace("\0", "")
    supplier = Supplier.objects.filter(pk=whole(request.GET.get("supplier", "")) or 0).first()
    key = supplier.pk if supplier else None
    context = {
        "rows": expected(key, words),
        "arrived": arrived_of(words, key),
        "suppliers": Supplier.objects.all(),
        "supplier": supplier,
        "q": words,
    }
    return render_page(request, "shop/parts/expected.html", context)


@role_required()
@require_GET
def parts_labels(request: StaffRequest, pk: int) -> HttpResponse:
    """A label for each box of this order, as a PDF."""
    order = order_or_404(pk)
    address = request.build_absolute_uri(reverse("order", args=[order.pk]))
    response = HttpResponse(labels_pdf(order, address), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{order.number}-labels.pdf"'
    response.headers["Cache-Control"] = "private, no-store"
    return response

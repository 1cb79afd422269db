"""Competition classes whose limits this shop wrote down."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.models import ClassRecord
from shop.people.class_forms import ClassRecordForm, rule_formset
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required()
@require_GET
def class_list(request: StaffRequest) -> HttpResponse:
    records = ClassRecord.objects.prefetch_related("rules")
    return render_page(request, "shop/class_list.html", {"records": records})


@role_required()
@require_GET
def class_record(request: StaffRequest, pk: int) -> HttpResponse:
    records = ClassRecord.objects.prefetch_related("rules")
    record = get_object_or_404(records, pk=pk)
    context = {"record": record, "orders": record.orders.select_related("customer", "vehicle")}
    return render_page(request, "shop/class_record.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def class_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A new class, or what is known of one corrected; quotes keep what they said."""
    record = get_object_or_404(ClassRecord, pk=pk) if pk is not None else None
    form = ClassRecordForm(posted(request), instance=record)
    rules = rule_formset(record, posted(request))
    if request.method == "POST" and all([form.is_valid(), rules.is_valid()]):
        with transaction.atomic():
            saved = form.save()
            rules.save_rules(saved)
        messages.success(request, _("{name} saved. Sent quotes are unchanged.").format(name=saved))
        return redirect("class_edit" if "more" in request.POST else "class_record", pk=saved.pk)
    status = 422 if form.errors or rules.total_error_count() else 200
    context = {"form": form, "rules": rules, "record": record}
    return render_page(request, "shop/class_form.html", context, status=status)

"""Merging a customer or a vehicle that is on record twice."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from shop.models import Customer, Vehicle
from shop.people.merge_forms import MergeForm
from shop.people.services.known import known_customers, vehicles_by_plate
from shop.people.services.merging import customers_merge, kept_row, vehicles_merge
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def customer_merge(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose the customer who is kept instead of this one."""
    gone = get_object_or_404(Customer, pk=pk)
    words = request.GET.get("q", "").strip()
    if words:
        found = list(Customer.objects.search(words))
    else:
        found = [one.customer for one in known_customers(name=gone.name, phone=gone.phone)]
        for vehicle in gone.vehicles.exclude(plate=""):
            found += [one.customer for one in vehicles_by_plate(vehicle.plate)]
    return _merge(request, gone, found, customers_merge, words)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def vehicle_merge(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose the vehicle that is kept instead of this one."""
    gone = get_object_or_404(Vehicle.objects.select_related("customer"), pk=pk)
    words = request.GET.get("q", "").strip()
    if words:
        found = list(Vehicle.objects.search(words).select_related("customer"))
    else:
        found = [*vehicles_by_plate(gone.plate), *gone.customer.vehicles.unmerged()]
    return _merge(request, gone, found, vehicles_merge, words)


def _merge(
    request: StaffRequest,
    gone: Any,
    found: Iterable[Any],
    merge: Callable[..., None],
    words: str,
) -> HttpResponse:
    if gone.merged_into_id:
        return redirect(kept_row(gone))
    form = MergeForm(posted(request), gone=gone, found=found)
    if request.method == "POST" and form.is_valid():
        kept = form.cleaned_data["kept"]
        try:
            merge(gone=gone, kept=kept, by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{gone} was merged into this record.").format(gone=gone))
            return redirect(kept)
    context = {"form": form, "gone": gone, "q": words, "owner": getattr(gone, "customer", None)}
    context |= {"orders": gone.orders.count(), "list": f"{gone._meta.model_name}_list"}
    return render_page(request, "shop/merge.html", context)

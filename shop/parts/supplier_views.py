"""Suppliers."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from shop.models import Supplier
from shop.parts.forms import SupplierForm
from shop.site.view_helpers import StaffRequest, page_of, posted, render_page, role_required


@role_required()
@require_GET
def supplier_list(request: StaffRequest) -> HttpResponse:
    words = request.GET.get("q", "").strip().replace("\0", "")
    page = page_of(request, Supplier.objects.search(words))
    return render_page(request, "shop/parts/supplier_list.html", {"page": page, "q": words})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def supplier_edit(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A new supplier, or one changed."""
    supplier = get_object_or_404(Supplier, pk=pk) if pk is not None else None
    form = SupplierForm(posted(request), instance=supplier)
    if request.method == "POST" and form.is_valid():
        messages.success(request, _("{name} saved.").format(name=form.save()))
        return redirect("supplier_list")
    context = {"form": form, "supplier": supplier}
    return render_page(request, "shop/parts/supplier_form.html", context)

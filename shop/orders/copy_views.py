"""A new order that begins where an older one stood."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from common.numerals import whole
from shop.orders.forms import CopyForm
from shop.orders.services.access import order_or_404
from shop.orders.services.copying import order_copy, vehicles_offered
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_copy_view(request: StaffRequest, pk: int) -> HttpResponse:
    """Choose the vehicle, then open the copy; what it did not take is said on the new order."""
    source = order_or_404(pk)
    asked = whole(request.GET.get("vehicle", ""))
    vehicles = vehicles_offered(source, asked)
    first = asked if asked and vehicles.filter(pk=asked).exists() else source.vehicle_id
    initial = {"vehicle": first, "request_text": source.request_text}
    form = CopyForm(posted(request), vehicles=vehicles, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            copied = order_copy(source=source, by=request.user, **form.cleaned_data)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(
                request,
                _("{number} opened as a copy of {source}.").format(
                    number=copied.order.number, source=source.number
                ),
            )
            for sentence in copied.left:
                messages.warning(request, sentence)
            return redirect(copied.order)
    return render_page(request, "shop/order_copy.html", {"form": form, "order": source})

"""Importing a supplier's price list."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from common.csv_text import BadTable
from shop.parts.price_list import PriceList, prices_take
from shop.parts.price_list import price_list as look_at
from shop.site.table_forms import TableForm
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def price_list(request: StaffRequest) -> HttpResponse:
    """Look at a price list, then take all of it or nothing."""
    form = TableForm(posted(request), request.FILES or None)
    looked_at: PriceList | None = None
    if request.method == "POST" and form.is_valid():
        try:
            looked_at = look_at(form.cleaned_data["text"])
            if "take" in request.POST and looked_at.may_import:
                changed, added = prices_take(looked_at, with_new="with_new" in request.POST)
                messages.success(
                    request,
                    _("Price list imported: {changed} changed, {added} added.").format(
                        changed=changed, added=added
                    ),
                )
                return redirect("part_list")
        except BadTable as bad:
            form.add_error(None, str(bad))
    context = {
        "form": form,
        "preview": looked_at,
        "text": form.cleaned_data.get("text", "") if looked_at else "",
    }
    return render_page(request, "shop/parts/price_list.html", context)

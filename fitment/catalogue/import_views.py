"""Importing tables of wheels and tyres."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from common.csv_text import BadTable
from fitment.catalogue.import_preview import KINDS, Preview, preview, take_over
from shop.site.table_forms import TableForm
from shop.site.view_helpers import posted, render_page, role_required


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def catalogue_import(request: HttpRequest, what: str) -> HttpResponse:
    """Look at a table of wheels or tyres, then take all of it or nothing."""
    kind = KINDS[what]
    form = TableForm(posted(request), request.FILES or None)
    looked_at: Preview | None = None
    if request.method == "POST" and form.is_valid():
        try:
            looked_at = preview(kind, form.cleaned_data["text"])
            if "take" in request.POST and looked_at.may_import:
                take_over(looked_at)
                messages.success(request, f"{len(looked_at.rows)} {kind.words} taken over.")
                return redirect(f"{what[:-1]}_list")
        except BadTable as bad:
            form.add_error(None, str(bad))
    context: dict[str, Any] = {
        "form": form,
        "what": what,
        "kind": kind,
        "headings": list(kind.headings),
        "preview": looked_at,
        "text": form.cleaned_data.get("text", "") if looked_at else "",
    }
    return render_page(request, "fitment/catalogue_import.html", context)

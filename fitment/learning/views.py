"""What came back, beside what had been predicted."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from fitment.learning.comebacks import comebacks_with_predictions, counted
from shop.site.view_helpers import render_page, role_required


@role_required("manager")
@require_GET
def comeback_list(request: HttpRequest) -> HttpResponse:
    """Every comeback with the clearance check that its first order went out on."""
    rows = comebacks_with_predictions()
    context = {"rows": rows, "places": counted(rows, "place"), "causes": counted(rows, "cause")}
    return render_page(request, "fitment/comeback_list.html", context)

"""The spec sheet as a PDF."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.models import WorkOrder
from shop.orders.views import order_or_404
from shop.sheet.document import sheet_pdf
from shop.site.view_helpers import role_required


def sheet_response(order: WorkOrder) -> HttpResponse:
    response = HttpResponse(sheet_pdf(order), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{order.number}.pdf"'
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Cache-Control"] = "private, no-store"
    return response


@role_required()
@require_GET
def order_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    return sheet_response(order_or_404(pk))

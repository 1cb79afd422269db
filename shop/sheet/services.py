"""The spec sheet of an order as an answer to a browser."""

from __future__ import annotations

from django.http import HttpResponse

from shop.models import WorkOrder
from shop.sheet.document import sheet_pdf


def sheet_response(order: WorkOrder) -> HttpResponse:
    response = HttpResponse(sheet_pdf(order), content_type="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{order.number}.pdf"'
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Cache-Control"] = "private, no-store"
    return response

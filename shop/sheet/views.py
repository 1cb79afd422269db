"""The spec sheet as a PDF."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from shop.orders.services.access import order_or_404
from shop.sheet.services import sheet_response
from shop.site.view_helpers import role_required


@role_required()
@require_GET
def order_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    return sheet_response(order_or_404(pk))

"""The customer's quotes as PDF files, on their link."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from shop.models import WorkOrder
from shop.money.services import quote_response
from shop.site.view_helpers import customer_token


@customer_token
@require_GET
def customer_quote_pdf(request: HttpRequest, order: WorkOrder, pk: int) -> HttpResponse:
    """Any quote of this order, the signed one with its signature."""
    quotes = order.quotes.select_related("sent_by", "authorisation", "order__vehicle")
    return quote_response(get_object_or_404(quotes, pk=pk))

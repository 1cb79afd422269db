"""The page of one order."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from shop.order_page.page import order_page_context
from shop.orders.services.access import order_or_404
from shop.orders.services.news import news_seen
from shop.site.view_helpers import StaffRequest, render_page, role_required


@role_required()
@require_GET
def order(request: StaffRequest, pk: int) -> HttpResponse:
    row = order_or_404(pk)
    news_seen(news=row.news.all(), by=request.user)
    context = order_page_context(request, row)
    return render_page(request, "shop/order.html", context)

"""An order's mounting checks, fitment tables and earlier jobs in full length."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from fitment.job.state import state_once
from fitment.mounting.earlier_jobs import earlier_jobs_once
from fitment.mounting.page import mounting_page
from fitment.mounting.page import order_guides as guides_of
from shop.orders.services.access import order_or_404
from shop.site.page_cache import looking
from shop.site.view_helpers import StaffRequest, page_of, render_page, role_required


@role_required()
@require_GET
@looking()
def order_mounting_checks(request: StaffRequest, pk: int) -> HttpResponse:
    """Every mounting check of an order: what fails first, then what is open."""
    order = order_or_404(pk)
    context = mounting_page(order, state_once(order)) if order.needs_check else {}
    page = {"order": order, **context}
    return render_page(request, "fitment/order_mounting_checks.html", page)


@role_required()
@require_GET
@looking()
def order_guides(request: StaffRequest, pk: int) -> HttpResponse:
    """What makers publish about the car of an order, condition by condition."""
    order = order_or_404(pk)
    held = guides_of(order)
    context = {
        "order": order,
        "guides": held.guides if held else [],
        "outdated": held.outdated if held else [],
        "quote": order.quotes.first() if held and held.outdated else None,
    }
    return render_page(request, "fitment/order_guides.html", context)


@role_required()
@require_GET
@looking()
def order_earlier_jobs(request: StaffRequest, pk: int) -> HttpResponse:
    """Earlier jobs on the car model: what was measured, beside what is predicted here."""
    order = order_or_404(pk)
    lines = earlier_jobs_once(order) if order.needs_check else []
    page = page_of(request, list(lines))
    context = {"order": order, "page": page, "lines": page.object_list}
    return render_page(request, "fitment/order_earlier_jobs.html", context)

"""The page of one order, and the pages on which its questions, its log and its job stand whole."""

from __future__ import annotations

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from shop.order_page.job_sheet_page import job_sheet_context
from shop.order_page.log_page import LogFilter, acts_and_people
from shop.order_page.page import order_page_context, question_context
from shop.orders.services.access import order_or_404
from shop.orders.services.news import news_seen
from shop.site.view_helpers import StaffRequest, page_of, render_page, role_required


@role_required()
@require_GET
def order(request: StaffRequest, pk: int) -> HttpResponse:
    row = order_or_404(pk)
    news_seen(news=row.news.all(), by=request.user)
    context = order_page_context(request, row)
    return render_page(request, "shop/order.html", context)


@role_required()
@require_GET
def order_cost(request: StaffRequest, pk: int) -> HttpResponse:
    """All quote lines and all quotes."""
    return render_page(request, "shop/order_cost.html", question_context(order_or_404(pk)))


@role_required()
@require_GET
def order_when(request: StaffRequest, pk: int) -> HttpResponse:
    """All appointments."""
    return render_page(request, "shop/order_when.html", question_context(order_or_404(pk)))


@role_required()
@require_GET
def order_done(request: StaffRequest, pk: int) -> HttpResponse:
    """All parts installed, all torques, all cautions."""
    return render_page(request, "shop/order_done.html", question_context(order_or_404(pk)))


@role_required()
@require_GET
def order_held(request: StaffRequest, pk: int) -> HttpResponse:
    """All road tests, and what came back."""
    return render_page(request, "shop/order_held.html", question_context(order_or_404(pk)))


@role_required()
@require_GET
def order_class_rules(request: StaffRequest, pk: int) -> HttpResponse:
    """The job against each rule of its class."""
    return render_page(request, "shop/order_class_rules.html", question_context(order_or_404(pk)))


@role_required()
@require_GET
def order_log(request: StaffRequest, pk: int) -> HttpResponse:
    """The log, newest first, by act, person and words."""
    one = order_or_404(pk)
    wanted = LogFilter.asked(request.GET.dict())
    acts, people = acts_and_people(one)
    context = {
        "order": one,
        "wanted": wanted,
        "acts": acts,
        "people": people,
        "page": page_of(request, wanted.of(one)),
    }
    return render_page(request, "shop/order_log.html", context)


@role_required()
@require_GET
def job_sheet(request: StaffRequest, pk: int) -> HttpResponse:
    """The job on paper for the technician, with blanks to fill in by hand."""
    return render_page(request, "shop/job_sheet.html", job_sheet_context(request, order_or_404(pk)))

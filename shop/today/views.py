"""Today: short lists one under another, by role."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from shop.models import News
from shop.orders.services.news import news_seen
from shop.site.view_helpers import StaffRequest, page_of, render_page, role_required
from shop.today.data import FIRST, age_words
from shop.today.services import first_steps
from shop.today.services.lists import lists_of, orders_of, rows_of, today_of

NEWS = "news"


@role_required()
@require_GET
def home(request: StaffRequest) -> HttpResponse:
    """Everything that waits today, each list with its first rows."""
    unseen = _unseen(request)
    news = list(unseen[:FIRST])
    for one in news:
        one.age = age_words(one.at)
    context = {
        "lists": today_of(request.user),
        "news": news,
        "news_count": len(news) if len(news) < FIRST else unseen.count(),
        "steps": first_steps.first_steps_for(request.user),
    }
    return render_page(request, "shop/today.html", context)


def _unseen(request: StaffRequest) -> Any:
    return News.objects.unseen_by(request.user).select_related("order__customer", "order__vehicle")


@role_required()
@require_GET
def today_list(request: StaffRequest, name: str) -> HttpResponse:
    """One list, page by page."""
    if name == NEWS:
        page = page_of(request, _unseen(request))
        for one in page.object_list:
            one.age = age_words(one.at)
        context = {"title": _("News"), "page": page, "news": page.object_list}
        return render_page(request, "shop/today_list.html", context)
    kind = next((kind for kind in lists_of(request.user) if kind.name == name), None)
    if kind is None:
        raise Http404
    page = page_of(request, orders_of(kind, request.user))
    context = {"title": _(kind.title), "page": page, "rows": rows_of(kind, page.object_list)}
    return render_page(request, "shop/today_list.html", context)


@role_required()
@require_POST
def news_open(request: StaffRequest, pk: int) -> HttpResponse:
    """Look at a piece of news: it is noted as seen by this person, and its order opens."""
    news = get_object_or_404(News.objects.select_related("order"), pk=pk)
    news_seen(news=News.objects.filter(pk=pk), by=request.user)
    return redirect(news.order)


@role_required()
@require_POST
def news_all_seen(request: StaffRequest) -> HttpResponse:
    """Note all news as seen by this person."""
    count = news_seen(news=News.objects.all(), by=request.user)
    messages.success(request, _("News noted as seen: {count}.").format(count=count))
    return redirect("home")


@role_required("manager")
@require_POST
def first_steps_hide(request: StaffRequest) -> HttpResponse:
    first_steps.first_steps_hide(by=request.user)
    return redirect("home")

"""Ways to clear: ask for them, follow the search, stop it, and take one to the bench."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fitment.job.car import Car, car_of_order, car_of_pattern
from fitment.models import WaysSearch
from fitment.tryout.option_forms import WaysForm
from fitment.tryout.options_page import bench_from, car_of_search, search_page, start_query
from fitment.tryout.search_job import (
    LONG_SECONDS,
    STEP_SECONDS,
    search_begin,
    search_step,
    search_stop,
)
from shop.models import Pattern, WorkOrder
from shop.site.view_helpers import is_fragment, render_page, role_required

ASK, PAGE, PART = "fitment/ways.html", "fitment/ways_search.html", "fitment/ways_part.html"


@role_required()
@require_http_methods(["GET", "POST"])
def order_ways(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for ways to clear on an order's car."""
    orders = WorkOrder.objects.visible_to(request.user)
    order = get_object_or_404(orders.select_related("customer", "vehicle__pattern"), pk=pk)
    return _asked(request, car_of_order(order))


@role_required()
@require_http_methods(["GET", "POST"])
def bench_ways(request: HttpRequest) -> HttpResponse:
    """Ask for ways to clear on a pattern, from what lies on the bench."""
    named = request.GET.get("pattern", "")
    if not named.isdigit():
        return redirect("bench")
    return _asked(request, car_of_pattern(get_object_or_404(Pattern, pk=int(named))))


def _asked(request: HttpRequest, car: Car) -> HttpResponse:
    """The form of the wish; the set-up to begin from stands in the address as on the bench."""
    bench = bench_from(car, request.GET.dict())
    context = {"order": car.order, "pattern": car.pattern, "bench": bench}
    if car.order is not None:
        context["earlier"] = WaysSearch.objects.filter(order=car.order).select_related("by")[:10]
    if bench.first_tried is None:
        return render_page(request, ASK, context)
    set_up = bench.first_tried.set_up
    form = WaysForm(request.POST or None, car=car, set_up=set_up)
    if request.method == "POST" and form.is_valid():
        search = search_begin(
            car=car,
            set_up=set_up,
            use=bench.use,
            start=start_query(bench),
            asked=form.asked(),
            by=request.user,
        )
        search_step(search=search, car=car, set_up=set_up)
        return redirect("ways_search", pk=search.pk)
    status = 422 if form.errors else 200
    return render_page(
        request, ASK, context | {"form": form, "tried": bench.first_tried}, status=status
    )


def _search(request: HttpRequest, pk: int) -> WaysSearch:
    searches = WaysSearch.objects.visible_to(request.user)
    return get_object_or_404(
        searches.select_related("order__vehicle__pattern", "order__customer", "pattern", "by"),
        pk=pk,
    )


@role_required()
@require_GET
def ways_search(request: HttpRequest, pk: int) -> HttpResponse:
    """A search as far as it is."""
    return render_page(request, PAGE, search_page(_search(request, pk)))


@role_required()
@require_POST
def ways_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Search on: a short step for a page that asks again, a long one for a press of a button."""
    search = _search(request, pk)
    car = car_of_search(search)
    bench = bench_from(car, search.start)
    if bench.form.set_up is None:
        raise Http404
    seconds = STEP_SECONDS if is_fragment(request) else LONG_SECONDS
    if not search.is_over:
        search_step(search=search, car=car, set_up=bench.form.set_up, seconds=seconds)
    return _answered(request, search)


@role_required()
@require_POST
def ways_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """End a search; what it found stays."""
    search = _search(request, pk)
    search_stop(search=search)
    messages.info(request, "Stopped. What was found so far stays.")
    return _answered(request, search)


def _answered(request: HttpRequest, search: WaysSearch) -> HttpResponse:
    if is_fragment(request):
        return render_page(request, PART, search_page(search))
    return redirect("ways_search", pk=search.pk)

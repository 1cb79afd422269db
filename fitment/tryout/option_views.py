"""Options: ask for them, follow the search, stop it, and take one to the try-out."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fitment.job.car import Car, car_of_car_model, car_of_order
from fitment.models import OptionSearch
from fitment.tryout.option_forms import OptionForm
from fitment.tryout.options_page import car_of_search, search_page, start_query, tryout_from
from fitment.tryout.search_job import (
    LONG_SECONDS,
    STEP_SECONDS,
    search_begin,
    search_step,
    search_stop,
)
from shop.models import CarModel, WorkOrder
from shop.site.view_helpers import StaffRequest, is_fragment, render_page, role_required

ASK, PAGE, PART = "fitment/options.html", "fitment/option_search.html", "fitment/options_part.html"


@role_required()
@require_http_methods(["GET", "POST"])
def order_options(request: StaffRequest, pk: int) -> HttpResponse:
    """Ask for options on an order's car."""
    order = get_object_or_404(
        WorkOrder.objects.select_related("customer", "vehicle__car_model"), pk=pk
    )
    return _asked(request, car_of_order(order))


@role_required()
@require_http_methods(["GET", "POST"])
def tryout_options(request: StaffRequest) -> HttpResponse:
    """Ask for options on a car model, from the set-up that is tried."""
    named = request.GET.get("car_model", "")
    if not named.isdigit():
        return redirect("tryout")
    return _asked(request, car_of_car_model(get_object_or_404(CarModel, pk=int(named))))


def _asked(request: StaffRequest, car: Car) -> HttpResponse:
    """The form of a search; its address holds the set-up to begin from, as in the try-out."""
    tryout = tryout_from(car, request.GET.dict())
    context: dict[str, object] = {
        "order": car.order,
        "car_model": car.car_model,
        "tryout": tryout,
    }
    if car.order is not None:
        context["earlier"] = OptionSearch.objects.filter(order=car.order).select_related("by")[:10]
    if tryout.first_tried is None:
        return render_page(request, ASK, context)
    set_up = tryout.first_tried.set_up
    form = OptionForm(request.POST or None, car=car, set_up=set_up)
    if request.method == "POST" and form.is_valid():
        search = search_begin(
            car=car,
            set_up=set_up,
            use=tryout.use,
            start=start_query(tryout),
            asked=form.asked(),
            by=request.user,
        )
        search_step(search=search, car=car, set_up=set_up)
        return redirect("option_search", pk=search.pk)
    status = 422 if form.errors else 200
    return render_page(
        request, ASK, context | {"form": form, "tried": tryout.first_tried}, status=status
    )


def _search(pk: int) -> OptionSearch:
    searches = OptionSearch.objects
    return get_object_or_404(
        searches.select_related("order__vehicle__car_model", "order__customer", "car_model", "by"),
        pk=pk,
    )


@role_required()
@require_GET
def option_search(request: StaffRequest, pk: int) -> HttpResponse:
    """A search as far as it is."""
    return render_page(request, PAGE, search_page(_search(pk)))


@role_required()
@require_POST
def options_step(request: StaffRequest, pk: int) -> HttpResponse:
    """Search on: a short step for a page that asks again, a long one for a press of a button."""
    search = _search(pk)
    car = car_of_search(search)
    tryout = tryout_from(car, search.start)
    if tryout.form.set_up is None:
        raise Http404
    seconds = STEP_SECONDS if is_fragment(request) else LONG_SECONDS
    if not search.is_over:
        search_step(search=search, car=car, set_up=tryout.form.set_up, seconds=seconds)
    return _answered(request, search)


@role_required()
@require_POST
def options_stop(request: StaffRequest, pk: int) -> HttpResponse:
    """End a search; what it found stays."""
    search = _search(pk)
    search_stop(search=search)
    messages.info(request, _("Stopped. Finding so far stays."))
    return _answered(request, search)


def _answered(request: StaffRequest, search: OptionSearch) -> HttpResponse:
    if is_fragment(request):
        return render_page(request, PART, search_page(search))
    return redirect("option_search", pk=search.pk)

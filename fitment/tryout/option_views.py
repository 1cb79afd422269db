"""Options: ask for them, follow the search, and take one to the try-out."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_http_methods

from common.numerals import whole
from fitment.job.car import Car, car_of_car_model, car_of_order
from fitment.models import OptionSearch
from fitment.tryout.option_forms import OptionForm
from fitment.tryout.options_page import begun_from, search_page, start_query, tryout_from
from fitment.tryout.search_job import search_begin
from shop.background.services import see_to_it
from shop.models import CarModel, WorkOrder
from shop.site.refusals import Refused
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
    named = whole(request.GET.get("car_model", ""))
    if named is None:
        return redirect("tryout")
    return _asked(request, car_of_car_model(get_object_or_404(CarModel, pk=named)))


def _asked(request: StaffRequest, car: Car) -> HttpResponse:
    """The form of a search; its address holds the set-up to begin from, as in the try-out."""
    tryout = tryout_from(car, request.GET.dict())
    context: dict[str, object] = {"order": car.order, "car_model": car.car_model}
    try:
        tryout, context["begun"] = begun_from(tryout)
    except Refused as refused:
        context["refused"] = refused.reason
    context["tryout"] = tryout
    if car.order is not None:
        context["earlier"] = OptionSearch.objects.filter(order=car.order).select_related("by")
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
        return redirect("option_search", pk=search.pk)
    status = 422 if form.errors else 200
    return render_page(
        request, ASK, context | {"form": form, "tried": tryout.first_tried}, status=status
    )


@role_required()
@require_GET
def option_search(request: StaffRequest, pk: int) -> HttpResponse:
    """A search as far as it is: the page, and the part of it that asks again while it goes on."""
    see_to_it()
    searches = OptionSearch.objects.select_related(
        "order__vehicle__car_model", "order__customer", "car_model", "by", "task"
    )
    search = get_object_or_404(searches, pk=pk)
    return render_page(request, PART if is_fragment(request) else PAGE, search_page(search))

"""The try-out: set-ups tried on a car model or on an order's car; every state is an address."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods

from common.numerals import whole
from fitment.job.car import Car, car_of_car_model, car_of_order
from fitment.tryout.page import WINDOWS, orders_for, tryout_of, tryout_page, windows_page
from fitment.tryout.services.onto_order import tryout_put
from fitment.tryout.services.widest import cars_named
from shop.models import Axle, CarModel, Vehicle, WorkOrder
from shop.site.refusals import Refused
from shop.site.sending import long_work
from shop.site.view_helpers import (
    StaffRequest,
    is_fragment,
    page_of,
    render_page,
    role_required,
)

#: What is said once the wheels of an axle are on the order.
ON_THE_ORDER = {
    Axle.FRONT: _(
        "Wheels and planned settings of the front axle are on the order. The rear axle stays as it "
        "was: see whether they still go together, then check the clearance."
    ),
    Axle.REAR: _(
        "Wheels and planned settings of the rear axle are on the order. The front axle stays as it "
        "was: see whether they still go together, then check the clearance."
    ),
}

STRIPS = "fitment/tryout_strips.html"
PAGE, PART, CHOOSE = "fitment/tryout.html", "fitment/tryout_part.html", "fitment/tryout_choose.html"


@role_required()
@require_GET
def tryout(request: StaffRequest) -> HttpResponse:
    """A car model tried out; without one, what there is to choose from."""
    car_model = _car_model(request)
    if car_model is None:
        car_models = CarModel.objects.filter(surveys__isnull=False).distinct()
        vehicles = Vehicle.objects.filter(car_model__in=car_models)
        words = request.GET.get("q", "").strip()
        found = cars_named(words)
        if len(found) == 1:
            return redirect(f"{reverse('tryout')}?{urlencode({'car_model': found[0].pk})}")
        context = {
            "car_models": found or car_models,
            "page": page_of(request, vehicles.select_related("customer")),
            "q": words,
            "nothing": bool(words) and not found,
        }
        return render_page(request, CHOOSE, context)
    return _shown(request, car_of_car_model(car_model), reverse("tryout"))


@role_required()
@require_http_methods(["GET", "POST"])
@long_work
def order_tryout(request: StaffRequest, pk: int) -> HttpResponse:
    """An order's car tried out; POST puts the set-up on the order."""
    order = get_object_or_404(
        WorkOrder.objects.select_related("customer", "vehicle__car_model"), pk=pk
    )
    car = car_of_order(order)
    if request.method == "POST":
        return _put(request, order, car)
    return _shown(request, car, reverse("order_tryout", args=[order.pk]))


def _car_model(request: StaffRequest) -> CarModel | None:
    """The car model that an address names, by itself or by a vehicle of it."""
    named = whole(request.GET.get("car_model", ""))
    vehicle = whole(request.GET.get("vehicle", ""))
    if named is not None:
        return get_object_or_404(CarModel, pk=named)
    if vehicle is not None:
        found = Vehicle.objects.select_related("car_model")
        return get_object_or_404(found, pk=vehicle).car_model
    return None


def _shown(request: StaffRequest, car: Car, path: str) -> HttpResponse:
    on_the_tryout = tryout_of(car, request.GET)
    context = tryout_page(on_the_tryout, path)
    if WINDOWS in request.GET:
        context |= windows_page(on_the_tryout)
        if is_fragment(request):
            return render_page(request, STRIPS, context)
    if is_fragment(request):
        response = render_page(request, PART, context)
        response.headers["HX-Replace-Url"] = context["link"]
        return response
    if car.order is None:
        context["orders"] = orders_for(car)
    return render_page(request, PAGE, context)


def _put(request: StaffRequest, order: WorkOrder, car: Car) -> HttpResponse:
    """Put the sent set-up on the order, or show the try-out with what is wrong about it."""
    path = reverse("order_tryout", args=[order.pk])
    on_the_tryout = tryout_of(car, request.POST)
    form = on_the_tryout.form
    if form.is_bound and form.is_valid() and form.set_up is not None:
        try:
            tryout_put(order=order, set_up=form.set_up, by=request.user)
        except Refused as refused:
            form.add_error(refused.field or None, refused.reason)
        else:
            messages.success(
                request,
                ON_THE_ORDER[Axle(form.set_up.axle)],
            )
            return redirect("clearance", pk=order.pk)
    return render_page(request, PAGE, tryout_page(on_the_tryout, path), status=422)

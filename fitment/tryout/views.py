"""The bench: set-ups tried on a pattern or on an order's car; every state is an address."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from alignment.models.axles import PlanAxle
from fitment.job.car import Car, car_of_order, car_of_pattern
from fitment.tryout.page import bench_of, bench_page, orders_for
from fitment.tryout.services.trial import bench_put
from shop.models import Pattern, Vehicle, WorkOrder
from shop.site.refusals import Refused
from shop.site.view_helpers import is_fragment, render_page, role_required

PAGE, PART, CHOOSE = "fitment/bench.html", "fitment/bench_part.html", "fitment/bench_choose.html"


@role_required()
@require_GET
def bench(request: HttpRequest) -> HttpResponse:
    """A pattern on the bench; without one, what there is to choose from."""
    pattern = _pattern(request)
    if pattern is None:
        patterns = Pattern.objects.filter(surveys__isnull=False).distinct()
        vehicles = Vehicle.objects.visible_to(request.user).filter(pattern__in=patterns)
        context = {"patterns": patterns, "vehicles": vehicles.select_related("customer")[:200]}
        return render_page(request, CHOOSE, context)
    return _shown(request, car_of_pattern(pattern), reverse("bench"))


@role_required()
@require_http_methods(["GET", "POST"])
def order_bench(request: HttpRequest, pk: int) -> HttpResponse:
    """An order's car on the bench; POST puts the set-up on the order."""
    orders = WorkOrder.objects.visible_to(request.user)
    order = get_object_or_404(orders.select_related("customer", "vehicle__pattern"), pk=pk)
    car = car_of_order(order)
    if request.method == "POST":
        return _put(request, order, car)
    return _shown(request, car, reverse("order_bench", args=[order.pk]))


def _pattern(request: HttpRequest) -> Pattern | None:
    """The pattern that an address names, by itself or by a vehicle of it."""
    named, vehicle = request.GET.get("pattern", ""), request.GET.get("vehicle", "")
    if named.isdigit():
        return get_object_or_404(Pattern, pk=int(named))
    if vehicle.isdigit():
        found = Vehicle.objects.visible_to(request.user).select_related("pattern")
        return get_object_or_404(found, pk=int(vehicle)).pattern
    return None


def _shown(request: HttpRequest, car: Car, path: str) -> HttpResponse:
    on_the_bench = bench_of(car, request.GET)
    context = bench_page(on_the_bench, path)
    if is_fragment(request):
        response = render_page(request, PART, context)
        response.headers["HX-Replace-Url"] = context["link"]
        return response
    if car.order is None:
        context["orders"] = orders_for(car)
    return render_page(request, PAGE, context)


def _put(request: HttpRequest, order: WorkOrder, car: Car) -> HttpResponse:
    """Put the sent set-up on the order, or show the bench with what is wrong about it."""
    path = reverse("order_bench", args=[order.pk])
    on_the_bench = bench_of(car, request.POST)
    form = on_the_bench.form
    if form.is_bound and form.is_valid() and form.set_up is not None:
        try:
            bench_put(order=order, set_up=form.set_up, by=request.user)
        except Refused as refused:
            form.add_error(refused.field or None, refused.reason)
        else:
            axle = form.set_up.axle
            other = PlanAxle.REAR if axle == PlanAxle.FRONT else PlanAxle.FRONT
            messages.success(
                request,
                f"Wheels and planned settings of the {axle} axle are on the order. "
                f"The {other.value} axle stays as it was: see whether they still go together, "
                "then check the room.",
            )
            return redirect("room", pk=order.pk)
    return render_page(request, PAGE, bench_page(on_the_bench, path), status=422)

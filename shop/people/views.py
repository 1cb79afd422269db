"""Customers, vehicles, patterns and parts: lists with a search, a page, a form."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.models import CarModel, Corner, Customer, Part, Vehicle
from shop.orders.page import rendered
from shop.orders.views import page_of, posted, with_next_words
from shop.people.forms import CarModelForm, CustomerForm, PartForm, VehicleForm
from shop.site.extension_points import plugged
from shop.site.view_helpers import render_page, role_required

FOR_ORDER = "order"


def _words(request: HttpRequest) -> str:
    return request.GET.get("q", "").strip()


# Customers


@role_required()
@require_GET
def customer_list(request: HttpRequest) -> HttpResponse:
    words = _words(request)
    found = Customer.objects.visible_to(request.user).search(words).prefetch_related("vehicles")
    context = {"page": page_of(request, found), "q": words}
    return render_page(request, "shop/customer_list.html", context)


@role_required()
@require_GET
def customer(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_object_or_404(Customer.objects.visible_to(request.user), pk=pk)
    context = {
        "customer": customer,
        "vehicles": customer.vehicles.select_related("car_model"),
        "orders": with_next_words(customer.orders.for_list()),
    }
    return render_page(request, "shop/customer.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def customer_new(request: HttpRequest) -> HttpResponse:
    """A new customer; on the way to an order the vehicle comes next."""
    form = CustomerForm(posted(request))
    if request.method == "POST" and form.is_valid():
        customer = form.save()
        if request.GET.get("for") == FOR_ORDER:
            return redirect(f"{reverse('vehicle_new')}?customer={customer.pk}&for={FOR_ORDER}")
        return redirect(customer)
    return render_page(request, "shop/customer_form.html", {"form": form})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def customer_edit(request: HttpRequest, pk: int) -> HttpResponse:
    customer = get_object_or_404(Customer.objects.visible_to(request.user), pk=pk)
    form = CustomerForm(posted(request), instance=customer)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved.")
        return redirect(customer)
    return render_page(request, "shop/customer_form.html", {"form": form, "customer": customer})


# Vehicles


@role_required()
@require_GET
def vehicle_list(request: HttpRequest) -> HttpResponse:
    words = _words(request)
    found = Vehicle.objects.visible_to(request.user).search(words)
    page = page_of(request, found.select_related("customer", "car_model"))
    return render_page(request, "shop/vehicle_list.html", {"page": page, "q": words})


@role_required()
@require_GET
def vehicle(request: HttpRequest, pk: int) -> HttpResponse:
    vehicles = Vehicle.objects.visible_to(request.user).select_related("customer", "car_model")
    vehicle = get_object_or_404(vehicles, pk=pk)
    panels = [panel(request, vehicle) for panel in plugged("VEHICLE_PANELS")]
    context = {
        "vehicle": vehicle,
        "orders": with_next_words(vehicle.orders.for_list()),
        "panels": rendered([panel for panel in panels if panel], request),
    }
    return render_page(request, "shop/vehicle.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def vehicle_new(request: HttpRequest) -> HttpResponse:
    """A new vehicle of a customer, who is named in the address."""
    owner = request.GET.get("customer", "")
    if not owner.isdigit():
        messages.info(request, "Choose the customer whose vehicle it is.")
        return redirect("customer_list")
    customer = get_object_or_404(Customer.objects.visible_to(request.user), pk=int(owner))
    form = VehicleForm(posted(request), instance=Vehicle(customer=customer))
    if request.method == "POST" and form.is_valid():
        vehicle = form.save()
        if vehicle.vin_warning:
            messages.warning(request, vehicle.vin_warning)
        if request.GET.get("for") == FOR_ORDER:
            return redirect(f"{reverse('order_new')}?vehicle={vehicle.pk}")
        return redirect(vehicle)
    return render_page(request, "shop/vehicle_form.html", {"form": form, "customer": customer})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def vehicle_edit(request: HttpRequest, pk: int) -> HttpResponse:
    vehicles = Vehicle.objects.visible_to(request.user).select_related("customer")
    vehicle = get_object_or_404(vehicles, pk=pk)
    form = VehicleForm(posted(request), instance=vehicle)
    if request.method == "POST" and form.is_valid():
        form.save()
        if vehicle.vin_warning:
            messages.warning(request, vehicle.vin_warning)
        messages.success(request, "Saved.")
        return redirect(vehicle)
    context = {"form": form, "vehicle": vehicle, "customer": vehicle.customer}
    return render_page(request, "shop/vehicle_form.html", context)


# Patterns


@role_required()
@require_GET
def car_model_list(request: HttpRequest) -> HttpResponse:
    words = _words(request)
    found = CarModel.objects.visible_to(request.user).search(words).prefetch_related("vehicles")
    context = {"page": page_of(request, found), "q": words}
    return render_page(request, "shop/car_model_list.html", context)


@role_required()
@require_GET
def car_model(request: HttpRequest, pk: int) -> HttpResponse:
    car_model = get_object_or_404(CarModel.objects.visible_to(request.user), pk=pk)
    panels = [panel(request, car_model) for panel in plugged("CAR_MODEL_PANELS")]
    context = {
        "car_model": car_model,
        "corners": Corner.choices,
        "vehicles": car_model.vehicles.select_related("customer"),
        "panels": rendered([panel for panel in panels if panel], request),
    }
    return render_page(request, "shop/car_model.html", context)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def car_model_new(request: HttpRequest) -> HttpResponse:
    form = CarModelForm(posted(request))
    if request.method == "POST" and form.is_valid():
        return redirect(form.save())
    return render_page(request, "shop/car_model_form.html", {"form": form})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def car_model_edit(request: HttpRequest, pk: int) -> HttpResponse:
    car_model = get_object_or_404(CarModel.objects.visible_to(request.user), pk=pk)
    form = CarModelForm(posted(request), instance=car_model)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved.")
        return redirect(car_model)
    return render_page(request, "shop/car_model_form.html", {"form": form, "car_model": car_model})


# Parts


@role_required()
@require_GET
def part_list(request: HttpRequest) -> HttpResponse:
    words = _words(request)
    page = page_of(request, Part.objects.visible_to(request.user).search(words))
    return render_page(request, "shop/part_list.html", {"page": page, "q": words})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def part_new(request: HttpRequest) -> HttpResponse:
    form = PartForm(posted(request))
    if request.method == "POST" and form.is_valid():
        part = form.save()
        messages.success(request, f"{part} is in the list.")
        return redirect("part_list")
    return render_page(request, "shop/part_form.html", {"form": form})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def part_edit(request: HttpRequest, pk: int) -> HttpResponse:
    part = get_object_or_404(Part.objects.visible_to(request.user), pk=pk)
    form = PartForm(posted(request), instance=part)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Saved.")
        return redirect("part_list")
    return render_page(request, "shop/part_form.html", {"form": form, "part": part})

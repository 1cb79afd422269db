"""Customers, vehicles, car models and parts: lists with a search, a page, a form."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods

from common.numerals import whole
from shop.extensions.panels import rendered
from shop.extensions.points import CAR_MODEL_PANELS, VEHICLE_PANELS
from shop.models import CarModel, Corner, Customer, Part, RecordCorrection, Vehicle
from shop.orders.services.copying import copy_source
from shop.orders.services.lists import for_list, with_next_words
from shop.people.car_model_forms import CarModelForm
from shop.people.forms import CustomerForm, PartForm, VehicleForm
from shop.people.services.merging import kept_row
from shop.site.detours import DETOUR, detour_begin, take_draft, way_back
from shop.site.view_helpers import StaffRequest, page_of, posted, render_page, role_required

FOR_ORDER = "order"
#: What a form of a vehicle may be left for, and what its button says.
CAR_MODEL_DETOUR = [("car_model", gettext_lazy("New car model"))]


def _words(request: HttpRequest) -> str:
    return request.GET.get("q", "").strip()


# Customers


@role_required()
@require_GET
def customer_list(request: StaffRequest) -> HttpResponse:
    words = _words(request)
    found = Customer.objects.search(words).prefetch_related("vehicles")
    context = {"page": page_of(request, found), "q": words}
    return render_page(request, "shop/customer_list.html", context)


@role_required()
@require_GET
def customer(request: StaffRequest, pk: int) -> HttpResponse:
    customer = get_object_or_404(Customer, pk=pk)
    if customer.merged_into_id:
        return _to_kept(request, customer)
    context = {
        "customer": customer,
        "vehicles": customer.vehicles.unmerged().select_related("car_model"),
        "merged": customer.merged_rows.select_related("merged_by"),
        "orders": with_next_words(for_list(customer.orders.all())),
    }
    return render_page(request, "shop/customer.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def customer_new(request: StaffRequest) -> HttpResponse:
    """A new customer; on the way to an order the vehicle comes next."""
    form = CustomerForm(posted(request))
    if request.method == "POST" and form.is_valid():
        customer = form.save()
        if back := way_back(request, customer=customer.pk):
            return redirect(back)
        if request.GET.get("for") == FOR_ORDER:
            return redirect(f"{reverse('vehicle_new')}?customer={customer.pk}&for={FOR_ORDER}")
        return redirect(customer)
    return render_page(request, "shop/customer_form.html", {"form": form})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def customer_edit(request: StaffRequest, pk: int) -> HttpResponse:
    customer = get_object_or_404(Customer, pk=pk)
    if customer.merged_into_id:
        return _to_kept(request, customer)
    form = CustomerForm(posted(request), instance=customer)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect(customer)
    return render_page(request, "shop/customer_form.html", {"form": form, "customer": customer})


# Vehicles


@role_required()
@require_GET
def vehicle_list(request: StaffRequest) -> HttpResponse:
    words = _words(request)
    found = Vehicle.objects.search(words)
    page = page_of(request, found.select_related("customer", "car_model"))
    return render_page(request, "shop/vehicle_list.html", {"page": page, "q": words})


@role_required()
@require_GET
def vehicle(request: StaffRequest, pk: int) -> HttpResponse:
    vehicles = Vehicle.objects.select_related("customer", "car_model")
    vehicle = get_object_or_404(vehicles, pk=pk)
    if vehicle.merged_into_id:
        return _to_kept(request, vehicle)
    context = {
        "vehicle": vehicle,
        "merged": vehicle.merged_rows.select_related("merged_by"),
        "orders": with_next_words(for_list(vehicle.orders.all())),
        "copy_from": copy_source(vehicle),
        "panels": rendered((panel(request, vehicle) for panel in VEHICLE_PANELS), request),
    }
    return render_page(request, "shop/vehicle.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def vehicle_new(request: StaffRequest) -> HttpResponse:
    """A new vehicle of a customer, who is named in the address."""
    owner = whole(request.GET.get("customer", ""))
    if owner is None:
        messages.info(request, _("Choose the customer first."))
        return redirect("customer_list")
    customer = get_object_or_404(Customer, pk=owner)
    chosen = whole(request.GET.get("car_model", "")) or 0
    vehicle = Vehicle(customer=customer, car_model=CarModel.objects.filter(pk=chosen).first())
    form = VehicleForm(posted(request), instance=vehicle)
    detour = _car_model_detour(request, form)
    if detour is not None:
        return detour
    if request.method == "POST" and form.is_valid():
        vehicle = form.save()
        if vehicle.vin_warning:
            messages.warning(request, vehicle.vin_warning)
        if back := way_back(request, vehicle=vehicle.pk):
            return redirect(back)
        if request.GET.get("for") == FOR_ORDER:
            return redirect(f"{reverse('order_new')}?vehicle={vehicle.pk}")
        return redirect(vehicle)
    context = {"form": form, "customer": customer, "detours": CAR_MODEL_DETOUR}
    return render_page(request, "shop/vehicle_form.html", context)


def _car_model_detour(request: StaffRequest, form: VehicleForm) -> HttpResponse | None:
    """The way to a new car model and back, with what was typed of the vehicle."""
    if request.method == "POST" and request.POST.get(DETOUR) == "car_model":
        return detour_begin(request, reverse("car_model_new"))
    made = whole(request.GET.get("car_model", ""))
    take_draft(form, request, {} if made is None else {"car_model": made})
    return None


def _to_kept(request: StaffRequest, row: Customer | Vehicle) -> HttpResponse:
    """From the page of a merged record to the one that is kept."""
    kept = kept_row(row)
    text = _("{gone} was merged into this record.")
    messages.info(request, text.format(gone=row))
    return redirect(kept)


def _way_to_vehicle(request: StaffRequest, customer: int) -> str:
    """What an address says of the vehicle that is being added: whose it is, and for an order."""
    on_the_way = {"for": FOR_ORDER} if request.GET.get("for") == FOR_ORDER else {}
    return urlencode({"customer": customer, **on_the_way})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def vehicle_edit(request: StaffRequest, pk: int) -> HttpResponse:
    vehicles = Vehicle.objects.select_related("customer")
    vehicle = get_object_or_404(vehicles, pk=pk)
    if vehicle.merged_into_id:
        return _to_kept(request, vehicle)
    form = VehicleForm(posted(request), instance=vehicle)
    detour = _car_model_detour(request, form)
    if detour is not None:
        return detour
    if request.method == "POST" and form.is_valid():
        form.save()
        if vehicle.vin_warning:
            messages.warning(request, vehicle.vin_warning)
        messages.success(request, _("Saved."))
        return redirect(vehicle)
    context = {
        "form": form,
        "vehicle": vehicle,
        "customer": vehicle.customer,
        "detours": CAR_MODEL_DETOUR,
    }
    return render_page(request, "shop/vehicle_form.html", context)


# Car models


@role_required()
@require_GET
def car_model_list(request: StaffRequest) -> HttpResponse:
    words = _words(request)
    found = CarModel.objects.search(words).prefetch_related("vehicles")
    context = {"page": page_of(request, found), "q": words}
    return render_page(request, "shop/car_model_list.html", context)


@role_required()
@require_GET
def car_model(request: StaffRequest, pk: int) -> HttpResponse:
    car_model = get_object_or_404(CarModel.objects, pk=pk)
    context = {
        "car_model": car_model,
        "corners": Corner.choices,
        "corrections": list(RecordCorrection.objects.of(car_model)),
        "vehicles": car_model.vehicles.unmerged().select_related("customer"),
        "panels": rendered((panel(request, car_model) for panel in CAR_MODEL_PANELS), request),
    }
    return render_page(request, "shop/car_model.html", context)


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def car_model_new(request: StaffRequest) -> HttpResponse:
    """A new car model; on the way to a vehicle that one comes next."""
    form = CarModelForm(posted(request))
    customer = whole(request.GET.get("customer", ""))
    way = "" if customer is None else _way_to_vehicle(request, customer)
    if request.method == "POST" and form.is_valid():
        car_model = form.save()
        if back := way_back(request, car_model=car_model.pk):
            return redirect(back)
        if way:
            return redirect(f"{reverse('vehicle_new')}?{way}&car_model={car_model.pk}")
        return redirect(car_model)
    return render_page(request, "shop/car_model_form.html", {"form": form, "way": way})


@role_required("writer", "technician")
@require_http_methods(["GET", "POST"])
def car_model_edit(request: StaffRequest, pk: int) -> HttpResponse:
    car_model = get_object_or_404(CarModel, pk=pk)
    form = CarModelForm(posted(request), instance=car_model, by=request.user)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect(car_model)
    return render_page(request, "shop/car_model_form.html", {"form": form, "car_model": car_model})


# Parts


@role_required()
@require_GET
def part_list(request: StaffRequest) -> HttpResponse:
    words = _words(request)
    page = page_of(request, Part.objects.search(words))
    return render_page(request, "shop/part_list.html", {"page": page, "q": words})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def part_new(request: StaffRequest) -> HttpResponse:
    form = PartForm(posted(request))
    if request.method == "POST" and form.is_valid():
        part = form.save()
        messages.success(request, _("{name} saved.").format(name=part))
        return redirect("part_list")
    return render_page(request, "shop/part_form.html", {"form": form})


@role_required("writer")
@require_http_methods(["GET", "POST"])
def part_edit(request: StaffRequest, pk: int) -> HttpResponse:
    part = get_object_or_404(Part, pk=pk)
    form = PartForm(posted(request), instance=part)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved."))
        return redirect("part_list")
    return render_page(request, "shop/part_form.html", {"form": form, "part": part})

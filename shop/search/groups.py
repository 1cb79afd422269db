"""The shop's own groups of what is found."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext_noop as _

from shop.extensions.found import FoundRow, SearchGroup
from shop.models import CarModel, Customer, Part, Vehicle, WorkOrder
from shop.orders.services.lists import for_list, with_next_words


def _order_rows(orders: Iterable[Any]) -> list[FoundRow]:
    rows: list[Any] = list(with_next_words(orders))
    return [
        FoundRow(
            f"{order.number} {order.vehicle}",
            order.get_absolute_url(),
            f"{order.customer} · {order.state_words} · {order.next_words}",
            order.customer.phone,
        )
        for order in rows
    ]


def _vehicle_rows(vehicles: Iterable[Any]) -> list[FoundRow]:
    return [
        FoundRow(
            str(vehicle),
            vehicle.get_absolute_url(),
            " · ".join(filter(None, (str(vehicle.customer), vehicle.vin))),
            vehicle.customer.phone,
        )
        for vehicle in vehicles
    ]


def _customer_rows(customers: Iterable[Any]) -> list[FoundRow]:
    return [
        FoundRow(
            str(customer),
            customer.get_absolute_url(),
            " · ".join(filter(None, (customer.email, *map(str, customer.vehicles.all())))),
            customer.phone,
        )
        for customer in customers
    ]


def _car_model_rows(car_models: Iterable[Any]) -> list[FoundRow]:
    return [FoundRow(str(one), one.get_absolute_url(), one.notes) for one in car_models]


def _part_rows(parts: Iterable[Any]) -> list[FoundRow]:
    return [FoundRow(str(part), part.get_absolute_url(), part.maker) for part in parts]


ORDERS = SearchGroup(
    "orders", _("Orders"), lambda typed: for_list(WorkOrder.objects.search(typed)), _order_rows
)
VEHICLES = SearchGroup(
    "vehicles",
    _("Vehicles"),
    lambda typed: Vehicle.objects.search(typed).select_related("customer"),
    _vehicle_rows,
)
CUSTOMERS = SearchGroup(
    "customers",
    _("Customers"),
    lambda typed: Customer.objects.search(typed).prefetch_related("vehicles"),
    _customer_rows,
)
CAR_MODELS = SearchGroup("car_models", _("Car models"), CarModel.objects.search, _car_model_rows)
PARTS = SearchGroup("parts", _("Parts"), Part.objects.search, _part_rows)

"""The order that an address names, for those who may see it, and the address of its customer."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from shop.models import WorkOrder


def order_or_404(pk: int) -> WorkOrder:
    """The order with what its pages show, or 404."""
    orders = WorkOrder.objects.select_related(
        "customer",
        "vehicle",
        "vehicle__car_model",
        "first_order",
        "parts_ordered_by",
        "class_record",
    )
    return get_object_or_404(orders, pk=pk)


def customer_link(request: HttpRequest, order: WorkOrder) -> str:
    """The whole address of the customer's page, to be sent."""
    return request.build_absolute_uri(reverse("customer_order", args=[order.token]))

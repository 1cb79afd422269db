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


def order_to_change(pk: int) -> WorkOrder:
    """The same, locked until the transaction of a POST ends: what a form compares with what is on
    record stays so until it is saved."""
    get_object_or_404(WorkOrder.objects.select_for_update(), pk=pk)
    return order_or_404(pk)


def customer_link(request: HttpRequest, order: WorkOrder) -> str:
    """The whole address of the customer's page, to be sent."""
    return request.build_absolute_uri(reverse("customer_order", args=[order.token]))

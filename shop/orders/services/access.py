"""The order that an address names, for those who may see it, and the address of its customer."""

from __future__ import annotations

from urllib.parse import urlsplit

from django.conf import settings
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


def customer_link(request: HttpRequest | None, order: WorkOrder) -> str:
    """The whole address of the customer's page, to be sent.

    It begins with the site's own address (ARCHROOM_URL); on a machine where the site is tried out,
    with that of the request.
    """
    path = reverse("customer_order", args=[order.token])
    if request is not None and (settings.DEBUG or not urlsplit(settings.SITE_URL).hostname):
        return request.build_absolute_uri(path)
    return f"{settings.SITE_URL}{path}"

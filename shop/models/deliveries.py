"""Suppliers, what was ordered from them for an order, and what has arrived."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.orders import Line, WorkOrder
from shop.models.people import User
from shop.models.searching import SearchedQuerySet
from shop.models.vehicles import Part
from shop.models.versioned import Versioned


class SupplierQuerySet(SearchedQuerySet["Supplier"]):
    searched_fields = ("name", "phone", "email", "customer_number")


class Supplier(Versioned):
    """Where parts are ordered."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("email"), blank=True)
    customer_number = models.CharField(_("our customer number"), max_length=60, blank=True)
    notes = models.TextField(_("notes for the staff"), blank=True)
    in_use = models.BooleanField(
        _("in use"), default=True, help_text=_("Untick to order here no longer.")
    )

    objects = SupplierQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("supplier_edit", args=[self.pk])


class PartOrder(Versioned):
    """Pieces of one quote line that were ordered at once.

    It stays when the line is edited or removed: the box arrives all the same. ``part`` and
    ``description`` are those of the line on the day.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="part_orders")
    line = models.ForeignKey(
        Line, on_delete=models.SET_NULL, null=True, blank=True, related_name="part_orders"
    )
    part = models.ForeignKey(
        Part, on_delete=models.PROTECT, null=True, blank=True, related_name="part_orders"
    )
    description = models.CharField(max_length=200)
    quantity = models.DecimalField(max_digits=8, decimal_places=2)
    supplier = models.ForeignKey(
        Supplier,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="part_orders",
        verbose_name=_("supplier"),
    )
    supplier_number = models.CharField(_("supplier's order number"), max_length=60, blank=True)
    promised_on = models.DateField(_("promised for"), null=True, blank=True)
    ordered_at = models.DateTimeField(default=timezone.now, editable=False)
    ordered_by = models.ForeignKey(
        User, on_delete=models.PROTECT, null=True, related_name="+", editable=False
    )

    class Meta:
        ordering: ClassVar = ["ordered_at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(quantity__gt=0), name="part_order_of_something"
            )
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def arrived(self) -> Decimal:
        """Pieces that have arrived."""
        return sum((one.quantity for one in self.arrivals.all()), Decimal(0))

    @property
    def outstanding(self) -> Decimal:
        """Pieces still to come; never below zero."""
        return max(self.quantity - self.arrived, Decimal(0))

    def is_late(self, today: dt.date) -> bool:
        """Whether pieces are missing after the day for which they were promised."""
        return self.promised_on is not None and self.promised_on < today and self.outstanding > 0


class Arrival(models.Model):
    """Pieces of a part order that arrived on one day: a delivery may come in several."""

    part_order = models.ForeignKey(PartOrder, on_delete=models.CASCADE, related_name="arrivals")
    quantity = models.DecimalField(max_digits=8, decimal_places=2)
    arrived_on = models.DateField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["arrived_on", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(condition=models.Q(quantity__gt=0), name="arrival_of_something")
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.part_order}"

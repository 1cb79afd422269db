"""Photographs and files that belong to an order, a vehicle or a corner of a car model."""

from __future__ import annotations

import secrets
from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.axles import Corner
from shop.models.orders import WorkOrder
from shop.models.people import User
from shop.models.vehicles import CarModel, Vehicle
from shop.models.versioned import Versioned


def stored_path(row: StoredFile, filename: str) -> str:
    """A name that cannot be guessed; of the uploaded one only its checked ending is kept."""
    return f"files/{secrets.token_hex(16)}.{filename.rsplit('.', 1)[-1]}"


class StoredFile(Versioned):
    """One photograph or file. ``name`` is how it was called when it came, for people.

    A photograph has its size in pixels and a ``thumb``. A file that was removed leaves its row
    with the reason, and its bytes are gone.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, null=True, related_name="files")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.CASCADE, null=True, related_name="files")
    car_model = models.ForeignKey(
        CarModel, on_delete=models.CASCADE, null=True, related_name="files"
    )
    corner = models.CharField(max_length=2, choices=Corner.choices, blank=True)
    file = models.FileField(upload_to=stored_path)
    thumb = models.FileField(upload_to=stored_path, blank=True)
    name = models.CharField(max_length=120)
    content_type = models.CharField(max_length=40)
    size_bytes = models.PositiveIntegerField()
    width_px = models.PositiveIntegerField(null=True)
    height_px = models.PositiveIntegerField(null=True)
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    for_customer = models.BooleanField(_("show on the customer's page"), default=False)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    removed_at = models.DateTimeField(null=True)
    removed_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    removed_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(
                    order__isnull=False, vehicle__isnull=True, car_model__isnull=True, corner=""
                )
                | models.Q(
                    order__isnull=True, vehicle__isnull=False, car_model__isnull=True, corner=""
                )
                | (
                    models.Q(order__isnull=True, vehicle__isnull=True, car_model__isnull=False)
                    & ~models.Q(corner="")
                ),
                name="file_belongs_to_one_record",
            ),
            models.CheckConstraint(
                condition=models.Q(removed_at__isnull=True) | ~models.Q(removed_because=""),
                name="file_removed_with_a_reason",
            ),
            models.CheckConstraint(
                condition=models.Q(for_customer=False) | models.Q(order__isnull=False),
                name="file_for_customer_is_of_an_order",
            ),
        ]

    def __str__(self) -> str:
        return self.caption or self.name

    @property
    def is_photo(self) -> bool:
        return self.width_px is not None

"""Bays and the blocks of time booked in them."""

from __future__ import annotations

import datetime as dt
from typing import ClassVar

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from shop.models.orders import WorkOrder
from shop.models.people import User
from shop.models.versioned import Versioned


class Bay(Versioned):
    name = models.CharField(_("name"), max_length=60, unique=True)
    has_rack = models.BooleanField(_("has the alignment rack"), default=False)
    in_use = models.BooleanField(_("in use"), default=True, help_text=_("Untick to stop bookings."))

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("bay_edit", args=[self.pk])


class BookingQuerySet(models.QuerySet["Booking"]):
    def overlapping(self, starts_at: dt.datetime, ends_at: dt.datetime) -> BookingQuerySet:
        """Blocks that share time with [starts_at, ends_at); touching ends share none."""
        return self.filter(starts_at__lt=ends_at, ends_at__gt=starts_at)


class Booking(models.Model):
    """One block of time of one order in one bay with one technician.

    No two blocks of a bay, and none of a technician, may overlap: the booking service looks
    under a lock, and PostgreSQL holds it with exclusion constraints as well.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="bookings")
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, related_name="bookings")
    technician = models.ForeignKey(User, on_delete=models.PROTECT, related_name="bookings")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    needs_rack = models.BooleanField(_("needs the alignment rack"), default=False)

    objects = BookingQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["starts_at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(ends_at__gt=models.F("starts_at")),
                name="booking_ends_after_start",
            )
        ]
        indexes: ClassVar = [models.Index(fields=["starts_at", "ends_at"])]

    def __str__(self) -> str:
        return f"{self.order} in {self.bay}"

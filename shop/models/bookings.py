"""Bays and the blocks of time booked in them."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone
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


class BookingEnd(models.TextChoices):
    """Why a block of time no longer stands."""

    STANDS = "", _("stands")
    CANCELLED = "cancelled", _("cancelled")
    NO_SHOW = "no_show", _("the car did not come")


class BookingQuerySet(models.QuerySet["Booking"]):
    def overlapping(self, starts_at: dt.datetime, ends_at: dt.datetime) -> BookingQuerySet:
        """Blocks that share time with [starts_at, ends_at); touching ends share none."""
        return self.filter(starts_at__lt=ends_at, ends_at__gt=starts_at)


class StandingBookings(models.Manager["Booking"]):
    """Blocks that stand: neither cancelled nor missed."""

    def get_queryset(self) -> BookingQuerySet:
        return BookingQuerySet(self.model, using=self._db).filter(ended=BookingEnd.STANDS)

    def overlapping(self, starts_at: dt.datetime, ends_at: dt.datetime) -> BookingQuerySet:
        return self.get_queryset().overlapping(starts_at, ends_at)


class Booking(models.Model):
    """One block of time of one order in one bay with one technician.

    No two blocks of a bay, and none of a technician, may overlap while they stand: the booking
    service looks under a lock, and PostgreSQL holds it with exclusion constraints as well. A block
    that was cancelled or missed stays on record, for calendars that had shown it.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="bookings")
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, related_name="bookings")
    technician = models.ForeignKey(User, on_delete=models.PROTECT, related_name="bookings")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    needs_rack = models.BooleanField(_("needs the alignment rack"), default=False)
    outside_reason = models.CharField(
        _("reason for a time outside the opening hours"), max_length=200, blank=True
    )
    ended = models.CharField(
        max_length=10, choices=BookingEnd.choices, default=BookingEnd.STANDS, blank=True
    )
    ended_reason = models.CharField(_("reason"), max_length=200, blank=True)
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    #: How often the block was changed since a calendar first showed it (SEQUENCE of RFC 5545).
    changes = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(auto_now=True)

    #: The default manager, also of ``order.bookings``.
    objects = StandingBookings()
    on_record = BookingQuerySet.as_manager()

    class Meta:
        base_manager_name = "on_record"
        default_manager_name = "objects"
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

    @property
    def has_begun(self) -> bool:
        return self.starts_at <= timezone.now()

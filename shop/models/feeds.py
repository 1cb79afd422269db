"""Secret addresses from which a calendar program reads appointments."""

from __future__ import annotations

import secrets
from typing import ClassVar

from django.db import models

from shop.models.bookings import Bay
from shop.models.people import User


def new_secret() -> str:
    """The secret part of a feed's address: 256 bits, safe in a URL."""
    return secrets.token_urlsafe(32)


class CalendarFeed(models.Model):
    """The appointments of one bay or of one person, under an address that can be renewed."""

    bay = models.OneToOneField(Bay, on_delete=models.CASCADE, null=True, related_name="feed")
    person = models.OneToOneField(User, on_delete=models.CASCADE, null=True, related_name="feed")
    secret = models.CharField(max_length=64, default=new_secret)
    renewed_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering: ClassVar = ["pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(bay__isnull=True, person__isnull=False)
                | models.Q(bay__isnull=False, person__isnull=True),
                name="feed_of_a_bay_or_a_person",
            )
        ]

    def __str__(self) -> str:
        return str(self.bay or self.person)

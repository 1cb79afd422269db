"""One wheel offered up before the rest: what only the hands and eyes at the car can say."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from shop.models.axles import AXLE_CHOICES


class Looked(models.TextChoices):
    """What was found where one looked."""

    CLEARS = "clears", pgettext_lazy("a dry fit", "Clears")
    TOUCHES = "touches", pgettext_lazy("a dry fit", "Touches")
    NONE = "none", pgettext_lazy("a dry fit", "Not on this car")


class DryFit(models.Model):
    """A dry fit of one axle, good for exactly the wheel, tyre, spacer and nuts it was made with.

    ``digest`` stands for those. ``on_car``: the wheels were on the car already, so there was
    nothing to offer up.
    """

    order = models.ForeignKey("shop.WorkOrder", on_delete=models.CASCADE, related_name="dry_fits")
    axle = models.CharField(_("axle"), max_length=5, choices=AXLE_CHOICES)
    digest = models.CharField(max_length=64)
    on_car = models.BooleanField(_("these wheels are on the car already"), default=False)
    brake = models.CharField(
        _("caliper, disc and hoses"), max_length=8, choices=Looked.choices, blank=True
    )
    hardware = models.CharField(
        _("balance weights and brake hardware"), max_length=8, choices=Looked.choices, blank=True
    )
    sensor = models.CharField(
        _("tyre pressure sensor"), max_length=8, choices=Looked.choices, blank=True
    )
    lock = models.CharField(
        _("steering, stop to stop by hand"), max_length=8, choices=Looked.choices, blank=True
    )
    note = models.CharField(_("note"), max_length=200, blank=True)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.order}, {self.axle}"

    #: What is asked, in the order of the work.
    ASKED: ClassVar = ("brake", "hardware", "sensor", "lock")

    @property
    def touching(self) -> tuple[str, ...]:
        """What touches, by the names of its fields."""
        return tuple(name for name in self.ASKED if getattr(self, name) == Looked.TOUCHES)

    @property
    def is_good(self) -> bool:
        """Whether nothing touches, and everything was looked at that is not on the car already."""
        return not self.touching and (
            self.on_car or all(getattr(self, name) for name in self.ASKED)
        )

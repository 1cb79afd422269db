"""Searches for options: what was asked, how far they are, and what they found."""

from __future__ import annotations

from typing import Any, ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from fitment.models.schemas import FOUND_OPTIONS, RULED_OUT, SEARCH_LIMITS, SEARCH_START
from shop.models.axles import AXLE_CHOICES
from shop.models.stored import StoredJSONField


class OptionSearch(models.Model):
    """One search on an order's car or a car model, worked off as a background task.

    ``start`` holds the set-up that it began from as the try-out writes it, ``asked`` what may
    change and within which limits, ``found`` options as plain rows, ``ruled_out`` [why, count].
    ``done`` of ``settings`` settings are searched, which is what a search that was interrupted goes
    on from; ``task`` tells who is at it.
    """

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, null=True, related_name="option_searches"
    )
    car_model = models.ForeignKey(
        "shop.CarModel", on_delete=models.CASCADE, related_name="option_searches"
    )
    axle = models.CharField(_("axle"), max_length=5, choices=AXLE_CHOICES)
    use = models.CharField(max_length=12)
    start = StoredJSONField(schema=SEARCH_START)
    asked = StoredJSONField(schema=SEARCH_LIMITS)
    settings = models.PositiveIntegerField(default=0)
    done = models.PositiveIntegerField(default=0)
    stopped = models.BooleanField(default=False)
    task = models.OneToOneField(
        "shop.BackgroundTask", on_delete=models.SET_NULL, null=True, related_name="+"
    )
    found = StoredJSONField(schema=FOUND_OPTIONS, default=list)
    ruled_out = StoredJSONField(schema=RULED_OUT, default=list)
    candidates = models.PositiveBigIntegerField(default=0)
    judged = models.PositiveIntegerField(default=0)
    cleared = models.PositiveIntegerField(default=0)
    trouble = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]

    def __str__(self) -> str:
        return gettext("Options, {axle}").format(axle=self.get_axle_display().lower())

    def get_absolute_url(self) -> str:
        return reverse("option_search", args=[self.pk])

    @property
    def is_over(self) -> bool:
        if self.stopped or self.trouble or self.done >= self.settings:
            return True
        return self.task is None or self.task.is_over

    @property
    def is_complete(self) -> bool:
        return not self.trouble and self.done >= self.settings

    @property
    def shown(self) -> list[dict[str, Any]]:
        """The few options that are offered, the best for each aim first."""
        return [way for way in self.found if way["shown"]]

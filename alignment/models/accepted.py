"""Adjustments that a technician accepted, kept as they were proposed."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.utils import timezone

from alignment.models.schemas import ACCEPTED_ADJUSTMENTS, ACCEPTED_OPTION
from shop.models import Corner, WorkOrder
from shop.models.stored import StoredJSONField


class AcceptedAdjustmentsQuerySet(models.QuerySet["AcceptedAdjustments"]):
    def standing(self) -> AcceptedAdjustmentsQuerySet:
        """Those that were not withdrawn, in the order of time; the last one for a visit and a
        corner is valid."""
        return self.filter(withdrawn=False).order_by("at", "pk")

    def of_order(self, order: WorkOrder) -> AcceptedAdjustmentsQuerySet:
        return self.standing().filter(order=order).select_related("visit", "by")


class AcceptedAdjustments(models.Model):
    """One option at one corner, from the readings of one visit.

    ``option`` names it, as a message. ``adjustments`` lists adjusters with start and end (in the
    model's millimetres and degrees, or in the unit that was learned from visits) and the messages
    for the technician. ``positions`` are all
    adjusters after them. ``read``, ``predicted``, ``offset`` (rack minus model) and
    ``uncertainty`` hold degrees by quantity; ``clearance`` the tightest spot. Front toe was
    predicted with ``thrust_shift_deg``. ``toe_is_split``: half of a total.
    """

    order = models.ForeignKey(
        WorkOrder, on_delete=models.CASCADE, related_name="accepted_adjustments"
    )
    visit = models.ForeignKey(
        "alignment.RackVisit", on_delete=models.CASCADE, related_name="accepted_adjustments"
    )
    visit_version = models.PositiveIntegerField()
    corner = models.CharField(max_length=2, choices=Corner.choices)
    option = StoredJSONField(schema=ACCEPTED_OPTION)
    adjustments = StoredJSONField(schema=ACCEPTED_ADJUSTMENTS)
    positions = models.JSONField()
    read = models.JSONField()
    predicted = models.JSONField()
    offset = models.JSONField(default=dict)
    uncertainty = models.JSONField(default=dict)
    #: The targets they were made for: by quantity [degrees, tolerance].
    wanted = models.JSONField(default=dict)
    clearance = models.JSONField(default=dict)
    toe_is_split = models.BooleanField(default=False)
    #: Not made: the corner was left, or an adjuster turned out to be seized, before it was read
    #: again.
    withdrawn = models.BooleanField(default=False)
    thrust_shift_deg = models.FloatField(default=0.0)
    source = models.CharField(max_length=200)
    engine = models.CharField(max_length=20)
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects = AcceptedAdjustmentsQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["at", "pk"]
        indexes: ClassVar = [models.Index(fields=["order", "corner"])]
        verbose_name_plural = "accepted adjustments"

    def __str__(self) -> str:
        return f"{self.corner}, {self.order}"

    @property
    def ends(self) -> dict[str, float]:
        """Target positions of the adjusters that are moved."""
        return {move["adjuster"]: move["end"] for move in self.adjustments}


class HeldAdjuster(models.Model):
    """An adjuster that stays where it stands: seized, or left on purpose.

    An empty ``adjuster`` is the whole corner. Everything that depends on it (thrust line, front
    toe, totals) is worked out with it as it stands.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="held_adjusters")
    corner = models.CharField(max_length=2, choices=Corner.choices)
    adjuster = models.CharField(max_length=60, blank=True)
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering: ClassVar = ["corner", "adjuster"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["order", "corner", "adjuster"], name="adjuster_held_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.corner} {self.adjuster or 'all'}"

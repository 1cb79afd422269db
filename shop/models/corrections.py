"""Corrections of records that decide whether a wheel can be mounted: the old figure stays."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.people import User


class RecordCorrectionQuerySet(models.QuerySet["RecordCorrection"]):
    def of(self, record: models.Model) -> RecordCorrectionQuerySet:
        """Those of one record, the newest first."""
        return self.filter(record=record._meta.label_lower, record_pk=record.pk).select_related(
            "by"
        )


class RecordCorrection(models.Model):
    """One field of a car model, wheel or tyre that was corrected: who, why, and both texts.

    ``record`` is the model's label, ``field`` its attribute; ``old`` and ``new`` are what stood
    there and stands there, as text, empty for nothing.
    """

    record = models.CharField(max_length=60)
    record_pk = models.PositiveBigIntegerField()
    field = models.CharField(max_length=60)
    label = models.CharField(max_length=120)
    old = models.CharField(max_length=200, blank=True)
    new = models.CharField(max_length=200, blank=True)
    why = models.TextField(_("reason"))
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    objects = RecordCorrectionQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        indexes: ClassVar = [models.Index(fields=["record", "record_pk"])]
        constraints: ClassVar = [
            models.CheckConstraint(condition=~models.Q(why=""), name="correction_with_a_reason")
        ]

    def __str__(self) -> str:
        return f"{self.label}: {self.old} → {self.new}"

"""Tyres that this shop has measured, one row for each tyre and day."""

from __future__ import annotations

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone

from fitment.engine.pooling import Measured

from .wheels import TyreModel


class TyreMeasurement(models.Model):
    """One mounted tyre as it was measured (mm, rim in inches); None where it was not read.

    ``profile`` is a traced section, [[axial from the centre plane, radius], …] from the outboard
    bead over the crown to the inboard one.
    """

    tyre = models.ForeignKey(TyreModel, on_delete=models.CASCADE, related_name="measurements")
    rim_in = models.FloatField(
        "on a rim of, in", validators=[MinValueValidator(3), MaxValueValidator(16)]
    )
    width_mm = models.FloatField(
        "section width, mm", null=True, blank=True, validators=[MinValueValidator(50)]
    )
    diameter_mm = models.FloatField(
        "overall diameter, mm", null=True, blank=True, validators=[MinValueValidator(300)]
    )
    tread_mm = models.FloatField(
        "tread width, mm", null=True, blank=True, validators=[MinValueValidator(50)]
    )
    shoulder_mm = models.FloatField(
        "shoulder drop, mm", null=True, blank=True, validators=[MinValueValidator(0)]
    )
    profile = models.JSONField("traced section", default=list, blank=True)
    measured_on = models.DateField("measured on", default=timezone.localdate)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["-measured_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.tyre}, {self.measured_on}"

    def as_measured(self) -> Measured:
        """This row as plain data for pooling."""
        return Measured(
            rim_in=self.rim_in,
            width_mm=self.width_mm,
            diameter_mm=self.diameter_mm,
            tread_mm=self.tread_mm,
            shoulder_mm=self.shoulder_mm,
            trace=tuple((float(b), float(r)) for b, r in self.profile),
        )

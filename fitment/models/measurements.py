"""Tyres and wheels that this shop has measured, one row for each piece and day."""

from __future__ import annotations

from typing import ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from fitment.engine.solid.pooled_tyres import Measured
from fitment.engine.solid.pooled_wheels import MeasuredWheel

from .wheels import TyreModel, WheelModel


class TyreMeasurement(models.Model):
    """One mounted tyre as it was measured (mm, rim in inches); None where it was not read.

    ``profile`` is a traced section, [[axial from the centre plane, radius], …] from the outboard
    bead over the crown to the inboard one.
    """

    tyre = models.ForeignKey(TyreModel, on_delete=models.CASCADE, related_name="measurements")
    rim_in = models.FloatField(
        _("on a rim of, in"), validators=[MinValueValidator(3), MaxValueValidator(16)]
    )
    width_mm = models.FloatField(
        _("section width, mm"), null=True, blank=True, validators=[MinValueValidator(50)]
    )
    diameter_mm = models.FloatField(
        _("overall diameter, mm"), null=True, blank=True, validators=[MinValueValidator(300)]
    )
    tread_mm = models.FloatField(
        _("tread width, mm"), null=True, blank=True, validators=[MinValueValidator(50)]
    )
    shoulder_mm = models.FloatField(
        _("shoulder drop, mm"), null=True, blank=True, validators=[MinValueValidator(0)]
    )
    profile = models.JSONField(_("traced section"), default=list, blank=True)
    measured_on = models.DateField(_("measured on"), default=timezone.localdate)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    note = models.CharField(_("note"), max_length=200, blank=True)

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


class WheelMeasurement(models.Model):
    """One wheel as it was measured, without its tyre (mm); None where it was not read.

    ``back_mm`` is the back spacing: from the mounting face to the inboard edge of the rim.
    ``spoke_back`` is traced like a wheel's: [[axial from the mounting face, radius], …].
    """

    wheel = models.ForeignKey(WheelModel, on_delete=models.CASCADE, related_name="measurements")
    width_mm = models.FloatField(
        _("between the flanges, mm"), null=True, blank=True, validators=[MinValueValidator(70)]
    )
    flange_mm = models.FloatField(
        _("flange width, mm"), null=True, blank=True, validators=[MinValueValidator(5)]
    )
    back_mm = models.FloatField(_("back spacing, mm"), null=True, blank=True)
    offset_mm = models.FloatField(_("offset (ET), mm"), null=True, blank=True)
    barrel_radius_mm = models.FloatField(
        _("inside radius of the barrel, mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(80)],
    )
    pad_mm = models.FloatField(
        _("thickness at the bolts, mm"), null=True, blank=True, validators=[MinValueValidator(0)]
    )
    spoke_back = models.JSONField(_("back of the spokes"), default=list, blank=True)
    measured_on = models.DateField(_("measured on"), default=timezone.localdate)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["-measured_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.wheel}, {self.measured_on}"

    def as_measured(self) -> MeasuredWheel:
        """This row as plain data for pooling."""
        return MeasuredWheel(
            width_mm=self.width_mm,
            flange_mm=self.flange_mm,
            back_mm=self.back_mm,
            offset_mm=self.offset_mm,
            barrel_radius_mm=self.barrel_radius_mm,
            pad_mm=self.pad_mm,
            trace=tuple((float(a), float(r)) for a, r in self.spoke_back),
        )

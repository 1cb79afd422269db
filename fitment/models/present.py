"""This very car as it stands: the wheel on each corner, how it is set, and gaps read there."""

from __future__ import annotations

from typing import Any, ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from common.corners import CORNER_NAMES
from shop.models.axles import Corner

from .wheels import TREAD, TyreModel, WheelModel


class PresentCorner(models.Model):
    """How one corner of an order's car stands now, with the wheel that is on it.

    Camber None means as surveyed; ``camber_by`` names what made it differ. ``ride_height_mm`` is
    counted from the survey's height, lower negative.
    """

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="present_corners"
    )
    corner = models.CharField(max_length=2, choices=Corner.choices)
    wheel = models.ForeignKey(WheelModel, on_delete=models.PROTECT, related_name="+")
    tyre = models.ForeignKey(TyreModel, on_delete=models.PROTECT, related_name="+")
    spacer_mm = models.FloatField(_("spacer, mm"), default=0.0, validators=[MinValueValidator(0)])
    worn_mm = models.FloatField(_("tread worn off, mm"), default=0.0, validators=TREAD)
    toe_deg = models.FloatField(_("toe of this wheel, °"))
    camber_deg = models.FloatField(_("camber, °"), null=True, blank=True)
    camber_by = models.CharField(_("made by"), max_length=40, blank=True)
    ride_height_mm = models.FloatField(_("height against the survey, mm"), default=0.0)
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering: ClassVar = ["order", "corner"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "corner"], name="one_state_per_corner"),
            models.CheckConstraint(
                condition=models.Q(corner__in=Corner.values), name="state_of_a_real_corner"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.order}, {CORNER_NAMES[self.corner]}"

    def as_document(self) -> dict[str, Any]:
        """The car as it stands as ``planned``, ``wheel`` and ``tyre`` of a check file."""
        planned: dict[str, Any] = {"toe_deg": self.toe_deg}
        if self.camber_deg is not None:
            planned |= {"camber_deg": self.camber_deg, "camber_by": self.camber_by}
        if self.ride_height_mm:
            planned["adjusters"] = {"ride_height_mm": self.ride_height_mm}
        tyre = self.tyre.as_document(self.wheel.width_in)
        if self.worn_mm:
            tyre["worn_mm"] = self.worn_mm
        return {
            "planned": planned,
            "wheel": self.wheel.as_document(spacer_mm=self.spacer_mm),
            "tyre": tyre,
        }


class GapRead(models.Model):
    """A gap between a place and the present wheel, as read; travel from its static height.

    ``typed`` is what was written, ``predicted_mm`` what the model said before it was read.
    """

    present = models.ForeignKey(PresentCorner, on_delete=models.CASCADE, related_name="gaps")
    place = models.CharField(max_length=80)
    gap_mm = models.FloatField(_("gap, mm"), validators=[MinValueValidator(0)])
    typed = models.CharField(max_length=20)
    travel_mm = models.FloatField(_("travel, mm"), default=0.0)
    steer_deg = models.FloatField(_("lock, °"), default=0.0)
    sigma_mm = models.FloatField(
        _("uncertainty, mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(50)],
    )
    predicted_mm = models.FloatField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["present", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["present", "place", "travel_mm", "steer_deg"], name="one_gap_per_pose"
            )
        ]

    def __str__(self) -> str:
        return f"{self.place}: {self.gap_mm:g} mm"

    @property
    def off_mm(self) -> float | None:
        """What was read less what had been predicted."""
        return None if self.predicted_mm is None else self.gap_mm - self.predicted_mm

    def as_document(self) -> dict[str, Any]:
        """This reading as one of the ``gaps`` of a check file's ``present``."""
        document: dict[str, Any] = {
            "place": self.place,
            "gap_mm": self.gap_mm,
            "travel_mm": self.travel_mm,
            "steer_deg": self.steer_deg,
        }
        if self.sigma_mm is not None:
            document["sigma_mm"] = self.sigma_mm
        return document

"""What an axle is to be set to.

Angles are degrees, with the signs of ``alignment.models.visits``.
"""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from alignment.geometry import units
from common.corners import AXLE_CORNERS
from shop.models import Axle, WorkOrder

LARGEST_ANGLE = units.LARGEST_ANGLE_DEG
#: Cars are set to about a tenth of a degree of camber; a shop edits it per plan.
CAMBER_TOLERANCE_DEG = 0.10
TOE_TOLERANCE_DEG = 0.03
CASTER_TOLERANCE_DEG = 0.25


class ToeUnit(models.TextChoices):
    """What a number without a unit means where toe is typed."""

    DEGREES = units.DEGREES, _("degrees")
    MINUTES = units.MINUTES, _("minutes of arc")
    MILLIMETRES = units.MILLIMETRES, _("millimetres")
    INCHES = units.INCHES, _("inches")


class Bushes(models.TextChoices):
    """Bushes whose compliance under side load is assumed where this car's was not measured."""

    RUBBER = "rubber", _("rubber in good order")
    WORN = "worn", _("worn rubber")
    SOLID = "solid", _("solid, or ball joints")


class PlannedSettingQuerySet(models.QuerySet["PlannedSetting"]):
    def of_order(self, order: WorkOrder) -> PlannedSettingQuerySet:
        return self.filter(order=order).select_related("saved_by")


class PlannedSetting(models.Model):
    """What one axle of an order's car is to be set to, both sides alike.

    ``camber_by`` is what camber is set with: ``top_mount``, ``lower_arm``, ``upper_arm``,
    ``knuckle`` or ``rod:NAME``. ``adjusters`` holds positions stated by hand by the names of
    ``alignment.geometry.model.ADJUSTERS``, and rods as ``{"rods_mm": {name: mm}}``. ``bushes``
    says whose compliance under side load is assumed; empty for the surveyed one. ``rolled_lips``:
    arch lips that turn in are folded flat. ``typed`` holds the texts of the form by field name.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="planned_settings")
    axle = models.CharField(max_length=5, choices=Axle.choices)
    camber_deg = models.FloatField(null=True, blank=True)
    camber_by = models.CharField(max_length=60, blank=True)
    toe_deg = models.FloatField()
    toe_unit = models.CharField(max_length=3, choices=ToeUnit.choices, default=ToeUnit.DEGREES)
    toe_diameter_mm = models.FloatField(null=True, blank=True)
    caster_deg = models.FloatField(null=True, blank=True)
    camber_tolerance_deg = models.FloatField(default=CAMBER_TOLERANCE_DEG)
    toe_tolerance_deg = models.FloatField(default=TOE_TOLERANCE_DEG)
    caster_tolerance_deg = models.FloatField(default=CASTER_TOLERANCE_DEG)
    adjusters = models.JSONField(default=dict, blank=True)
    bushes = models.CharField(max_length=6, choices=Bushes.choices, blank=True)
    rolled_lips = models.BooleanField(default=False)
    typed = models.JSONField(default=dict, blank=True)
    notes = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)
    saved_at = models.DateTimeField(default=timezone.now, editable=False)
    saved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    objects = PlannedSettingQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["order", "axle"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "axle"], name="plan_once_per_axle"),
            models.CheckConstraint(
                condition=models.Q(camber_deg__isnull=True, camber_by="")
                | (models.Q(camber_deg__isnull=False) & ~models.Q(camber_by="")),
                name="plan_camber_has_means",
            ),
            models.CheckConstraint(
                condition=models.Q(camber_deg__isnull=True)
                | models.Q(camber_deg__gt=-LARGEST_ANGLE, camber_deg__lt=LARGEST_ANGLE),
                name="plan_camber_is_an_angle",
            ),
            models.CheckConstraint(
                condition=models.Q(toe_deg__gt=-LARGEST_ANGLE, toe_deg__lt=LARGEST_ANGLE),
                name="plan_toe_is_an_angle",
            ),
            models.CheckConstraint(
                condition=models.Q(
                    camber_tolerance_deg__gte=0,
                    toe_tolerance_deg__gte=0,
                    caster_tolerance_deg__gte=0,
                ),
                name="plan_tolerances_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_axle_display()} of {self.order}"

    @property
    def corners(self) -> tuple[str, str]:
        return AXLE_CORNERS[self.axle]

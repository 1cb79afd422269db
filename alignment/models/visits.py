"""Visits to the rack and what was read there.

Angles are degrees, lengths millimetres. Camber is negative with the top inboard, toe positive
with the front edge inboard and for one wheel, caster positive with the top of the steering
axis to the rear. Texts that people typed are kept beside the numbers understood from them.
"""

from __future__ import annotations

import uuid
from typing import ClassVar

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from alignment.geometry import units
from alignment.models.plans import LARGEST_ANGLE, ToeUnit
from alignment.models.schemas import CONFIRMED_QUESTIONS
from shop.languages.figures import short
from shop.models import Corner, Vehicle, WorkOrder
from shop.models.stored import StoredJSONField

#: Unit of a caster that was worked out from a camber sweep.
SWEEP = "sweep"
#: Accuracy of a rack in daily use where none is stated, degrees (common practice, no source).
RACK_ACCURACY_DEG = 0.05


class Stage(models.TextChoices):
    BEFORE = "before", _("Before the work")
    BETWEEN = "between", _("In between")
    AFTER = "after", _("After the work")


class ToeReference(models.TextChoices):
    """The line from which the rack counts a front wheel's toe."""

    THRUST = "thrust", _("the rear axle's thrust line")
    CENTRE = "centre", _("the car's centre line")


class ToePlace(models.TextChoices):
    """Where on the wheel a toe was measured as a length."""

    RIM = "rim", _("the rim's edge")
    TYRE = "tyre", _("the tyre's tread")
    STATED = "stated", _("a stated diameter")


class Quantity(models.TextChoices):
    CAMBER = "camber", _("Camber")
    CASTER = "caster", _("Caster")
    SAI = "sai", _("Steering axis inclination")
    TOE = "toe", _("Toe, per wheel")
    TOE_TOTAL = "toe_total", _("Toe, total")
    RIDE_HEIGHT = "ride_height", _("Ride height")
    WHEELBASE = "wheelbase", _("Wheelbase")
    TRACK = "track", pgettext_lazy("a quantity", "Track")
    PRESSURE = "pressure", _("Tyre pressure")


#: Quantities kept in millimetres; tyre pressure is in bar, all others are degrees.
LENGTHS = (Quantity.RIDE_HEIGHT, Quantity.WHEELBASE, Quantity.TRACK)
#: Quantities whose readings are greater than zero.
POSITIVE = (*LENGTHS, Quantity.PRESSURE)
#: Quantities read once for an axle; they are kept at its left corner.
OF_AXLE = (Quantity.TOE_TOTAL, Quantity.TRACK)


class RackVisitQuerySet(models.QuerySet["RackVisit"]):
    def with_numbers(self) -> RackVisitQuerySet:
        """With readings and adjuster positions: three queries for any number of visits."""
        return self.select_related("technician", "order", "vehicle").prefetch_related(
            "readings", "positions"
        )


class RackVisit(models.Model):
    """One time on the rack: the conditions under which its readings were taken.

    ``entry_key`` comes from the form: a form that is sent twice, because the tablet lost its
    connection, stays one visit. ``accepted`` lists the questions about odd values that the
    technician confirmed, each a message or several. ``sweeps`` holds, by corner, the four texts
    typed for a caster from a camber sweep; the caster itself is a reading with the unit ``SWEEP``.
    ``steering_ratio`` is turns of the steering wheel for one of the wheels; ``mileage_km`` is
    None where it was not read, and the order's is used then.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="rack_visits")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="rack_visits")
    stage = models.CharField(max_length=7, choices=Stage.choices)
    at = models.DateTimeField(default=timezone.now)
    technician = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="rack_visits"
    )
    rack_name = models.CharField("rack", max_length=80, blank=True)
    accuracy_deg = models.FloatField(
        "accuracy of the rack, ± degrees",
        default=RACK_ACCURACY_DEG,
        validators=[MinValueValidator(0.0), MaxValueValidator(5.0)],
    )
    toe_unit = models.CharField(max_length=3, choices=ToeUnit.choices, default=ToeUnit.DEGREES)
    toe_diameter_mm = models.FloatField(null=True, blank=True)
    toe_diameter_typed = models.CharField(max_length=40, blank=True)
    toe_reference = models.CharField(
        max_length=6, choices=ToeReference.choices, default=ToeReference.THRUST
    )
    toe_place = models.CharField(max_length=6, choices=ToePlace.choices, default=ToePlace.STATED)
    tyre_pressure = models.CharField("tyre pressures", max_length=120, blank=True)
    fuel = models.CharField("fuel and load", max_length=120, blank=True)
    ballast = models.CharField("ballast or driver weight", max_length=120, blank=True)
    steering_ahead = models.BooleanField("steering wheel straight ahead and held", default=False)
    level = models.BooleanField("rack level, plates free, springs settled", default=False)
    steering_ratio = models.FloatField(null=True, blank=True)
    temperature_c = models.FloatField(null=True, blank=True)
    mileage_km = models.PositiveIntegerField(null=True, blank=True)
    sweeps = models.JSONField(default=dict, blank=True)
    notes = models.TextField(blank=True)
    accepted = StoredJSONField(schema=CONFIRMED_QUESTIONS, default=list, blank=True)
    entry_key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)
    saved_at = models.DateTimeField(default=timezone.now, editable=False)
    saved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    objects = RackVisitQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["at", "pk"]
        indexes: ClassVar = [models.Index(fields=["order", "stage"])]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(accuracy_deg__gte=0, accuracy_deg__lte=5),
                name="visit_accuracy_plausible",
            ),
            models.CheckConstraint(
                condition=models.Q(toe_diameter_mm__isnull=True) | models.Q(toe_diameter_mm__gt=0),
                name="visit_diameter_positive",
            ),
            models.CheckConstraint(
                condition=models.Q(steering_ratio__isnull=True) | models.Q(steering_ratio__gt=0),
                name="visit_ratio_positive",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_stage_display()}, {self.order}"

    def get_absolute_url(self) -> str:
        return reverse("visit", args=[self.pk])

    @property
    def km(self) -> int | None:
        """Mileage at the visit, else the order's."""
        return self.order.mileage_km if self.mileage_km is None else self.mileage_km

    @property
    def toe_diameter_said(self) -> str:
        """What was typed first, then the millimetres that it means; empty where none was."""
        if self.toe_diameter_mm is None:
            return ""
        figure = f"{short(self.toe_diameter_mm, 1)} mm"
        typed = self.toe_diameter_typed.removesuffix("mm").strip()
        return f"{typed} → {figure}" if typed.strip("0123456789.,") else figure

    def values(self) -> dict[tuple[str, str], float]:
        """Degrees, millimetres or bar by (corner, quantity); zero is a reading, absent is not."""
        return {(r.corner, r.quantity): r.value for r in self.readings.all()}


class Reading(models.Model):
    """One number off the rack: what was typed, the unit it was typed in, and its value.

    ``value`` is in degrees, for ``LENGTHS`` in millimetres, for tyre pressure in bar.
    """

    visit = models.ForeignKey(RackVisit, on_delete=models.CASCADE, related_name="readings")
    corner = models.CharField(max_length=2, choices=Corner.choices)
    quantity = models.CharField(max_length=12, choices=Quantity.choices)
    typed = models.CharField(max_length=40)
    unit = models.CharField(max_length=8)
    value = models.FloatField()

    class Meta:
        ordering: ClassVar = ["corner", "quantity"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["visit", "corner", "quantity"], name="reading_once_per_visit"
            ),
            models.CheckConstraint(
                condition=models.Q(quantity__in=POSITIVE, value__gt=0)
                | (
                    ~models.Q(quantity__in=POSITIVE)
                    & models.Q(value__gt=-LARGEST_ANGLE, value__lt=LARGEST_ANGLE)
                ),
                name="reading_is_possible",
            ),
            models.CheckConstraint(condition=~models.Q(typed=""), name="reading_was_typed"),
        ]

    def __str__(self) -> str:
        return f"{self.corner} {self.quantity} {self.typed}"

    @property
    def is_length(self) -> bool:
        return self.quantity in LENGTHS


class AdjusterPosition(models.Model):
    """Position of an adjuster at a visit, in the unit counted by hand (mm, marks, turns, shims)."""

    visit = models.ForeignKey(RackVisit, on_delete=models.CASCADE, related_name="positions")
    corner = models.CharField(max_length=2, choices=Corner.choices)
    adjuster = models.CharField(max_length=60)
    typed = models.CharField(max_length=60)
    value = models.FloatField()
    unit = models.CharField(max_length=8)

    class Meta:
        ordering: ClassVar = ["corner", "adjuster"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["visit", "corner", "adjuster"], name="position_once_per_visit"
            ),
            models.CheckConstraint(
                condition=~models.Q(typed="") & ~models.Q(adjuster=""), name="position_was_typed"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.corner} {self.adjuster}: {self.typed}"

    @property
    def shown(self) -> str:
        """As it was typed, with its unit where none was."""
        bare = not any(sign.isalpha() or sign in '°"' for sign in self.typed)
        return f"{self.typed} mm" if bare and self.unit == units.MILLIMETRES else self.typed

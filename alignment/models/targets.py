"""Targets of a car model's axles: the maker's figures and the shop's own, by use.

A sheet is never changed: another set of figures is another version, and a job keeps the one
that it was planned from. Angles are degrees and heights millimetres, signs as in
``alignment.models``.
"""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models import Axle, CarModel, Use, WorkOrder


class TargetKind(models.TextChoices):
    MAKER = "maker", _("The vehicle maker's figures")
    SHOP = "shop", _("The shop's own targets")


class Aimed(models.TextChoices):
    """Quantities that have a target; values as in ``Quantity``."""

    CAMBER = "camber", _("Camber")
    CASTER = "caster", _("Caster")
    TOE = "toe", _("Toe, per wheel")
    RIDE_HEIGHT = "ride_height", _("Ride height")


#: Quantities with a target on each axle, in the order of the form and the table.
AIMED: dict[str, tuple[str, ...]] = {
    Axle.FRONT: (Aimed.CAMBER, Aimed.CASTER, Aimed.TOE, Aimed.RIDE_HEIGHT),
    Axle.REAR: (Aimed.CAMBER, Aimed.TOE, Aimed.RIDE_HEIGHT),
}


class TargetSheetQuerySet(models.QuerySet["TargetSheet"]):
    def current(self) -> TargetSheetQuerySet:
        """The highest version of each car model, use and kind."""
        newer = TargetSheet.objects.filter(
            car_model=models.OuterRef("car_model"),
            use=models.OuterRef("use"),
            kind=models.OuterRef("kind"),
            version__gt=models.OuterRef("version"),
        )
        return self.filter(~models.Exists(newer))

    def with_figures(self) -> TargetSheetQuerySet:
        return self.select_related("car_model", "saved_by").prefetch_related("figures")


class TargetSheet(models.Model):
    """One version of a car model's figures for one use.

    ``camber_by`` maps an axle to what the shop sets its camber with.
    """

    car_model = models.ForeignKey(CarModel, on_delete=models.CASCADE, related_name="target_sheets")
    use = models.CharField(max_length=10, choices=Use.choices, default=Use.STREET)
    kind = models.CharField(max_length=6, choices=TargetKind.choices, default=TargetKind.SHOP)
    version = models.PositiveIntegerField(editable=False)
    source = models.CharField(max_length=200)
    dated = models.DateField("as of")
    notes = models.TextField(blank=True)
    camber_by = models.JSONField(default=dict, blank=True)
    toe_unit = models.CharField(max_length=3, default="deg")
    toe_diameter_mm = models.FloatField(null=True, blank=True)
    saved_at = models.DateTimeField(default=timezone.now, editable=False)
    saved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    objects = TargetSheetQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["car_model", "use", "kind", "-version"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["car_model", "use", "kind", "version"], name="target_version_once"
            )
        ]

    def __str__(self) -> str:
        text = (
            _("{use}, maker's figures, version {number}")
            if self.kind == TargetKind.MAKER
            else _("{use}, shop's targets, version {number}")
        )
        return str(text).format(use=self.get_use_display(), number=self.version)

    def get_absolute_url(self) -> str:
        return reverse("target", args=[self.pk])


class TargetFigure(models.Model):
    """One quantity of one axle, left and right, and what they come to together.

    ``cross`` is left less right, for toe the total; without a ``cross_tolerance`` it is shown but
    not judged. ``typed`` keeps the texts of the form by field.
    """

    sheet = models.ForeignKey(TargetSheet, on_delete=models.CASCADE, related_name="figures")
    axle = models.CharField(max_length=5, choices=Axle.choices)
    quantity = models.CharField(max_length=12, choices=Aimed.choices)
    left = models.FloatField()
    right = models.FloatField()
    left_tolerance = models.FloatField()
    right_tolerance = models.FloatField()
    cross = models.FloatField()
    cross_tolerance = models.FloatField(null=True, blank=True)
    typed = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering: ClassVar = ["axle", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["sheet", "axle", "quantity"], name="target_figure_once_per_sheet"
            ),
            models.CheckConstraint(
                condition=models.Q(left_tolerance__gte=0, right_tolerance__gte=0)
                & (models.Q(cross_tolerance__isnull=True) | models.Q(cross_tolerance__gte=0)),
                name="target_tolerances_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.axle} {self.quantity} {self.left:g}/{self.right:g}"

    @property
    def middle(self) -> float:
        """The mean of both sides."""
        return (self.left + self.right) / 2


class OrderTarget(models.Model):
    """The version of a target sheet that an order was planned from, and why the plan differs."""

    order = models.OneToOneField(WorkOrder, on_delete=models.CASCADE, related_name="target")
    sheet = models.ForeignKey(TargetSheet, on_delete=models.PROTECT, related_name="order_targets")
    reason = models.TextField("why the plan differs", blank=True)
    taken_at = models.DateTimeField(default=timezone.now, editable=False)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    def __str__(self) -> str:
        return f"{self.order}: {self.sheet}"

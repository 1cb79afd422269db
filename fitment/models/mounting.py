"""How an order's wheels are held and centred, and the law that the shop goes by."""

from __future__ import annotations

from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models

from fitment.engine.law import Figure
from shop.models.mounting import Seat

POSITIVE = [MinValueValidator(0)]


class OrderMounting(models.Model):
    """Rings, nuts, bolts or studs that an order fits on one axle; empty: the car's own (mm)."""

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="order_mountings"
    )
    axle = models.CharField(max_length=5, choices=[("front", "Front"), ("rear", "Rear")])
    ring_outer_mm = models.FloatField(
        "ring outside, mm", null=True, blank=True, validators=POSITIVE
    )
    ring_inner_mm = models.FloatField("ring inside, mm", null=True, blank=True, validators=POSITIVE)
    seat = models.CharField("seat of nuts or bolts", max_length=8, choices=Seat.choices, blank=True)
    thread = models.CharField(max_length=20, blank=True)
    length_mm = models.FloatField(
        "length of stud or bolt, mm", null=True, blank=True, validators=POSITIVE
    )

    class Meta:
        ordering: ClassVar = ["order", "axle"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "axle"], name="one_mounting_per_axle")
        ]

    def __str__(self) -> str:
        return f"{self.order}, {self.axle}"


class ShopLaw(models.Model):
    """The one row of rules that this shop goes by; fetch it with :meth:`load`.

    ``figures`` holds ``{key: {"value": …, "source": …}}`` by the keys of
    ``fitment.engine.law.ASKED``.
    """

    figures = models.JSONField(default=dict, blank=True)

    class Meta:
        verbose_name_plural = "shop law"

    def __str__(self) -> str:
        return "The law that this shop goes by"

    @classmethod
    def load(cls) -> ShopLaw:
        """The row, or an unsaved empty one."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)

    def law(self) -> dict[str, Figure]:
        """The figures as the engine takes them."""
        return {
            key: Figure(float(one["value"]), str(one["source"]))
            for key, one in self.figures.items()
        }

"""How an order's wheels are held and centred, and the law that the shop follows."""

from __future__ import annotations

from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from common.verdicts import Outcome
from fitment.engine.mounting.law import Figure
from fitment.engine.mounting.rule import Result, result_load
from fitment.models.schemas import MOUNTING_INPUTS, MOUNTING_RESULTS
from shop.models.axles import AXLE_CHOICES
from shop.models.mounting import NutForm, Seat
from shop.models.stored import StoredJSONField
from shop.models.versioned import Versioned
from shop.models.words import one_of, word_choices

POSITIVE = [MinValueValidator(0)]


class OrderMounting(models.Model):
    """Rings, nuts, bolts or studs that an order fits on one axle; empty: the car's own (mm)."""

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="order_mountings"
    )
    axle = models.CharField(_("axle"), max_length=5, choices=AXLE_CHOICES)
    ring_outer_mm = models.FloatField(
        _("ring outside, mm"), null=True, blank=True, validators=POSITIVE
    )
    ring_inner_mm = models.FloatField(
        _("ring inside, mm"), null=True, blank=True, validators=POSITIVE
    )
    seat = models.CharField(
        _("seat of nuts or bolts"), max_length=8, choices=Seat.choices, blank=True
    )
    thread = models.CharField(max_length=20, blank=True)
    length_mm = models.FloatField(
        _("length of stud or bolt, mm"), null=True, blank=True, validators=POSITIVE
    )
    nut_form = models.CharField(
        _("form of the nuts"), max_length=6, choices=NutForm.choices, blank=True
    )
    nut_depth_mm = models.FloatField(
        _("depth of a closed nut, mm"), null=True, blank=True, validators=POSITIVE
    )

    #: What holds and centres the wheel, by field.
    HELD_BY: ClassVar = (
        "ring_outer_mm",
        "ring_inner_mm",
        "seat",
        "thread",
        "length_mm",
        "nut_form",
        "nut_depth_mm",
    )

    class Meta:
        ordering: ClassVar = ["order", "axle"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "axle"], name="one_mounting_per_axle")
        ]

    def __str__(self) -> str:
        return f"{self.order}, {self.axle}"


class MountingCheck(models.Model):
    """The mounting checks of one order as they came out once, kept whole.

    ``inputs`` holds what they used (hub, what the car asks, what is fitted, the law's figures
    with their sources and its revision), ``results`` the answers with rule and source. ``digest``
    stands for inputs and rules: where the order's differs by now, the answers are stale.
    """

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="mounting_checks"
    )
    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(
        "shop.User", on_delete=models.PROTECT, null=True, related_name="mounting_checks"
    )
    inputs = StoredJSONField(schema=MOUNTING_INPUTS)
    results = StoredJSONField(schema=MOUNTING_RESULTS)
    digest = models.CharField(max_length=64, db_index=True)
    outcome = models.CharField(max_length=12, choices=word_choices(Outcome))

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        constraints: ClassVar = [one_of("outcome", Outcome, "mounting_with_a_known_outcome")]

    def __str__(self) -> str:
        return f"{self.order}: mounting {self.outcome}"

    def get_absolute_url(self) -> str:
        return reverse("mounting_check", args=[self.pk])

    @property
    def answers(self) -> tuple[Result, ...]:
        """The results as the engine gave them."""
        return tuple(result_load(one) for one in self.results)


class ShopLaw(Versioned):
    """The one row of rules that this shop follows; fetch it with :meth:`load`.

    ``figures`` holds ``{key: {"value": …, "source": …}}`` by the keys of
    ``fitment.engine.mounting.law.FIGURES_ASKED``. ``revision`` counts its changes.
    """

    figures = models.JSONField(default=dict, blank=True)
    revision = models.PositiveIntegerField(_("revision"), default=0)
    changed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = _("shop law")

    def __str__(self) -> str:
        return "The law that this shop goes by"

    @classmethod
    def load(cls) -> ShopLaw:
        """The row, or an unsaved empty one."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)

    @classmethod
    def load_to_change(cls) -> ShopLaw:
        """The row, made if there is none, and locked until the transaction ends."""
        cls.objects.get_or_create(pk=1)
        return cls.objects.select_for_update().get(pk=1)

    def law(self) -> dict[str, Figure]:
        """The figures as the engine takes them."""
        return {
            key: Figure(float(one["value"]), str(one["source"]))
            for key, one in self.figures.items()
        }

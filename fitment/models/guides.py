"""Fitment tables: what a maker publishes about one car model, and orders that relied on it."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from common.numerals import short
from fitment.engine.mounting.guide import AdjusterAsked, Row
from shop.models.axles import AXLE_CHOICES
from shop.models.versioned import Versioned


class GuideQuerySet(models.QuerySet["Guide"]):
    def current(self) -> GuideQuerySet:
        """Those that no newer revision replaces."""
        return self.filter(replaced_by__isnull=True)


class Guide(Versioned):
    """One revision of one fitment table for one car model. A newer one ``replaces`` it."""

    car_model = models.ForeignKey(
        "shop.CarModel",
        verbose_name=_("car model"),
        on_delete=models.CASCADE,
        related_name="guides",
    )
    title = models.CharField(_("title"), max_length=120)
    maker = models.CharField(
        _("published by"), max_length=80, help_text=_("Who stands behind the table")
    )
    source = models.CharField(
        _("source"), max_length=200, help_text=_("Where it was read: document, page, link")
    )
    revision = models.CharField(_("revision"), max_length=40)
    dated = models.DateField(_("of"))
    notes = models.TextField(_("notes"), blank=True)
    replaces = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = GuideQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["car_model__name", "maker", "title", "-dated", "-pk"]

    def __str__(self) -> str:
        return f"{self.maker}, {self.title}, revision {self.revision}"

    def get_absolute_url(self) -> str:
        return reverse("guide", args=[self.pk])

    @property
    def newer(self) -> Guide | None:
        """The revision that replaces this one, if there is one."""
        return getattr(self, "replaced_by", None)


class GuideRow(Versioned):
    """One row of a table: conditions on one axle; empty asks nothing (mm, inches, degrees)."""

    guide = models.ForeignKey(Guide, on_delete=models.CASCADE, related_name="rows")
    axle = models.CharField(_("axle"), max_length=5, choices=AXLE_CHOICES)
    wheel_width_in = models.FloatField(_("wheel width, in"), null=True, blank=True)
    wheel_diameter_in = models.FloatField(_("wheel diameter, in"), null=True, blank=True)
    offset_min_mm = models.FloatField(_("offset from, mm"), null=True, blank=True)
    offset_max_mm = models.FloatField(_("offset to, mm"), null=True, blank=True)
    tyre_size = models.CharField(_("tyre size"), max_length=24, blank=True)
    spacer_max_mm = models.FloatField(_("spacer at most, mm"), null=True, blank=True)
    camber_deg = models.FloatField(
        _("camber at least as negative as, °"),
        null=True,
        blank=True,
        help_text=_("For example −2.4"),
    )
    camber_by = models.CharField(
        _("camber set with"),
        max_length=60,
        blank=True,
        help_text=_("Empty where the table names none"),
    )
    height_min_mm = models.FloatField(
        _("no lower than, mm"),
        null=True,
        blank=True,
        help_text=_("Against the original, lower negative"),
    )
    adjuster = models.CharField(_("adjuster"), max_length=40, blank=True)
    adjuster_min = models.FloatField(_("stands from"), null=True, blank=True)
    adjuster_max = models.FloatField(_("stands to"), null=True, blank=True)
    parts = models.CharField(
        _("required parts"),
        max_length=200,
        blank=True,
        help_text=_("Part numbers, with commas between them"),
    )
    note = models.CharField(_("in words"), max_length=300, blank=True)
    position = models.PositiveIntegerField(default=0)

    class Meta:
        ordering: ClassVar = ["position", "pk"]

    def __str__(self) -> str:
        return self.words

    @property
    def words(self) -> str:
        """The row by its sizes."""
        said = [self.get_axle_display()]
        if self.wheel_width_in is not None and self.wheel_diameter_in is not None:
            said.append(f"{short(self.wheel_width_in)}×{short(self.wheel_diameter_in)}")
        if self.tyre_size:
            said.append(self.tyre_size)
        return ", ".join(said)

    @property
    def part_numbers(self) -> tuple[str, ...]:
        return tuple(word.strip() for word in self.parts.split(",") if word.strip())

    def as_row(self) -> Row:
        """This row as the engine takes it."""
        asked = None
        if self.adjuster:
            asked = AdjusterAsked(self.adjuster, self.adjuster_min, self.adjuster_max)
        return Row(
            axle=self.axle,
            wheel_diameter_in=self.wheel_diameter_in,
            wheel_width_in=self.wheel_width_in,
            offset_min_mm=self.offset_min_mm,
            offset_max_mm=self.offset_max_mm,
            tyre_size=self.tyre_size,
            spacer_max_mm=self.spacer_max_mm,
            camber_deg=self.camber_deg,
            camber_by=self.camber_by,
            height_min_mm=self.height_min_mm,
            adjuster=asked,
            parts=self.part_numbers,
            note=self.note,
        )


class GuideReliance(models.Model):
    """An order that relied on a row of a table, by whom and when."""

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="guide_reliances"
    )
    row = models.ForeignKey(GuideRow, on_delete=models.PROTECT, related_name="reliances")
    by = models.ForeignKey("shop.User", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "row"], name="relied_once_on_a_row")
        ]

    def __str__(self) -> str:
        return f"{self.order}: {self.row}"

"""What is known of a wheel or tyre beside its shape: mounting, stock, and the shop's measuring."""

from __future__ import annotations

from typing import Any

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from fitment.engine.solid.pooled_tyres import SAME_RIM_IN
from shop.models.mounting import Seat


class Typed(models.Model):
    """A wheel or tyre that was typed for one order stands in no list of the catalogue.

    ``objects`` are the rows of the catalogue, ``every`` all; relations find every row.
    """

    typed_for = models.ForeignKey(
        "shop.WorkOrder",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )

    class Meta:
        abstract = True


class Stocked(Typed):
    """Pieces on the shelf; empty where they are not counted."""

    stock = models.PositiveIntegerField(_("in stock"), null=True, blank=True)

    class Meta:
        abstract = True


class MeasuredWheel(Stocked):
    """How a wheel is held, and what the shop's own measurements come to.

    ``pad_mm`` lies between its mounting face and the nut seat. ``pooled`` is written by
    ``fitment.catalogue.wheel_pools`` alone. Its ``wheel`` holds the keys of a check file's
    wheel that measurements replace, ``pad_mm`` the thickness at the bolts, and ``shown`` mean,
    uncertainty, spread and count by measure.
    """

    seat = models.CharField(
        _("seat of nuts or bolts"), max_length=8, choices=Seat.choices, blank=True
    )
    pad_mm = models.FloatField(
        _("thickness at the bolts, mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
        help_text=_("From the mounting face to the seat of the nuts."),
    )
    pooled = models.JSONField(default=dict, blank=True, editable=False)

    class Meta:
        abstract = True

    @property
    def measured_document(self) -> dict[str, Any]:
        """Keys of a check file's wheel that this shop's measurements replace."""
        return dict(self.pooled.get("wheel", {}))

    @property
    def known_pad_mm(self) -> float | None:
        """Thickness at the bolts: measured, else as recorded."""
        pad: float | None = self.pooled.get("pad_mm", self.pad_mm)
        return pad


class MeasuredTyre(Stocked):
    """Approved rims, and what the shop's own measurements come to.

    ``pooled`` is written by ``fitment.catalogue.tyre_pools`` alone. Its ``tyre`` holds the keys
    of a check file's tyre that measurements replace; ``profile`` and ``profile_rim_in`` a traced
    section; ``width`` and ``diameter`` mean, uncertainty, spread and count.
    """

    rim_min_in = models.FloatField(
        _("narrowest approved rim, in"),
        null=True,
        blank=True,
        validators=[MinValueValidator(3)],
        help_text=_("By the tyre's maker."),
    )
    rim_max_in = models.FloatField(
        _("widest approved rim, in"), null=True, blank=True, validators=[MinValueValidator(3)]
    )
    pooled = models.JSONField(default=dict, blank=True, editable=False)

    class Meta:
        abstract = True

    def measured_document(self, rim_in: float | None) -> dict[str, Any]:
        """Keys of a check file's tyre that this shop's measurements replace.

        A traced section is for the rim that it was traced on: ``rim_in`` tells on which wheel the
        tyre goes, None for one that is not known.
        """
        document: dict[str, Any] = dict(self.pooled.get("tyre", {}))
        traced_on = self.pooled.get("profile_rim_in")
        if traced_on is not None and rim_in is not None and abs(rim_in - traced_on) < SAME_RIM_IN:
            document["profile"] = self.pooled["profile"]
        return document

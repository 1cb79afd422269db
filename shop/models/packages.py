"""What a shop charges for a piece of planned work: parts and hours under one name."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.orders import LineKind, LineWork
from shop.models.vehicles import Part
from shop.models.versioned import Versioned


class Planned(models.TextChoices):
    """Kinds of planned things that a package is for."""

    WHEEL = "wheel", _("Wheels")
    TYRE = "tyre", _("Tyres")
    SPACER = "spacer", _("Wheel spacers")
    RING = "ring", _("Centring rings")
    NUT = "nut", _("Wheel nuts or bolts")
    PACKER = "packer", _("Packers")
    MOUNTING = "mounting", _("Mounting wheels and tyres")
    LIPS = "lips", _("Arch lips rolled")
    ALIGNMENT = "alignment", _("Alignment set")


class Package(Versioned):
    """Lines that go together, such as packers on both sides: the part and the hours.

    One press on an order whose plan has something of the kind ``planned`` adds the lines, once an
    axle. A package for nothing planned is chosen by hand.
    """

    name = models.CharField(_("name"), max_length=120, unique=True)
    planned = models.CharField(
        _("for what is planned"),
        max_length=10,
        choices=Planned.choices,
        blank=True,
        help_text=_("Empty: chosen by hand only."),
    )
    in_use = models.BooleanField(_("in use"), default=True)

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name


class PackageLine(models.Model):
    """A line of a package: a part, or hours at the shop's rate."""

    package = models.ForeignKey(Package, on_delete=models.CASCADE, related_name="lines")
    kind = models.CharField(
        _("kind"), max_length=6, choices=LineKind.choices, default=LineKind.LABOUR
    )
    part = models.ForeignKey(
        Part,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("part"),
    )
    description = models.CharField(_("description"), max_length=200, blank=True)
    work = models.CharField(
        _("work that asks for care"), max_length=8, choices=LineWork.choices, blank=True
    )
    quantity = models.DecimalField(
        _("quantity"),
        max_digits=8,
        decimal_places=2,
        default=Decimal(1),
        validators=[MinValueValidator(0)],
    )
    position = models.PositiveIntegerField(default=0)

    class Meta:
        ordering: ClassVar = ["position", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(quantity__gte=0), name="package_line_never_negative"
            )
        ]

    def __str__(self) -> str:
        return self.description or str(self.part)

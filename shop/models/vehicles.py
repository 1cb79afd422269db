"""Vehicles, their car models, and parts."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from shop.models.axles import PartAxle
from shop.models.merged import Merged, MergedQuerySet
from shop.models.mounting import MountingNeeds
from shop.models.people import Customer
from shop.models.searching import Searched, SearchedQuerySet
from shop.models.texts import Translated
from shop.models.versioned import Versioned
from shop.values.search_keys import KeyKind
from shop.values.vin import vin_warning


class CarModelQuerySet(SearchedQuerySet["CarModel"]):
    pass


class CarModel(Searched, Versioned, MountingNeeds):
    """One body with one suspension.

    What is measured on one car of the model serves every other.
    Lengths in millimetres, torque in newton metres.
    """

    searched_texts: ClassVar = {
        "name": KeyKind.WORDS,
        "notes": KeyKind.WORDS,
        "oe_tyre_front": KeyKind.SIZE,
        "oe_tyre_rear": KeyKind.SIZE,
    }

    name = models.CharField(_("name"), max_length=120, unique=True)
    notes = models.TextField(_("notes"), blank=True)
    bolt_count = models.PositiveSmallIntegerField(_("wheel bolts"), null=True, blank=True)
    bolt_circle_mm = models.DecimalField(
        _("bolt circle, mm"), max_digits=6, decimal_places=2, null=True, blank=True
    )
    centre_bore_mm = models.DecimalField(
        _("centre bore, mm"), max_digits=6, decimal_places=2, null=True, blank=True
    )
    thread = models.CharField(
        _("thread"), max_length=20, blank=True, help_text=_("For example M12×1.5")
    )
    wheel_nut_torque_nm = models.DecimalField(
        _("wheel nut torque, N·m"),
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    wheel_nut_torque_max_nm = models.DecimalField(
        _("wheel nut torque up to, N·m"),
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    oe_tyre_front = models.CharField(_("original tyre, front"), max_length=40, blank=True)
    oe_tyre_rear = models.CharField(_("original tyre, rear"), max_length=40, blank=True)
    steered_notes = models.CharField(
        _("steered wheels"),
        max_length=120,
        blank=True,
        help_text=_("For example: front only"),
    )
    driven_notes = models.CharField(
        _("driven wheels"), max_length=120, blank=True, help_text=_("For example: rear only")
    )
    has_assistance_sensors = models.BooleanField(
        _("has a steering-angle sensor or driver-assistance sensors"), default=False
    )

    objects = CarModelQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("car_model", args=[self.pk])


class Market(models.TextChoices):
    NORTH_AMERICA = "NA", _("North America")
    OTHER = "other", _("Elsewhere")


class VehicleQuerySet(MergedQuerySet["Vehicle"]):
    searched_beside = ("customer", "car_model")


class Vehicle(Merged, Searched, Versioned):
    searched_texts: ClassVar = {
        "description": KeyKind.WORDS,
        "plate": KeyKind.PLATE,
        "vin": KeyKind.WHOLE,
    }

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="vehicles")
    car_model = models.ForeignKey(
        CarModel,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="vehicles",
        verbose_name=_("car model"),
    )
    description = models.CharField(
        _("description"), max_length=160, help_text=_("Year, make, model, body")
    )
    vin = models.CharField(_("VIN"), max_length=20, blank=True)
    plate = models.CharField(_("plate"), max_length=20, blank=True)
    mileage_km = models.PositiveIntegerField(_("mileage, km"), null=True, blank=True)
    market = models.CharField(
        _("market"), max_length=8, choices=Market.choices, default=Market.OTHER
    )

    objects = VehicleQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["customer__name", "description", "pk"]

    def __str__(self) -> str:
        return f"{self.description} ({self.plate})" if self.plate else self.description

    def get_absolute_url(self) -> str:
        return reverse("vehicle", args=[self.pk])

    @property
    def vin_warning(self) -> str:
        """What is odd about the VIN, in a sentence; empty when nothing is."""
        return vin_warning(self.vin, market=self.market)


class PartKind(models.TextChoices):
    TOP_MOUNT = "top mount", _("Camber top mount")
    SHIM = "shim", _("Shim or eccentric")
    ARM = "arm", _("Arm")
    TOE_LINK = "toe link", _("Toe link")
    COILOVER = "coilover", _("Coilover")
    DAMPER = "damper", _("Damper")
    SPRING = "spring", _("Spring or packer")
    SPACER = "spacer", _("Wheel spacer")
    WHEEL = "wheel", _("Wheel")
    TYRE = "tyre", _("Tyre")
    BRAKE = "brake", _("Brake")
    OTHER = "other", _("Other")


#: Kinds of parts whose stops end the wheel's travel.
DAMPERS = (PartKind.COILOVER, PartKind.DAMPER)


#: What a part can adjust, by the name that its corner's survey has for it; first, nothing.
ADJUSTERS = (
    ("", _("nothing")),
    ("top_mount_in_mm", _("Top mount inboard, mm")),
    ("top_mount_back_mm", _("Top mount rearward, mm")),
    ("lower_arm_out_mm", _("Lower arm outboard, mm")),
    ("upper_arm_in_mm", _("Upper arm inboard, mm")),
    ("knuckle_camber_deg", _("Camber at the knuckle, °")),
    ("toe_link_mm", _("Toe link longer, mm")),
    ("ride_height_mm", _("Ride height higher, mm")),
    ("bump_stop_mm", _("Packer or bump stop, mm")),
)


class HeightBy(models.TextChoices):
    """What moves when a damper sets the ride height."""

    SEAT = "seat", _("the spring seat (the stops stay)")
    BODY = "body", _("the damper body (the stops move too)")


class PartQuerySet(SearchedQuerySet["Part"]):
    pass


class Part(Searched, Versioned, Translated):
    """A part that can be sold and fitted.

    ``adjuster`` names what the part can set (millimetres, or degrees at the knuckle) and
    ``reach_min``..``reach_max`` how far, counted from where the car was surveyed. ``step``,
    ``mark_size``, ``shim_mm`` and the thread say in which units a hand moves it. A damper's
    ``bump_mm`` and ``droop_mm`` are the wheel's travel to its stops from the height of the survey.
    """

    searched_texts: ClassVar = {
        "number": KeyKind.WHOLE,
        "name": KeyKind.WORDS,
        "maker": KeyKind.WORDS,
    }

    number = models.CharField(_("part number"), max_length=40, unique=True)
    name = models.CharField(_("name"), max_length=120)
    maker = models.CharField(_("maker"), max_length=80, blank=True)
    kind = models.CharField(
        _("kind"), max_length=12, choices=PartKind.choices, default=PartKind.OTHER
    )
    price = models.DecimalField(
        _("price"),
        max_digits=9,
        decimal_places=2,
        default=Decimal("0.00"),
        validators=[MinValueValidator(0)],
    )
    axle = models.CharField(_("axle"), max_length=5, choices=PartAxle.choices, default=PartAxle.ANY)
    adjuster = models.CharField(_("adjuster"), max_length=40, blank=True)
    reach_min = models.FloatField(_("range from"), null=True, blank=True)
    reach_max = models.FloatField(_("range to"), null=True, blank=True)
    step = models.FloatField(
        _("adjusts in steps of"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.001)],
        help_text=_("In mm, or ° at the knuckle; empty if stepless"),
    )
    mark_size = models.FloatField(
        _("one mark is"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.001)],
        help_text=_("In mm, or ° at the knuckle, if it has marks"),
    )
    shim_mm = models.FloatField(
        _("one shim is, mm"), null=True, blank=True, validators=[MinValueValidator(0.01)]
    )
    thread_pitch_mm = models.FloatField(
        _("thread pitch, mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.1)],
        help_text=_("For threaded adjusters, for example 1.5"),
    )
    threads = models.PositiveSmallIntegerField(
        _("threads"),
        choices=[(1, _("one thread")), (2, _("two threads, left and right hand"))],
        null=True,
        blank=True,
        help_text=_("Two threads adjust twice as far per turn"),
    )
    bump_mm = models.FloatField(
        _("bump travel of the wheel, mm"), null=True, blank=True, validators=[MinValueValidator(0)]
    )
    droop_mm = models.FloatField(
        _("droop travel of the wheel, mm"), null=True, blank=True, validators=[MinValueValidator(0)]
    )
    height_by = models.CharField(
        _("height is set by moving"), max_length=4, choices=HeightBy.choices, blank=True
    )
    torque_nm = models.DecimalField(
        _("torque, N·m"),
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    torque_max_nm = models.DecimalField(
        _("torque up to, N·m"),
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    caution = models.TextField(_("caution"), blank=True)
    moves_wheel = models.BooleanField(
        _("moves the wheel, the ride height or the alignment"), default=False
    )
    supplier = models.ForeignKey(
        "shop.Supplier",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="parts",
        verbose_name=_("supplier"),
    )
    lead = models.CharField(
        _("delivery"),
        max_length=80,
        blank=True,
        help_text=_("For example: four working days"),
    )

    objects = PartQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name", "number"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(reach_min__isnull=True)
                | models.Q(reach_max__isnull=True)
                | models.Q(reach_min__lte=models.F("reach_max")),
                name="part_reach_in_order",
            )
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.number})"

    def get_absolute_url(self) -> str:
        return reverse("part_edit", args=[self.pk])

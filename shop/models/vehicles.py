"""Vehicles, the patterns that they are built to, and the parts that go on them."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse

from shop.models.mounting import MountingNeeds
from shop.models.people import Customer
from shop.people.vin import vin_warning

if TYPE_CHECKING:
    from shop.models.people import User


class CarModelQuerySet(models.QuerySet["CarModel"]):
    def visible_to(self, user: User) -> CarModelQuerySet:
        return self.all() if user.is_authenticated else self.none()

    def search(self, words: str) -> CarModelQuerySet:
        found = self
        for word in words.split():
            found = found.filter(models.Q(name__icontains=word) | models.Q(notes__icontains=word))
        return found


class CarModel(MountingNeeds):
    """One body with one suspension, whoever built it.

    What is measured on one car of a pattern serves every other car of it.
    Lengths in millimetres, torque in newton metres.
    """

    name = models.CharField(max_length=120, unique=True)
    notes = models.TextField(blank=True)
    bolt_count = models.PositiveSmallIntegerField("wheel bolts", null=True, blank=True)
    bolt_circle_mm = models.DecimalField(
        "bolt circle, mm", max_digits=6, decimal_places=2, null=True, blank=True
    )
    centre_bore_mm = models.DecimalField(
        "centre bore, mm", max_digits=6, decimal_places=2, null=True, blank=True
    )
    thread = models.CharField(max_length=20, blank=True, help_text="For example M12×1.5")
    wheel_nut_torque_nm = models.DecimalField(
        "wheel nut torque, N·m",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    oe_tyre_front = models.CharField("original tyre, front", max_length=40, blank=True)
    oe_tyre_rear = models.CharField("original tyre, rear", max_length=40, blank=True)
    steered_notes = models.CharField(
        "steered wheels",
        max_length=120,
        blank=True,
        help_text="For example: front only",
    )
    driven_notes = models.CharField(
        "driven wheels", max_length=120, blank=True, help_text="For example: rear only"
    )
    has_assistance_sensors = models.BooleanField(
        "has a steering-angle sensor or driver-assistance sensors", default=False
    )

    objects = CarModelQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("car_model", args=[self.pk])


class Market(models.TextChoices):
    NORTH_AMERICA = "NA", "North America"
    OTHER = "other", "Elsewhere"


class VehicleQuerySet(models.QuerySet["Vehicle"]):
    def visible_to(self, user: User) -> VehicleQuerySet:
        return self.all() if user.is_authenticated else self.none()

    def search(self, words: str) -> VehicleQuerySet:
        found = self
        for word in words.split():
            found = found.filter(
                models.Q(description__icontains=word)
                | models.Q(plate__icontains=word)
                | models.Q(vin__icontains=word)
                | models.Q(customer__name__icontains=word)
            )
        return found


class Vehicle(models.Model):
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="vehicles")
    car_model = models.ForeignKey(
        CarModel,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="vehicles",
    )
    description = models.CharField(max_length=160, help_text="Year, body, how it is known")
    vin = models.CharField("VIN", max_length=20, blank=True)
    plate = models.CharField(max_length=20, blank=True)
    mileage_km = models.PositiveIntegerField("mileage, km", null=True, blank=True)
    market = models.CharField(max_length=8, choices=Market.choices, default=Market.OTHER)

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


class Axle(models.TextChoices):
    FRONT = "front", "Front"
    REAR = "rear", "Rear"
    ANY = "any", "Either"


class PartKind(models.TextChoices):
    TOP_MOUNT = "top mount", "Camber top mount"
    SHIM = "shim", "Shim or eccentric"
    ARM = "arm", "Arm"
    TOE_LINK = "toe link", "Toe link"
    COILOVER = "coilover", "Coilover"
    DAMPER = "damper", "Damper"
    SPRING = "spring", "Spring or packer"
    SPACER = "spacer", "Wheel spacer"
    WHEEL = "wheel", "Wheel"
    TYRE = "tyre", "Tyre"
    BRAKE = "brake", "Brake"
    OTHER = "other", "Other"


#: Kinds of parts whose stops end the wheel's travel.
DAMPERS = (PartKind.COILOVER, PartKind.DAMPER)


class HeightBy(models.TextChoices):
    """What moves when a damper sets the ride height."""

    SEAT = "seat", "its spring seat: the stops stay where they are"
    BODY = "body", "its body: the stops go along"


class PartQuerySet(models.QuerySet["Part"]):
    def visible_to(self, user: User) -> PartQuerySet:
        return self.all() if user.is_authenticated else self.none()

    def search(self, words: str) -> PartQuerySet:
        found = self
        for word in words.split():
            found = found.filter(
                models.Q(number__icontains=word)
                | models.Q(name__icontains=word)
                | models.Q(maker__icontains=word)
            )
        return found


class Part(models.Model):
    """A part that can be sold and fitted.

    ``adjuster`` names what the part can set (millimetres, or degrees at the knuckle) and
    ``reach_min``..``reach_max`` how far, counted from where the car was surveyed. ``step``,
    ``mark_size``, ``shim_mm`` and the thread say in which units a hand moves it. A damper's
    ``bump_mm`` and ``droop_mm`` are the wheel's travel to its stops from the height of the survey.
    """

    number = models.CharField("part number", max_length=40, unique=True)
    name = models.CharField(max_length=120)
    maker = models.CharField(max_length=80, blank=True)
    kind = models.CharField(max_length=12, choices=PartKind.choices, default=PartKind.OTHER)
    price = models.DecimalField(
        max_digits=9,
        decimal_places=2,
        default=Decimal("0.00"),
        validators=[MinValueValidator(0)],
    )
    axle = models.CharField(max_length=5, choices=Axle.choices, default=Axle.ANY)
    adjuster = models.CharField(max_length=40, blank=True)
    reach_min = models.FloatField("reach from", null=True, blank=True)
    reach_max = models.FloatField("reach to", null=True, blank=True)
    step = models.FloatField(
        "moves in steps of",
        null=True,
        blank=True,
        validators=[MinValueValidator(0.001)],
        help_text="In mm (° at the knuckle); empty where it can stand anywhere",
    )
    mark_size = models.FloatField(
        "one mark is",
        null=True,
        blank=True,
        validators=[MinValueValidator(0.001)],
        help_text="In mm (° at the knuckle), where marks are stamped on it",
    )
    shim_mm = models.FloatField(
        "one shim is, mm", null=True, blank=True, validators=[MinValueValidator(0.01)]
    )
    thread_pitch_mm = models.FloatField(
        "pitch of its thread, mm",
        null=True,
        blank=True,
        validators=[MinValueValidator(0.1)],
        help_text="For what is turned, for example 1.5",
    )
    threads = models.PositiveSmallIntegerField(
        "turns on",
        choices=[(1, "one thread"), (2, "two threads, left and right hand")],
        null=True,
        blank=True,
        help_text="Two threads move twice as far in a turn",
    )
    bump_mm = models.FloatField(
        "bump travel of the wheel, mm", null=True, blank=True, validators=[MinValueValidator(0)]
    )
    droop_mm = models.FloatField(
        "droop travel of the wheel, mm", null=True, blank=True, validators=[MinValueValidator(0)]
    )
    height_by = models.CharField(
        "height is set by", max_length=4, choices=HeightBy.choices, blank=True
    )
    torque_nm = models.DecimalField(
        "torque, N·m",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    caution = models.TextField(blank=True)
    moves_wheel = models.BooleanField(
        "moves the wheel, the ride height or the alignment", default=False
    )
    lead = models.CharField(
        "delivery",
        max_length=80,
        blank=True,
        help_text="For example: four working days",
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

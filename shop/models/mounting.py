"""What a car model requires of its wheels and tyres."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

LOAD_INDEX = [MinValueValidator(60), MaxValueValidator(120)]
POSITIVE = [MinValueValidator(0)]


class Driven(models.TextChoices):
    FRONT = "front", _("front wheels")
    REAR = "rear", _("rear wheels")
    BOTH = "both", _("all four, coupled")


class Fastener(models.TextChoices):
    STUD = "stud", _("studs and nuts")
    BOLT = "bolt", _("bolts")


class Seat(models.TextChoices):
    """Seats of nuts and bolts, and of the wheels made for them."""

    CONE_60 = "cone60", _("60° cone")
    CONE_90 = "cone90", _("90° cone")
    BALL_12 = "ball12", _("ball, 12 mm radius")
    BALL_13 = "ball13", _("ball, 13 mm radius")
    BALL_14 = "ball14", _("ball, 14 mm radius")
    FLAT = "flat", _("flat with a washer")
    SHANK = "shank", _("shank with a washer")


class NutForm(models.TextChoices):
    OPEN = "open", _("open")
    CLOSED = "closed", _("closed at the end")


class MountingNeeds(models.Model):
    """Requirements of the car's papers and dimensions of its hubs (mm, kg, km/h).

    Loads are those of a whole axle. ``fastener_length_mm`` is what stands out of the hub face of
    a stud, or the shank of a bolt under its seat.
    """

    wheel_seat = models.CharField(
        _("seat of nuts or bolts"), max_length=8, choices=Seat.choices, blank=True
    )
    fastener = models.CharField(
        _("wheels are held by"), max_length=4, choices=Fastener.choices, blank=True
    )
    fastener_length_mm = models.FloatField(
        _("length of stud or bolt, mm"),
        null=True,
        blank=True,
        validators=POSITIVE,
        help_text=_("Stud: length beyond the hub face. Bolt: shank length below the seat."),
    )
    thread_depth_mm = models.FloatField(
        _("free depth behind the hub face, mm"),
        null=True,
        blank=True,
        validators=POSITIVE,
        help_text=_("Bolts: how far one may reach before it meets the brake or the hub's end."),
    )
    nut_form = models.CharField(
        _("wheel nuts are"), max_length=6, choices=NutForm.choices, blank=True
    )
    nut_depth_mm = models.FloatField(
        _("depth of a closed nut, mm"),
        null=True,
        blank=True,
        validators=POSITIVE,
        help_text=_("From the seat to the inside end."),
    )
    load_index_front = models.PositiveSmallIntegerField(
        _("load index, front"), null=True, blank=True, validators=LOAD_INDEX
    )
    load_index_rear = models.PositiveSmallIntegerField(
        _("load index, rear"), null=True, blank=True, validators=LOAD_INDEX
    )
    speed_symbol = models.CharField(_("speed symbol"), max_length=4, blank=True)
    axle_load_front_kg = models.FloatField(
        _("permitted axle load, front, kg"), null=True, blank=True, validators=POSITIVE
    )
    axle_load_rear_kg = models.FloatField(
        _("permitted axle load, rear, kg"), null=True, blank=True, validators=POSITIVE
    )
    top_speed_kmh = models.FloatField(
        _("top speed, km/h"), null=True, blank=True, validators=POSITIVE
    )
    oe_offset_front_mm = models.FloatField(_("original offset, front, mm"), null=True, blank=True)
    oe_offset_rear_mm = models.FloatField(_("original offset, rear, mm"), null=True, blank=True)
    driven = models.CharField(_("driven"), max_length=5, choices=Driven.choices, blank=True)
    drive_apart_percent = models.FloatField(
        _("coupled tyres, largest difference, %"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0.1), MaxValueValidator(10)],
        help_text=_(
            "Difference of rolling circumference that the vehicle's maker allows. If "
            "empty, the shop's front-to-rear rule applies."
        ),
    )
    drive_apart_source = models.CharField(
        _("source of the difference"),
        max_length=120,
        blank=True,
        help_text=_("For example: owner's manual, page 210"),
    )

    class Meta:
        abstract = True

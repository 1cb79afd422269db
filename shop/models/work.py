"""What was done on the lift and on the road, and what came back."""

from __future__ import annotations

import secrets
from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.axles import Corner, Position
from shop.models.orders import Line, WorkOrder
from shop.models.people import User
from shop.models.vehicles import Part


class InstalledPart(models.Model):
    """A part that went on the car, and what came off for it."""

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="installed")
    line = models.ForeignKey(
        Line,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="installed",
        verbose_name=_("part of this order"),
    )
    part = models.ForeignKey(
        Part, on_delete=models.PROTECT, null=True, blank=True, related_name="installed"
    )
    description = models.CharField(_("description"), max_length=200)
    corner_or_axle = models.CharField(
        _("where"), max_length=5, choices=Position.choices, default=Position.FRONT
    )
    serial = models.CharField(_("serial number"), max_length=80, blank=True)
    removed = models.CharField(_("removed part"), max_length=200, blank=True)
    removed_to = models.CharField(_("where the removed part went"), max_length=120, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["at", "pk"]

    def __str__(self) -> str:
        return self.description

    def description_in(self, language: str) -> str:
        """What was fitted, in a language: as its line says it, or the name of the part."""
        if self.line and self.description == self.line.description:
            return self.line.description_in(language)
        if self.part and self.description == self.part.name:
            return self.part.text_in(language, "name")
        return self.description


class NotFitted(models.Model):
    """Why a part of the order is not fitted, or a wheel stayed on: it ends what would be due.

    Either ``line`` names the part, or ``due`` what it would have been signed for.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="not_fitted")
    line = models.ForeignKey(
        Line, on_delete=models.CASCADE, null=True, blank=True, related_name="not_fitted"
    )
    due = models.CharField(max_length=60, blank=True)
    what = models.CharField(max_length=200)
    because = models.CharField(max_length=200)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=~models.Q(because=""), name="not_fitted_with_a_reason"
            ),
            models.CheckConstraint(
                condition=models.Q(line__isnull=False, due="")
                | (models.Q(line__isnull=True) & ~models.Q(due="")),
                name="not_fitted_is_a_line_or_a_due",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.what}: {self.because}"


class TorqueSign(models.Model):
    """A signature that a fastener was tightened to a figure (N·m), and with which tool.

    ``due`` is the key of what it is signed for (``shop.orders.services.torques``) and
    ``position`` its place on the car; both are empty for a fastener that was not on the list.
    ``due_nm`` is what was asked. A signature stops counting when the work is taken up again:
    ``reopened_at`` says when and ``reopened_because`` why.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="torques")
    what = models.CharField(max_length=200)
    torque_nm = models.DecimalField(
        _("torque, N·m"), max_digits=6, decimal_places=1, validators=[MinValueValidator(0)]
    )
    due = models.CharField(max_length=60, blank=True)
    position = models.CharField(max_length=5, choices=Position.choices, blank=True)
    due_nm = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    tool = models.CharField(max_length=80)
    reopened_at = models.DateTimeField(null=True, blank=True)
    reopened_because = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.what}, {self.torque_nm} N·m"


class Tried(models.TextChoices):
    NOT_DONE = "not_done", _("Not done")
    QUIET = "quiet", _("No contact")
    TOUCHED = "touched", _("Contact")


class Wrong(models.TextChoices):
    """What a road test and a prediction differ by, as whoever drove it judges."""

    SURVEY = "survey", _("The survey of the corner")
    TYRE = "tyre", _("The tyre or the wheel: other than checked, or wider than entered")
    SETTING = "setting", _("Ride height or alignment: other than planned")
    CAR = "car", _("This car: bent, repaired or rolled there")
    PREDICTION = "prediction", _("The prediction, although all that it was made from is right")
    ROAD_TEST = "road_test", _("The road test did not reach that moment")
    UNKNOWN = "unknown", _("Not known yet: to be looked into")


class RoadTest(models.Model):
    """One road test; contact has its spot among the ``marks``.

    ``touched_spots`` counts those; None on tests from before they were asked for.
    ``contradiction`` is what the test says against the clearance check, ``wrong`` what the
    technician makes of it.
    """

    #: The fields that say what was tried.
    TRIED: ClassVar = ("lock_left", "lock_right", "dip", "loaded")

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="road_tests")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    lock_left = models.CharField(
        _("full lock to the left"),
        max_length=8,
        choices=Tried.choices,
        default=Tried.NOT_DONE,
    )
    lock_right = models.CharField(
        _("full lock to the right"),
        max_length=8,
        choices=Tried.choices,
        default=Tried.NOT_DONE,
    )
    dip = models.CharField(
        _("over a dip"), max_length=8, choices=Tried.choices, default=Tried.NOT_DONE
    )
    loaded = models.CharField(
        _("loaded, where lawful and safe"),
        max_length=8,
        choices=Tried.choices,
        default=Tried.NOT_DONE,
    )
    notes = models.TextField(_("notes"), blank=True)
    touched_spots = models.PositiveSmallIntegerField(null=True, editable=False)
    contradiction = models.TextField(blank=True, editable=False)
    wrong = models.CharField(
        _("What is wrong?"), max_length=10, choices=Wrong.choices, blank=True, editable=False
    )
    wrong_note = models.CharField(_("What speaks for it"), max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(touched_spots__isnull=True)
                | models.Q(touched_spots__gt=0)
                | ~(
                    models.Q(lock_left=Tried.TOUCHED)
                    | models.Q(lock_right=Tried.TOUCHED)
                    | models.Q(dip=Tried.TOUCHED)
                    | models.Q(loaded=Tried.TOUCHED)
                ),
                name="road_test_contact_has_its_spot",
            ),
            models.CheckConstraint(
                condition=models.Q(contradiction="") | ~models.Q(wrong=""),
                name="road_test_contradiction_is_judged",
            ),
        ]

    def __str__(self) -> str:
        return f"Road test of {self.order}"

    @property
    def outcomes(self) -> tuple[str, ...]:
        return tuple(getattr(self, name) for name in self.TRIED)


class ContactMark(models.Model):
    """One place looked at after a road test: touched, or a gap measured (mm)."""

    road_test = models.ForeignKey(RoadTest, on_delete=models.CASCADE, related_name="marks")
    corner = models.CharField(_("corner"), max_length=2, choices=Corner.choices)
    place = models.CharField(_("spot"), max_length=80)
    contact = models.BooleanField(_("touched"), default=False)
    gap_mm = models.FloatField(
        _("gap, mm"), null=True, blank=True, validators=[MinValueValidator(0)]
    )
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["corner", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(contact=False) | models.Q(gap_mm__isnull=True),
                name="mark_touched_or_gap",
            ),
            models.CheckConstraint(condition=~models.Q(place=""), name="mark_has_its_spot"),
        ]

    def __str__(self) -> str:
        return f"{self.get_corner_display()}, {self.place}"


class Happens(models.TextChoices):
    STANDING = "standing", _("Standing still")
    LOCK = "lock", _("At full lock")
    DIP = "dip", _("Over a dip")
    BEND = "bend", _("In a fast bend")
    BRAKING = "braking", _("When braking")
    LADEN = "laden", _("With passengers or luggage")
    OTHER = "other", _("Otherwise")


def comeback_photo_path(comeback: Comeback, filename: str) -> str:
    """A name that cannot be guessed; nothing of the uploaded name is kept but its type."""
    extension = filename.rsplit(".", 1)[-1] if "." in filename else "bin"
    return f"comebacks/{secrets.token_hex(16)}.{extension}"


class Comeback(models.Model):
    """What a customer came back with, beside the work order that deals with it."""

    order = models.OneToOneField(WorkOrder, on_delete=models.CASCADE, related_name="comeback")
    first_order = models.ForeignKey(WorkOrder, on_delete=models.PROTECT, related_name="comebacks")
    corner = models.CharField(_("corner"), max_length=2, choices=Corner.choices)
    place = models.CharField(_("spot"), max_length=80)
    happens = models.CharField(_("when"), max_length=10, choices=Happens.choices)
    description = models.TextField(_("customer's description"), blank=True)
    photo = models.FileField(_("photograph"), upload_to=comeback_photo_path, blank=True)

    class Meta:
        ordering: ClassVar = ["-order__created_at"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=~models.Q(order=models.F("first_order")),
                name="comeback_not_of_itself",
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_corner_display()}, {self.place}"

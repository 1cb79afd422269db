"""Who works here, the shop itself, and its customers."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.contrib.auth.models import AbstractUser
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from shop.models.merged import Merged, MergedQuerySet
from shop.models.searching import Searched
from shop.models.texts import language_choices, own_language
from shop.models.versioned import Versioned
from shop.values.search_keys import KeyKind


class Role(models.TextChoices):
    WRITER = "writer", _("Service writer")
    TECHNICIAN = "technician", _("Technician")
    MANAGER = "manager", _("Manager")


class User(Versioned, AbstractUser):
    """A user who signs in. A superuser counts as a manager."""

    role = models.CharField(_("role"), max_length=12, choices=Role.choices, default=Role.TECHNICIAN)
    display_name = models.CharField(_("display name"), max_length=80, blank=True)
    language = models.CharField(
        _("language"),
        max_length=10,
        choices=language_choices,
        blank=True,
    )

    class Meta:
        ordering: ClassVar = ["username"]

    def __str__(self) -> str:
        return self.shown_name

    @property
    def shown_name(self) -> str:
        return self.display_name or self.get_full_name() or self.username

    @property
    def effective_role(self) -> str:
        return Role.MANAGER if self.is_superuser else self.role

    def has_role(self, *roles: str) -> bool:
        """Whether this person may act as one of ``roles``; a manager may act as any."""
        return self.effective_role == Role.MANAGER or self.effective_role in roles

    @property
    def is_manager(self) -> bool:
        return self.effective_role == Role.MANAGER

    @property
    def may_write_orders(self) -> bool:
        return self.has_role(Role.WRITER)

    @property
    def may_work_on_cars(self) -> bool:
        return self.has_role(Role.TECHNICIAN)


class SheetSize(models.TextChoices):
    A4 = "a4", "A4"
    LETTER = "letter", "Letter"


class ShopSettings(Versioned):
    """The one row that describes this shop; fetch it with :meth:`load`."""

    name = models.CharField(_("name"), max_length=120, default="Our shop")
    address = models.TextField(_("address"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("email"), blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    hourly_rate = models.DecimalField(
        _("hourly rate"),
        max_digits=9,
        decimal_places=2,
        default=Decimal("90.00"),
        validators=[MinValueValidator(0)],
    )
    tax_rate = models.DecimalField(
        _("tax rate, %"),
        max_digits=5,
        decimal_places=2,
        default=Decimal("20.00"),
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    prices_with_tax = models.BooleanField(
        _("prices are entered and shown with tax"),
        default=False,
        help_text=_(
            "Holds for part prices, the hourly rate and new quote lines. Lines on record keep "
            "the way in which they were entered."
        ),
    )
    quote_days = models.PositiveIntegerField(
        _("quotes are valid for, days"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(365)],
        help_text=_("Empty: no date is printed."),
    )
    quote_terms = models.TextField(
        _("terms"), blank=True, help_text=_("Printed on every quote, above the signature.")
    )
    timezone = models.CharField(_("time zone"), max_length=64, blank=True)
    retorque_km_from = models.PositiveIntegerField(_("retorque from, km"), default=50)
    retorque_km_to = models.PositiveIntegerField(_("retorque to, km"), default=100)
    next_check_km = models.PositiveIntegerField(_("next check after, km"), default=1000)
    first_steps_hidden = models.BooleanField(default=False, editable=False)
    remind_after_days = models.PositiveSmallIntegerField(
        _("remind of an unanswered quote after, days"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(90)],
        help_text=_("One email, if the quote was sent by email. Empty: no reminder."),
    )
    sheet_size = models.CharField(
        _("paper of spec sheets"), max_length=6, choices=SheetSize.choices, default=SheetSize.A4
    )

    class Meta:
        verbose_name_plural = "shop settings"

    def __str__(self) -> str:
        return self.name

    @classmethod
    def load(cls) -> ShopSettings:
        row, _ = cls.objects.get_or_create(pk=1)
        return row


class LengthUnit(models.TextChoices):
    MILLIMETRES = "mm", _("millimetres")
    INCHES = "in", _("inches")


class AngleForm(models.TextChoices):
    DECIMAL = "decimal", _("decimal degrees, −1.50°")
    MINUTES = "minutes", _("degrees and minutes, −1°30′")


class CustomerQuerySet(MergedQuerySet["Customer"]):
    searched_beside = ("vehicles",)


class Customer(Merged, Searched, Versioned):
    searched_texts: ClassVar = {
        "name": KeyKind.WORDS,
        "phone": KeyKind.TELEPHONE,
        "email": KeyKind.WHOLE,
        "address": KeyKind.WORDS,
    }

    name = models.CharField(_("name"), max_length=120)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("email"), blank=True)
    address = models.TextField(_("address"), blank=True)
    notes = models.TextField(
        _("notes for the staff"), blank=True, help_text=_("Not shown to the customer.")
    )
    language = models.CharField(
        _("language"), max_length=10, choices=language_choices, default=own_language
    )
    units = models.CharField(
        _("lengths in"), max_length=2, choices=LengthUnit.choices, default=LengthUnit.MILLIMETRES
    )
    angles = models.CharField(
        _("angles in"), max_length=7, choices=AngleForm.choices, default=AngleForm.DECIMAL
    )

    objects = CustomerQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("customer", args=[self.pk])

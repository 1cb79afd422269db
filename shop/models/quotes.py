"""Quotes as they were sent, and what customers signed."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.orders import WorkOrder
from shop.models.people import User
from shop.models.schemas import QUOTE
from shop.models.stored import StoredJSONField
from shop.models.versioned import Versioned


class Quote(models.Model):
    """What was offered, frozen on the day it was sent: later changes of lines do not reach it.

    ``document`` holds the lines, the totals and what the clearance check said, as plain JSON with
    decimals as text. ``gate_warning`` is what the customer was warned with, in their language of
    the day.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="quotes")
    number = models.CharField(max_length=20, unique=True)
    document = StoredJSONField(schema=QUOTE)
    total = models.DecimalField(max_digits=11, decimal_places=2)
    currency = models.CharField(max_length=3)
    gate_warning = models.TextField(blank=True)
    signature_needed = models.BooleanField(default=False)
    class_caution = models.TextField(blank=True)
    note = models.TextField(blank=True)
    sent_at = models.DateTimeField(default=timezone.now)
    sent_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    #: When the customer's link was first opened while this quote stood on it.
    seen_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering: ClassVar = ["-sent_at", "-pk"]

    def __str__(self) -> str:
        return self.number

    def get_absolute_url(self) -> str:
        return reverse("quote", args=[self.pk])

    @property
    def is_mixed(self) -> bool:
        """Whether some lines have their tax in them and others have not."""
        return len({line["with_tax"] for line in self.document["lines"]}) > 1


class Authorisation(models.Model):
    """The customer's yes to one quote, with the amount and the sentence signed under."""

    class Via(models.TextChoices):
        LINK = "link", _("on the customer's link")
        IN_PERSON = "in_person", _("in person")

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="authorisation")
    name = models.CharField(max_length=120)
    amount = models.DecimalField(max_digits=11, decimal_places=2)
    at = models.DateTimeField(default=timezone.now)
    via = models.CharField(max_length=10, choices=Via.choices)
    signed_sentence = models.TextField(blank=True)
    #: Stands for all that the signed quote said; empty where that was not kept.
    read_digest = models.CharField(max_length=64, blank=True, editable=False)
    witnessed_by = models.ForeignKey(
        User, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.name}, {self.amount}"


class Deposit(Versioned):
    """Money asked for before the work, and how it came in; in the shop's currency, tax included."""

    class How(models.TextChoices):
        CASH = "cash", _("Cash")
        CARD = "card", _("Card")
        TRANSFER = "transfer", _("Bank transfer")
        OTHER = "other", _("Other")

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="deposits")
    asked = models.DecimalField(
        _("asked"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))]
    )
    asked_at = models.DateTimeField(default=timezone.now, editable=False)
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+", editable=False)
    received = models.DecimalField(
        _("received"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    received_on = models.DateField(_("received on"), null=True, blank=True)
    received_how = models.CharField(
        _("how"), max_length=8, choices=How.choices, default="", blank=True
    )
    received_by = models.ForeignKey(
        User,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        editable=False,
    )
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering: ClassVar = ["asked_at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(condition=models.Q(asked__gt=0), name="deposit_asks_for_money"),
            models.CheckConstraint(
                condition=models.Q(received__isnull=True)
                | models.Q(received__gte=0, received_on__isnull=False),
                name="deposit_received_has_its_day",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.order}: {self.asked}"

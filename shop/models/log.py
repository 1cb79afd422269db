"""The log of an order, and managers' overrides of a closed gate."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from common.verdicts import GateResult
from shop.models.orders import WorkOrder
from shop.models.people import User
from shop.models.words import one_of, word_choices


class GateOverride(models.Model):
    """A manager's override of a gate, valid for one digest only.

    ``said`` is the sentence in the customer's words as they were on the day; empty where those
    are the record's own.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="overrides")
    gate = models.CharField(max_length=40)
    digest = models.CharField(max_length=80)
    result = models.CharField(max_length=20, choices=word_choices(GateResult))
    sentence = models.TextField()
    said = models.TextField(blank=True)
    reason = models.TextField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]
        constraints: ClassVar = [
            one_of("result", GateResult, "override_of_a_known_result"),
            models.CheckConstraint(
                condition=~models.Q(result=GateResult.CANNOT_BE_MOUNTED.value),
                name="no_override_of_what_cannot_be_mounted",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gate}: {self.reason}"


class LogKind(models.TextChoices):
    """Entries that are news to the shop, whatever language they are written in."""

    OTHER = "", _("an act of the shop")
    ASKED = "asked", _("the customer asked")
    DECLINED = "declined", _("the customer declined")
    CHOSE = "chose", _("the customer chose an option")
    REPLIED = "replied", _("the shop replied")


class LogEntry(models.Model):
    """One act on an order; ``by`` is empty when the customer acted, ``who`` never is.

    ``kind`` tells what lists of news look for; empty for all other acts.
    """

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="log")
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    who = models.CharField(max_length=120)
    what = models.CharField(max_length=120)
    detail = models.TextField(blank=True)
    kind = models.CharField(max_length=12, choices=LogKind.choices, blank=True, default="")

    class Meta:
        ordering: ClassVar = ["-at", "-pk"]

    def __str__(self) -> str:
        return self.what

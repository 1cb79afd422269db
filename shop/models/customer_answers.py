"""What customers answer on their page besides a signature: question, decline, another option."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models.orders import WorkOrder
from shop.models.people import User
from shop.models.quotes import Quote


class CustomerAnswer(models.Model):
    """One thing that a customer told the shop, and what the shop replied.

    ``text`` is the question, the reason of a decline (which may be empty) or the option in the
    words of the quote; ``label`` is the option's letter. ``quote`` is the quote that it was said
    to, None for a question that came without one. It is open until ``settled_at``.
    """

    class Kind(models.TextChoices):
        ASKED = "asked", _("asked a question")
        DECLINED = "declined", _("declined the quote")
        CHOSE = "chose", _("chose another option")

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="customer_answers")
    quote = models.ForeignKey(
        Quote, on_delete=models.CASCADE, null=True, blank=True, related_name="answers"
    )
    kind = models.CharField(max_length=12, choices=Kind.choices)
    label = models.CharField(max_length=4, blank=True)
    text = models.TextField(blank=True)
    at = models.DateTimeField(default=timezone.now)
    reply = models.TextField(blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        User, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        ordering: ClassVar = ["at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(kind__in=["asked", "declined", "chose"]),
                name="customer_answer_of_a_known_kind",
            ),
            models.CheckConstraint(
                condition=models.Q(kind="declined") | ~models.Q(text=""),
                name="customer_answer_says_something",
            ),
            models.CheckConstraint(
                condition=models.Q(kind="asked") | models.Q(quote__isnull=False),
                name="customer_answer_to_a_quote",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind}: {self.label or self.text[:40]}"

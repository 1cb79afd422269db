"""Running numbers, each in a row that nothing else writes."""

from __future__ import annotations

from django.db import models, transaction
from django.db.models import F


class Counter(models.Model):
    """The last number that was given out under a name."""

    ORDERS = "orders"

    name = models.CharField(max_length=20, primary_key=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.name}: {self.last}"

    @classmethod
    @transaction.atomic
    def take(cls, name: str) -> int:
        """The next number. Its row stays locked until the transaction ends, and a transaction
        that fails gives the number back."""
        cls.objects.get_or_create(name=name)
        cls.objects.filter(name=name).update(last=F("last") + 1)
        return cls.objects.get(name=name).last

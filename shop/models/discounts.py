"""A discount on a row."""

from __future__ import annotations

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from shop.values.amounts import Discount


class Discounted(models.Model):
    """A discount in per cent or in money; no row has both."""

    discount_percent = models.DecimalField(
        max_digits=5,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0), MaxValueValidator(100)],
        editable=False,
    )
    discount_money = models.DecimalField(
        max_digits=9,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0)],
        editable=False,
    )

    class Meta:
        abstract = True

    @property
    def discount(self) -> Discount:
        return Discount(self.discount_percent, self.discount_money)

    @discount.setter
    def discount(self, value: Discount) -> None:
        self.discount_percent, self.discount_money = value.percent, value.money

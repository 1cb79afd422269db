"""Fields for money, per cent, hours and discounts, read by ``shop.values.typed_amounts``.

Every form and every table that takes such figures uses these: what is read is the same everywhere.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from shop.models import ShopSettings
from shop.site.fields import CommaDecimalField
from shop.values.amounts import HUNDRED, NO_DISCOUNT, Discount
from shop.values.typed_amounts import NotAnAmount, Typed, read_typed

#: The largest discount in money that a row keeps.
LARGEST = Decimal("9999999.99")
PLACES = -2


def _typed(text: str) -> Typed:
    try:
        return read_typed(text)
    except NotAnAmount as wrong:
        raise ValidationError(str(wrong), code="amount") from wrong


def _check_currency(typed: Typed, currency: str = "") -> None:
    """Refuse an amount in another currency than the shop's, or than the one that is given."""
    currency = currency or ShopSettings.load().currency
    if typed.unit and not typed.is_currency(currency):
        raise ValidationError(
            _("Enter an amount in {currency}, not in “{unit}”.").format(
                currency=currency, unit=typed.unit
            ),
            code="currency",
        )


class _UnitField(CommaDecimalField, ABC):
    """A decimal number that may carry the units of its kind."""

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]  # as its parent
        if isinstance(value, str) and value.strip():
            typed = _typed(value)
            self.check_unit(typed)
            value = format(typed.number, "f")
        return super().to_python(value)

    @abstractmethod
    def check_unit(self, typed: Typed) -> None:
        """Raise ValidationError for a unit of another kind."""


class MoneyField(_UnitField):
    """An amount in the shop's currency: ``92,50 €``, ``EUR 1.250,00``, ``92.50``."""

    #: The currency to go by where a form changes it; empty: the shop's.
    currency = ""

    def check_unit(self, typed: Typed) -> None:
        _check_currency(typed, self.currency)


class PercentField(_UnitField):
    """``19 %`` or ``19``."""

    def check_unit(self, typed: Typed) -> None:
        if typed.unit not in ("", "%"):
            raise ValidationError(_("Enter per cent, for example 19 %."), code="percent")


class QuantityField(_UnitField):
    """Pieces or hours: ``4``, ``1,5 h``."""

    def check_unit(self, typed: Typed) -> None:
        if typed.unit not in ("", "h"):
            raise ValidationError(_("Enter pieces or hours, for example 1.5 h."), code="quantity")


class DiscountField(forms.Field):
    """``10 %`` or an amount with its currency; a number alone could be either and is refused."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput())
        kwargs.setdefault("required", False)
        super().__init__(**kwargs)

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, Discount):
            return value
        said = str(value)
        return f"{said} {ShopSettings.load().currency}" if value.money else said

    def to_python(self, value: Any) -> Discount:
        if isinstance(value, Discount):
            return value
        if not (value or "").strip():
            return NO_DISCOUNT
        typed = _typed(value)
        if not typed.unit or typed.unit == "h":
            raise ValidationError(
                _("Say whether this is per cent or money: {percent} or {money}.").format(
                    percent=f"{typed.number:f} %",
                    money=f"{typed.number:f} {ShopSettings.load().currency}",
                ),
                code="unit",
            )
        if typed.number < 0:
            raise ValidationError(_("Must be zero or more."), code="negative")
        if typed.number.as_tuple().exponent < PLACES:  # type: ignore[operator]  # finite
            raise ValidationError(_("Enter two decimals at most."), code="places")
        if typed.unit == "%":
            if typed.number > HUNDRED:
                raise ValidationError(_("Must be 100 % or less."), code="large")
            return Discount(percent=typed.number)
        _check_currency(typed)
        if typed.number > LARGEST:
            raise ValidationError(_("This amount is too large."), code="large")
        return Discount(money=typed.number)

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return self.to_python(initial) != self.to_python(data)
        except ValidationError:
            return True

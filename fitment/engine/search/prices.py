"""What an option costs on one axle, both of its wheels; None where a price is not known."""

from __future__ import annotations

from decimal import Decimal

from fitment.engine.search.space import SettingChange, SpacerChoice, TyreChoice, WheelChoice

#: Wheels of an axle: an option is bought for both, whether one side was measured or two.
WHEELS = 2


def pair_price(*prices: Decimal | None) -> Decimal | None:
    """Price of both sides of an axle from those of what one side takes."""
    known = [price for price in prices if price is not None]
    return WHEELS * sum(known, Decimal(0)) if len(known) == len(prices) else None


def axle_price(
    setting: SettingChange, wheel: WheelChoice, tyre: TyreChoice, spacer: SpacerChoice
) -> Decimal | None:
    """What an option costs on its axle; None where one of its prices is not known."""
    total = fit_price(wheel, tyre, spacer)
    return None if total is None or setting.price is None else total + setting.price


def fit_price(wheel: WheelChoice, tyre: TyreChoice, spacer: SpacerChoice) -> Decimal | None:
    """The same without the setting's parts."""
    return pair_price(wheel.price, tyre.price, spacer.price)

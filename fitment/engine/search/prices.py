"""What an option costs on one axle; None where one of its prices is not known."""

from __future__ import annotations

from decimal import Decimal

from fitment.engine.search.space import SettingChange, SpacerChoice, TyreChoice, WheelChoice


def axle_price(
    wheels: int,
    setting: SettingChange,
    wheel: WheelChoice,
    tyre: TyreChoice,
    spacer: SpacerChoice,
) -> Decimal | None:
    """What a way costs on so many wheels; None where one of its prices is not known."""
    total = fit_price(wheels, wheel, tyre, spacer)
    return None if total is None or setting.price is None else total + setting.price


def fit_price(
    wheels: int, wheel: WheelChoice, tyre: TyreChoice, spacer: SpacerChoice
) -> Decimal | None:
    """The same without the setting's parts."""
    if wheel.price is None or tyre.price is None or spacer.price is None:
        return None
    return wheels * (wheel.price + tyre.price + spacer.price)

"""After how far the nuts are retorqued and the car is looked at again, as its owner counts it."""

from __future__ import annotations

from dataclasses import dataclass

from shop.languages import Speech
from shop.models import ShopSettings


@dataclass(frozen=True)
class Intervals:
    """Distances (km) that are round in the owner's unit, and how they are said."""

    first: float
    last: float
    check: float
    speech: Speech

    @property
    def said(self) -> dict[str, str]:
        """``first`` without its unit, since ``last`` follows with it."""
        return {
            "first": self.speech.bare_distance(self.first),
            "last": self.speech.distance(self.last),
            "check": self.speech.distance(self.check),
        }


def intervals_of(shop: ShopSettings, speech: Speech) -> Intervals:
    """The shop's intervals, round in the unit that a customer reads."""
    return Intervals(
        first=speech.as_said_km(shop.retorque_km_from),
        last=speech.as_said_km(shop.retorque_km_to),
        check=speech.as_said_km(shop.next_check_km),
        speech=speech,
    )

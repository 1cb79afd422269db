"""The wheels and tyres that a customer agrees to with a quote."""

from __future__ import annotations

from typing import TYPE_CHECKING

from common.canonical_json import digest_of
from fitment.job.fitted import fitted_on
from fitment.models import OrderWheels
from shop.extensions.quoted import QuotedItem
from shop.models import Axle

if TYPE_CHECKING:
    from shop.languages import Speech
    from shop.models import WorkOrder


def wheels_quoted(order: WorkOrder, speech: Speech) -> list[QuotedItem]:
    """Wheel, tyre and spacer of each axle.

    What was measured of them is left out: a delivered tyre that was measured asks for another
    check, and only where that says otherwise for another quote.
    """
    return [
        QuotedItem(
            f"wheels-{row.axle}",
            speech.say("Wheels and tyres, front axle")
            if row.axle == Axle.FRONT
            else speech.say("Wheels and tyres, rear axle"),
            _said(row, speech),
            digest_of(
                {
                    "wheel": [row.wheel_id, row.wheel.diameter_in, row.wheel.width_in],
                    "offset_mm": row.wheel.offset_mm,
                    "tyre": [row.tyre_id, row.tyre.size],
                    "spacer_mm": row.spacer_mm,
                }
            ),
        )
        for row in fitted_on(order)
    ]


def _said(row: OrderWheels, speech: Speech) -> str:
    said = f"{row.wheel}, {row.tyre}"
    if not row.spacer_mm:
        return said
    return f"{said}, {speech.say('{size} spacer', size=speech.length(row.spacer_mm))}"

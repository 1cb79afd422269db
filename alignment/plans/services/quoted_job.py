"""The planned settings that a customer agrees to with a quote."""

from __future__ import annotations

from alignment.models import PlannedSetting
from alignment.text.labels import plan_phrases
from common.canonical_json import digest_of
from shop.extensions.quoted import QuotedItem
from shop.languages import Speech
from shop.models import Axle, WorkOrder

_DECIDING = ("camber_deg", "camber_by", "toe_deg", "caster_deg", "adjusters", "rolled_lips")


def settings_quoted(order: WorkOrder, speech: Speech) -> list[QuotedItem]:
    """The settings of each axle that has a plan."""
    return [
        QuotedItem(
            f"settings-{plan.axle}",
            speech.say("Settings, front axle")
            if plan.axle == Axle.FRONT
            else speech.say("Settings, rear axle"),
            ", ".join(plan_phrases(plan, speech)),
            digest_of({name: getattr(plan, name) for name in _DECIDING}),
        )
        for plan in PlannedSetting.objects.filter(order=order)
    ]

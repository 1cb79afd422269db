"""Mounting checks: does this wheel go on this hub, and may this tyre carry this car?

Each check holds one fact of the wheel or tyre against one of the car and answers *passes*,
*fails* or *cannot say*, with its rule in words, where the rule is from, and what is missing.
Nothing is guessed: a figure that is not recorded is never a pass.
"""

from __future__ import annotations

from fitment.engine.mounting import hub as hubs
from fitment.engine.mounting import tyre as tyres
from fitment.engine.mounting.facts import Fitted, Hub, Needs
from fitment.engine.mounting.law import Law
from fitment.engine.mounting.rule import Result

RULES_VERSION = "3"
"""Changed whenever a rule judges differently: answers that were given before are then stale."""


def axle_checks(hub: Hub, needs: Needs, fitted: Fitted, law: Law) -> list[Result]:
    """All checks of one axle that need no clearance check, in the order of the work."""
    return [
        hubs.bolt_circle(hub, fitted, needs.axle),
        hubs.centre_bore(hub, fitted, needs.axle),
        hubs.seat(hub, fitted, needs.axle),
        hubs.thread(hub, fitted, needs.axle),
        hubs.engagement(hub, fitted, law, needs.axle),
        hubs.end_of_thread(hub, fitted, needs.axle),
        tyres.rim_width(fitted, needs.axle),
        tyres.load_index(needs, fitted),
        tyres.speed_symbol(needs, fitted),
        tyres.load_at_speed(needs, fitted),
        tyres.wheel_load(needs, fitted),
        *tyres.diameter(needs, fitted, law),
        *tyres.offset(needs, fitted, law),
    ]

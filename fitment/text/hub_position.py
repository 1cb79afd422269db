"""Where a setting puts the wheel, for the corner's page."""

from __future__ import annotations

from alignment.geometry.hub_position import Seat
from common.message import Message, message

#: A shift smaller than this is none, mm.
NONE_MM = 0.05


def seat_facts(seat: Seat) -> list[tuple[Message, Message]]:
    """Name and figure of everything; what the kind of corner does not have is left out."""
    facts = [
        ("hub-fore-aft", _shift(seat.forward_mm, "forward", "rearward", "forward")),
        ("hub-sideways", _shift(seat.outboard_mm, "outboard", "inboard", "outboard")),
        ("track", _shift(seat.track_mm, "wider", "narrower", "wider")),
    ]
    if seat.caster_deg is not None:
        facts.append(("caster", message("hub.angle", angle_deg=seat.caster_deg)))
    if seat.inclination_deg is not None:
        facts.append(("inclination", message("hub.angle", angle_deg=seat.inclination_deg)))
    if seat.trail_mm is not None:
        facts.append(("trail", _shift(seat.trail_mm, "contact-behind", "contact-ahead")))
    if seat.scrub_mm is not None:
        facts.append(("scrub", _shift(seat.scrub_mm, "centre-outboard", "centre-inboard")))
    return [(message(f"hub.{name}"), figure) for name, figure in facts]


def _shift(value: float, more: str, less: str, of_survey: str = "") -> Message:
    """So far one way or the other; ``of_survey`` where none is as surveyed."""
    if of_survey and abs(value) < NONE_MM:
        return message("hub.as-surveyed")
    side = less if value < 0 and abs(value) >= NONE_MM else more
    return message(f"hub.{side}", by_mm=abs(value))

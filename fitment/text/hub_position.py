"""Where a setting puts the wheel, in words for the corner's page. Millimetres, degrees."""

from __future__ import annotations

from alignment.geometry.hub_position import Seat

#: A shift smaller than this is none, mm.
NONE_MM = 0.05


def seat_facts(seat: Seat) -> list[tuple[str, str]]:
    """Name and words of every figure; what the kind of corner does not have is left out."""
    facts = [
        ("Hub, fore and aft", _shift(seat.forward_mm, "forward", "rearward")),
        ("Hub, sideways", _shift(seat.outboard_mm, "outboard", "inboard")),
        ("Track, this side", _shift(seat.track_mm, "wider", "narrower")),
    ]
    if seat.caster_deg is not None:
        facts.append(("Caster", _degrees(seat.caster_deg)))
    if seat.inclination_deg is not None:
        facts.append(("Steering axis inclination", _degrees(seat.inclination_deg)))
    if seat.trail_mm is not None:
        facts.append(
            ("Trail", f"contact {_shift(seat.trail_mm, 'behind', 'ahead of')} the steering axis")
        )
    if seat.scrub_mm is not None:
        side = _shift(seat.scrub_mm, "outboard of", "inboard of")
        facts.append(("Scrub radius", f"wheel centre {side} the steering axis"))
    return facts


def _shift(value: float, more: str, less: str) -> str:
    if abs(value) < NONE_MM:
        return "as surveyed" if more in ("forward", "outboard", "wider") else f"0.0 mm {more}"
    return f"{abs(value):.1f} mm {more if value > 0 else less}"


def _degrees(value: float) -> str:
    return f"{value:+.2f}°".replace("-", "−")

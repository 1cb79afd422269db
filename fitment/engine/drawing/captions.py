"""The words of a room's drawing: at the dimensions, below it, and for those who cannot see it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from fitment.engine.drawing.dimension_lines import Gap
from fitment.engine.drawing.swept import Swept
from fitment.engine.model import BODY, LINK, SpotAnswer

#: Names of places are broken into lines of about this many characters.
LABEL_CHARACTERS = 18
MINUS = "\N{MINUS SIGN}"

OTHER_DASHED = (
    "Dashed: the other wheel and tyre. Nearer and farther say where this one stands beside it."
)
ON_THE_CAR_DASHED = (
    "Dashed: the wheel and tyre that are on the car now. Nearer and farther say where the new "
    "ones stand beside them."
)
"""The same line where the other wheel is the one that comes off."""


def signed_mm(value: float, decimals: int) -> str:
    """A length with its sign, never rounded to a bare zero that hides which side it is on."""
    if value and round(abs(value), decimals) == 0:
        decimals = max(decimals + 1, 1)
    sign = MINUS if value < 0 else "+"
    return f"{sign}{abs(value):.{decimals}f}"


def gap_lines(place: SpotAnswer, decimals: int) -> tuple[tuple[str, str], ...]:
    """The place's name, broken where it is long, and its gap with the word for it."""
    word = "overlap" if place.clearance_mm <= 0 else place.verdict
    names = wrap(place.place, LABEL_CHARACTERS) or [place.place]
    value = f"{signed_mm(place.clearance_mm, decimals)} {word}"
    return (*((name, "label") for name in names), (value, "dim-text"))


def difference_words(by: float, decimals: int) -> str:
    return f"{abs(by):.{decimals}f} {'nearer' if by > 0 else 'farther'}"


def _pose_words(place: SpotAnswer) -> str:
    if place.carried_by not in (BODY, LINK):
        return "in every pose"
    travel, steer = place.at.travel_mm, place.at.steer_deg
    words = [
        f"{abs(travel):.0f} mm into {'bump' if travel > 0 else 'droop'}"
        if abs(travel) >= 0.5
        else "at static height"
    ]
    if abs(steer) >= 0.5:
        words.append(f"front edge turned {abs(steer):.0f}° {'inward' if steer > 0 else 'outward'}")
    if place.at.loaded:
        words.append("cornering load on")
    return ", ".join(words)


def _spot_words(place: SpotAnswer, decimals: int) -> str:
    value = signed_mm(place.clearance_mm, decimals)
    return f"{place.place}: {value} mm, {place.verdict}, {_pose_words(place)}"


def description_of(places: Sequence[SpotAnswer], other: bool, decimals: int) -> str:
    listed = sorted(places, key=lambda place: place.clearance_mm)
    lines = [
        "Section through wheel and tyre from the spin axis up, outboard to the right. "
        "Around it, everything that comes near over all travel and steering."
    ]
    lines += [f"{_spot_words(place, decimals)}." for place in listed]
    if other:
        lines.append("A second wheel and tyre is drawn dashed.")
    return " ".join(lines)


def legend_of(regions: list[Swept], gaps: list[Gap], other: bool, decimals: int) -> tuple[str, ...]:
    """What numbers, hatching and lines mean, as far as they occur, and what is not shown."""
    body = [region for region in regions if region.carried_by == BODY]
    hub = [region for region in regions if region.carried_by != BODY]
    lines = ["Numbers are gaps in mm, the smallest over all travel and lock."]
    if any(region.cover is not None for region in body):
        lines.append("Hatching rising to the right: what the body's edges sweep past the wheel.")
    if any(region.lines for region in body):
        lines.append("A thin line by itself: the path of a single measured point.")
    if any(region.cover is not None for region in hub):
        lines.append("Hatching falling to the right: moves with the hub.")
    if any(len(line) == 1 for region in hub for line in region.lines):
        lines.append("A cross: a single measured point that moves with the hub.")
    if any(gap.place.clearance_mm <= 0 for gap in gaps):
        lines.append("Crossed hatching in a dotted line: overlap.")
    if other:
        lines.append(OTHER_DASHED)
    far = [gap.place for gap in gaps if not gap.drawn]
    if far:
        named = ", ".join(f"{p.place} {signed_mm(p.clearance_mm, decimals)} mm" for p in far)
        lines.append(f"Not dimensioned: {named}.")
    return tuple(lines)

"""Rows of an answer as pages show them: places, reach, the size of the tyre."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from alignment.geometry.adjuster_units import adjuster_message
from alignment.text.render import render
from common.message import Message, message
from fitment.engine.curves.tyre_states import state_of
from fitment.engine.deciding import best_reading
from fitment.engine.findings import mostly, pose
from fitment.engine.model import Corner, OutOfReach, SpotAnswer
from fitment.engine.solid.designation import BadSize
from fitment.engine.solid.mounted import BadSection, Mounted, mounted
from fitment.text.labels import adjuster_text, adjuster_unit

if TYPE_CHECKING:
    from shop.models import Part

#: Lines of what was ruled out.
RULED_OUT_SHOWN = 20


@dataclass(frozen=True)
class PlaceRow:
    """One place of a corner: its tightest moment, how sure that is, and what decides it."""

    answer: SpotAnswer
    when: Message
    uncertainty: Message | None
    reading: Message | None

    @property
    def chance(self) -> Message:
        """Its chance of touching."""
        return message("chance.touch", touch_share=self.answer.touch_chance)

    @property
    def rim_is_nearest(self) -> bool:
        """Whether the wheel, not the tyre, is what would touch first."""
        return self.answer.part == "wheel"


@dataclass(frozen=True)
class ReachRow:
    """An adjuster that cannot go as far as the setting asks, and which part would."""

    words: str
    needed: float
    min: float
    max: float
    short_by: float
    unit: str
    given_by: str
    on_offer: tuple[Part, ...] = ()


def _mounted(asked: Corner) -> Mounted | None:
    try:
        return mounted(asked.wheel, asked.tyre)
    except (BadSection, BadSize):
        return None


def size_words(asked: Corner) -> str:
    """How wide and tall the tyre is taken, on this rim and in its state; empty if unknown."""
    size = _mounted(asked)
    if size is None:
        return ""
    told = message("tyre.size", width_mm=size.section_width_mm, across_mm=size.overall_diameter_mm)
    return ", ".join(render(one) for one in (told, *state_of(asked.tyre)))


def place_row(one: SpotAnswer) -> PlaceRow:
    """A spot with its pose, where its uncertainty is from, and what would narrow it down."""
    reading = message(f"reading.{best_reading(one)}") if one.uncertainty else None
    return PlaceRow(one, pose(one), mostly(one), reading)


def reach_row(short: OutOfReach, on_offer: Sequence[Part] = ()) -> ReachRow:
    """An adjuster that falls short, with the parts of the catalogue that would reach."""
    return ReachRow(
        words=adjuster_text(short.adjuster),
        needed=short.needed,
        min=short.min,
        max=short.max,
        short_by=short.short_by,
        unit=adjuster_unit(short.adjuster),
        given_by=render(adjuster_message(short.adjuster, "given-by")),
        on_offer=tuple(on_offer),
    )


def stretched_words(asked: Corner) -> str:
    """That the rim stands out beyond the sidewall, and by how much; empty where it does not."""
    size = _mounted(asked)
    if size is None:
        return ""
    over_flanges = asked.wheel.rim_mm + 2 * asked.wheel.flange_mm
    beyond = (over_flanges - size.section_width_mm) / 2
    if beyond <= 0 or math.isnan(beyond):
        return ""
    return render(
        message(
            "tyre.stretched",
            rim_mm=over_flanges,
            width_mm=size.section_width_mm,
            beyond_mm=beyond,
        )
    )

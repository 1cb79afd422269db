"""Rows of an answer as pages show them: places, reach, the size of the tyre."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitment.engine.defaults import LEAST_STATED
from fitment.engine.model import Corner, OutOfReach, SpotAnswer
from fitment.engine.solid.designation import BadSize
from fitment.engine.solid.mounted import BadSection, Mounted, mounted
from fitment.engine.words import adjuster_words as engine_adjuster_words
from fitment.engine.words import best_reading, pose_words
from fitment.text.labels import adjuster_unit, adjuster_words

if TYPE_CHECKING:
    from shop.models import Part

#: Lines of what was ruled out.
RULED_OUT_SHOWN = 20


@dataclass(frozen=True)
class PlaceRow:
    """One place of a corner: its tightest moment, how sure that is, and what decides it."""

    answer: SpotAnswer
    when: str
    uncertainty: str
    reading: str

    @property
    def hardly_touches(self) -> bool:
        """Whether its chance of touching is too small to be told from none."""
        return self.answer.touch_chance < LEAST_STATED

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


def uncertainty_words(place: SpotAnswer) -> str:
    """The input that the doubt comes from most; empty where no share was kept."""
    if not place.uncertainty:
        return ""
    most = max(place.uncertainty, key=lambda part: part.mm)
    return f"mostly {most.source}, {most.mm:.1f} mm"


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
    words = f"{size.section_width_mm:.0f} mm wide, {size.overall_diameter_mm:.0f} mm tall"
    tyre = asked.tyre
    states = {
        f"{tyre.worn_mm:g} mm worn": tyre.worn_mm,
        f"grown {tyre.growth_mm:g} mm at speed": tyre.growth_mm,
        "the largest that the standard allows": tyre.largest_allowed,
    }
    return ", ".join([words, *(said for said, holds in states.items() if holds)])


def place_row(one: SpotAnswer) -> PlaceRow:
    """A place with its moment, its doubt and the reading that would settle most of it."""
    return PlaceRow(
        one, pose_words(one), uncertainty_words(one), best_reading(one) if one.uncertainty else ""
    )


def reach_row(short: OutOfReach, on_offer: Sequence[Part] = ()) -> ReachRow:
    """An adjuster that falls short, with the parts of the catalogue that would reach."""
    return ReachRow(
        words=adjuster_words(short.adjuster),
        needed=short.needed,
        min=short.min,
        max=short.max,
        short_by=short.short_by,
        unit=adjuster_unit(short.adjuster),
        given_by=engine_adjuster_words(short.adjuster).given_by,
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
    return (
        f"Stretched: the rim is {over_flanges:.0f} mm over its flanges, the tyre "
        f"{size.section_width_mm:.0f} mm wide. The rim stands out {beyond:.0f} mm on each side "
        "and is what touches first."
    )

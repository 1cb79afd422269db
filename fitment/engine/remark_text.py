"""English for the codes of an answer's remarks, and for its chances."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from fitment.engine.defaults import LEAST_STATED
from fitment.engine.model import Remark, SpotAnswer
from fitment.engine.uncertainty.this_car import GAP_OUT_OF_REACH
from fitment.engine.verdict import DOUBTFUL_AS_A_WHOLE

#: Sources of an uncertainty that are named.
NAMED = 3


def chance_text(chance: float) -> str:
    """A chance of touching in two decimals; what no model can tell from nothing is said so."""
    if not math.isfinite(chance):
        return "unknown"
    return f"< {LEAST_STATED:g}" if chance < LEAST_STATED else f"{chance:.2f}"


def most_of_it(place: SpotAnswer) -> str:
    """The three inputs that make most of a spot's uncertainty, in millimetres."""
    largest = ", ".join(f"{part.source} {part.mm:.1f}" for part in place.uncertainty[:NAMED])
    return f"± {place.sigma_mm:.1f} mm, mostly {largest}"


def _as_a_whole(figures: Mapping[str, float | str]) -> str:
    return (
        f"Nothing is doubtful by itself, but together there is a chance of "
        f"{chance_text(float(figures['chance']))} that something touches, where "
        f"{float(figures['most']):g} is the most that counts as clear."
    )


def _gap_out_of_reach(figures: Mapping[str, float | str]) -> str:
    return (
        f"The gap read at the {figures['spot']}, {float(figures['travel_mm']):+.0f} mm of travel "
        f"and {float(figures['steer_deg']):+.0f}° of steer, is left out: {figures['why']}."
    )


_TEXTS: dict[str, Callable[[Mapping[str, float | str]], str]] = {
    DOUBTFUL_AS_A_WHOLE: _as_a_whole,
    GAP_OUT_OF_REACH: _gap_out_of_reach,
}


def remark_text(remark: Remark) -> str:
    """A remark in words. KeyError for a code that has none."""
    return _TEXTS[remark.code](remark.figures)

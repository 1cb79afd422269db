"""Sizes of tyre that the designation rules give, for want of tyres in a catalogue."""

from __future__ import annotations

from itertools import product

from fitment.engine.model import Tyre
from fitment.engine.search.space import TyreChoice
from fitment.engine.solid.designation import Size

#: Aspect ratios and nominal widths in which road tyres are made.
ASPECTS = (25, 30, 35, 40, 45, 50, 55, 60, 65, 70)
WIDTHS_MM = tuple(range(155, 345, 10))
#: A generated size is offered for rims this near to its measuring rim, in.
RIM_BELOW_IN, RIM_ABOVE_IN = 0.5, 1.0


def standard_sizes(
    rim_in: float,
    rim_width_in: float,
    *,
    diameter_mm: tuple[float, float],
    width_mm: tuple[float, float] = (WIDTHS_MM[0], WIDTHS_MM[-1]),
    load_index: int | None = None,
) -> tuple[TyreChoice, ...]:
    """Sizes for a rim that the designation rules give, marked nominal; no price is known.

    Only those whose measuring rim is near ``rim_width_in`` and whose overall diameter and
    nominal width lie within the spans. Not all of them are made.
    """
    found = []
    for width, aspect in product(WIDTHS_MM, ASPECTS):
        size = Size(float(width), float(aspect), rim_in)
        near = -RIM_ABOVE_IN <= size.measuring_rim_in - rim_width_in <= RIM_BELOW_IN
        tall = diameter_mm[0] <= size.overall_diameter_mm <= diameter_mm[1]
        if near and tall and width_mm[0] <= width <= width_mm[1]:
            name = f"{width}/{aspect}R{rim_in:g}"
            found.append(TyreChoice(name, Tyre(name), load_index=load_index, nominal=True))
    return tuple(found)

"""What may be wanted of a search, and how well something meets it."""

from __future__ import annotations

from collections.abc import Mapping

LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, WIDEST = (
    "least change",
    "least cost",
    "most clearance",
    "widest tyre",
)

#: How well a candidate meets an aim: figures that are compared one after the other, less is better.
Rank = tuple[float, ...]
#: Ranks by what is wanted.
Ranks = Mapping[str, Rank]

"""What is wanted of a search, as an order of candidates: ranks, the least of which is best.

A rank is a tuple of figures that are compared one after the other; a price that is not known
stands behind all that are.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.search.aims import LEAST_COST, MOST_CLEARANCE, WIDEST, Rank
from fitment.engine.search.table import Table


def columns(table: Table, width_mm: Array, goal: str) -> tuple[Array, ...]:
    """Figures (settings * fits,) that order all candidates, the one that counts most first.

    For the most clearance they hold what there can be at most.
    """
    changed = table.things.ravel().astype(float)
    effort, price = np.round(table.effort.ravel(), 9), np.round(table.price.ravel(), 2)
    if goal == LEAST_COST:
        return price, changed, effort
    if goal == WIDEST:
        return -np.tile(width_mm, table.shape[0]), changed, price, effort
    if goal == MOST_CLEARANCE:
        return -table.room.ravel(), changed, price, effort
    return changed, price, effort


def in_order(figures: tuple[Array, ...]) -> Index:
    """Candidates from the best on; of equals the earlier."""
    return np.lexsort(figures[::-1])


def better(figures: tuple[Array, ...], than: Rank | None) -> Flags:
    """Which candidates rank before ``than``."""
    result = np.ones(len(figures[0]), bool)
    if than is None:
        return result
    result[:] = False
    equal = np.ones(len(result), bool)
    for column, value in zip(figures, than, strict=True):
        result |= equal & (column < value)
        equal &= column == value
    return result


def rank(table: Table, width_mm: Array, key: int, goal: str, least_mm: float) -> Rank | None:
    """Rank of one candidate whose least clearance is known; None where it has none."""
    row, fit = divmod(key, table.shape[1])
    changed = float(table.things[row, fit])
    effort = float(np.round(table.effort[row, fit], 9))
    price = float(np.round(table.price[row, fit], 2))
    if goal == LEAST_COST:
        return (price, changed, effort) if np.isfinite(price) else None
    if goal == WIDEST:
        return -float(width_mm[fit]), changed, price, effort
    if goal == MOST_CLEARANCE:
        return -least_mm, changed, price, effort
    return changed, price, effort

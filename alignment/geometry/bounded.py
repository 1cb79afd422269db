"""Least squares inside bounds, and in an order of importance, for a handful of unknowns.

Written out because scipy takes a second to import and nothing else of it is needed at run
time; the tests compare the two.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from alignment.geometry.frames import Array, Flags

#: How much heavier what is settled weighs than what is being settled.
HEAVY = 1e3
#: Weight that keeps unknowns still which nothing needs.
STILL = 1e-6
ROUNDS = 60


def least_squares(matrix: Array, right: Array, low: Array, high: Array) -> Array:
    """The x (n,) inside ``low``..``high`` that makes ``matrix @ x - right`` shortest.

    Active set: unknowns at a bound stay there until the slope says that leaving helps.
    ``matrix`` has full column rank.
    """
    x = np.clip(np.zeros(matrix.shape[1]), low, high)
    free = (x > low) & (x < high)
    for _ in range(ROUNDS):
        x, free = _inside(matrix, right, low, high, x, free)
        slope = matrix.T @ (right - matrix @ x)
        gain = np.where(free | (low >= high), 0.0, np.where(x <= low, slope, -slope))
        gain = gain / np.linalg.norm(matrix, axis=0)
        worst = int(np.argmax(gain))
        if gain[worst] <= 1e-10 * max(1.0, float(np.linalg.norm(right))):
            break
        free[worst] = True
    return x


def _inside(
    matrix: Array, right: Array, low: Array, high: Array, x: Array, free: Flags
) -> tuple[Array, Flags]:
    """Solve for the free unknowns; those that run into a bound are held there."""
    x, free = x.copy(), free.copy()
    while np.any(free):
        rest = right - matrix[:, ~free] @ x[~free]
        wanted = np.linalg.lstsq(matrix[:, free], rest, rcond=None)[0]
        now, floor, ceiling = x[free], low[free], high[free]
        if np.all((wanted >= floor) & (wanted <= ceiling)):
            x[free] = wanted
            break
        way = wanted - now
        room = np.full(len(way), np.inf)
        down, up = wanted < floor, wanted > ceiling
        room[down] = (floor[down] - now[down]) / way[down]
        room[up] = (ceiling[up] - now[up]) / way[up]
        first = int(np.argmin(room))
        index = np.flatnonzero(free)
        x[index] = np.clip(now + max(0.0, float(room[first])) * way, floor, ceiling)
        x[index[first]] = floor[first] if down[first] else ceiling[first]
        free[index[first]] = False
    return x, free


def in_order(rows: Sequence[Array], right: Sequence[float], low: Array, high: Array) -> Array:
    """The x (n,) inside its bounds that meets the first row best, then the second, and so on.

    Where that leaves a choice, the one nearest to 0.
    """
    count = len(low)
    settled: list[Array] = []
    values: list[float] = []
    still = STILL * np.eye(count)
    for row, value in zip(rows, right, strict=True):
        matrix = np.vstack([*(HEAVY * one for one in settled), row, still])
        wanted = np.array([*(HEAVY * one for one in values), value, *np.zeros(count)])
        x = least_squares(matrix, wanted, low, high)
        settled.append(row)
        values.append(float(row @ x))
    matrix = np.vstack([*(HEAVY * one for one in settled), STILL * 1e3 * np.eye(count)])
    wanted = np.array([*(HEAVY * one for one in values), *np.zeros(count)])
    return least_squares(matrix, wanted, low, high)

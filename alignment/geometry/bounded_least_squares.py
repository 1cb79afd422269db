"""Least squares inside bounds, and in an order of importance, for a handful of unknowns.

Bounds are kept by an active set (C. L. Lawson and R. J. Hanson, *Solving Least Squares Problems*,
1974, ch. 23; P. B. Stark and R. L. Parker, Bounded-variable least squares, *Computational
Statistics* 10, 1995); the order of importance by weights (Lawson and Hanson, ch. 22).

Written out because scipy takes a second to import and nothing else of it is needed at run time; the
tests compare the two.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from alignment.geometry.frames import Array, Flags

#: Weight that keeps unknowns still which no row needs.
STILL = 1e-6
#: How much heavier what has been met weighs once the least movement is sought.
SETTLED = 1e3
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


def in_order(rows: Array, right: Array, weights: Sequence[float], low: Array, high: Array) -> Array:
    """The x (n,) inside its bounds that meets ``rows @ x = right``, the heavy rows first.

    Where that leaves a choice, the one nearest to 0.
    """
    still = np.eye(len(low))
    heavy = np.asarray(weights)[:, None]
    matrix = np.vstack([heavy * rows, STILL * still])
    wanted = np.concatenate([heavy[:, 0] * right, np.zeros(len(low))])
    met = rows @ least_squares(matrix, wanted, low, high)
    matrix = np.vstack([SETTLED * rows, STILL * SETTLED * still])
    wanted = np.concatenate([SETTLED * met, np.zeros(len(low))])
    return least_squares(matrix, wanted, low, high)

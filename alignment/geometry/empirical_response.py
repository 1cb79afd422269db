"""What adjusters do on a car of which no geometry is known, learned from visits to the rack.

Between two visits some adjusters were moved and the readings changed. Enough of such pairs give, by
linear least squares (standard method), how much each adjuster changes each angle, with an
uncertainty from what is left over and from the rack's own accuracy, whichever is larger. Degrees
per millimetre (per degree at the knuckle).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.adjustment_problem import QUANTITIES, AdjusterRange, Adjustment
from alignment.geometry.frames import Array
from alignment.geometry.readings import COVERAGE, accuracy_to_sigma

#: Pairs of visits needed beyond one for each adjuster.
SPARE_PAIRS = 2
#: A column of moves that the others explain to this share cannot be told from them.
TOLD_APART = 0.2
#: Moves may go this much farther than the largest that was seen.
BEYOND_SEEN = 1.5


class TooLittle(ValueError):
    """Too few visits, or visits that do not tell the adjusters apart; says which."""


@dataclass(frozen=True)
class Change:
    """Between two visits at one corner: by how much adjusters were moved (mm) and readings
    changed (degrees), and the larger of the racks' stated accuracies."""

    moved: Mapping[str, float]
    read: Mapping[str, float]
    accuracy_deg: float


@dataclass(frozen=True)
class Learned:
    """Slopes (quantities, adjusters), nan where nothing was read, with their covariance
    (quantities, adjusters, adjusters) and the scatter of one change (quantities,), degrees."""

    adjusters: tuple[str, ...]
    slopes: Array
    covariance: Array
    scatter: Array
    pairs: int
    largest: Mapping[str, float]

    def at(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """Changes from where everything stands at 0; see ``tasks.Forward``."""
        stood = np.array([[row.get(name, 0.0) for name in self.adjusters] for row in rows])
        angles: Array = stood @ self.slopes.T
        return angles

    def at_many(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """See ``at``: no positions are out of the question."""
        return self.at(rows)

    def ranges(self, stood: Mapping[str, float]) -> tuple[AdjusterRange, ...]:
        """Adjusters whose effect is known better than not at all, no farther than was seen."""
        found = []
        for column, name in enumerate(self.adjusters):
            slope = self.slopes[:, column]
            sigma = np.sqrt(self.covariance[:, column, column])
            known = np.isfinite(slope) & (np.abs(slope) > COVERAGE * sigma)
            if np.any(known):
                here, far = stood.get(name, 0.0), BEYOND_SEEN * self.largest[name]
                found.append(AdjusterRange(name, here - far, here + far))
        return tuple(found)

    def expanded_deg(self, quantity: str, adjustments: Sequence[Adjustment]) -> float:
        """Expanded uncertainty of a predicted reading after some moves."""
        index = QUANTITIES.index(quantity)
        by = {move.adjuster: move.by for move in adjustments}
        step = np.array([by.get(name, 0.0) for name in self.adjusters])
        variance = float(step @ self.covariance[index] @ step) + float(self.scatter[index]) ** 2
        return COVERAGE * math.sqrt(variance)


def learn(changes: Sequence[Change]) -> Learned:
    """Learn from pairs of visits. Raises TooLittle."""
    used = [change for change in changes if any(change.moved.values())]
    names = tuple(sorted({name for one in used for name, by in one.moved.items() if by}))
    if not names:
        raise TooLittle("no visit tells which adjusters were moved between two readings")
    needed = len(names) + SPARE_PAIRS
    if len(used) < needed:
        raise TooLittle(
            f"{len(used)} of at least {needed} pairs of readings with moves between are on record"
        )
    moved = np.array([[one.moved.get(name, 0.0) for name in names] for one in used])
    _tell_apart(names, moved)
    shape = len(QUANTITIES), len(names)
    slopes, covariance = np.full(shape, np.nan), np.full((*shape, len(names)), np.nan)
    scatter = np.full(len(QUANTITIES), np.nan)
    for index, quantity in enumerate(QUANTITIES):
        rows = [row for row, one in enumerate(used) if quantity in one.read]
        if len(rows) < needed or np.linalg.matrix_rank(moved[rows]) < len(names):
            continue
        read = np.array([used[row].read[quantity] for row in rows])
        slope = np.linalg.lstsq(moved[rows], read, rcond=None)[0]
        rest = read - moved[rows] @ slope
        rack = max(accuracy_to_sigma(used[row].accuracy_deg) for row in rows) * math.sqrt(2.0)
        spread = math.sqrt(float(rest @ rest) / (len(rows) - len(names)))
        scatter[index] = max(rack, spread)
        slopes[index] = slope
        covariance[index] = scatter[index] ** 2 * np.linalg.inv(moved[rows].T @ moved[rows])
    largest = {name: float(np.max(np.abs(moved[:, i]))) for i, name in enumerate(names)}
    return Learned(names, slopes, covariance, scatter, len(used), largest)


def _tell_apart(names: Sequence[str], moved: Array) -> None:
    """Raises TooLittle where two adjusters were always moved together."""
    scaled = moved / np.linalg.norm(moved, axis=0)
    if np.linalg.svd(scaled, compute_uv=False)[-1] < TOLD_APART:
        raise TooLittle("the adjusters were always moved together, so they cannot be told apart")

"""Uncertain inputs, and what one standard deviation of each does to the clearances of a corner.

Inputs are independent and normal. One that several spots have in common, such as the tyre's width
or a joint, is one input, known by its key on every corner of the car.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np

from alignment.geometry.frames import Array, Flags
from fitment.engine.defaults import DefaultSigma
from fitment.engine.model import Assumed

#: What an input belongs to: the survey that all cars of a model share, the difference from one
#: car to the next, or this job.
SURVEY, BETWEEN_CARS, JOB = "survey", "between_cars", "job"
KINDS = (SURVEY, BETWEEN_CARS, JOB)

Key = tuple[Hashable, ...]


@dataclass(frozen=True)
class Inputs:
    """The k inputs of one source.

    ``source`` is what people call it; ``mm`` (m, k) what one standard deviation of each adds to
    the clearance of every moment.
    """

    source: str
    kind: str
    keys: tuple[Key, ...]
    mm: Array

    def without(self, rows: Flags) -> Inputs:
        """The same with no effect on some moments (m,)."""
        return Inputs(self.source, self.kind, self.keys, np.where(rows[:, None], 0.0, self.mm))

    @staticmethod
    def single(source: str, kind: str, key: Hashable, mm: Array) -> Inputs:
        """One input, what one standard deviation of it adds to the moments (m,)."""
        return Inputs(source, kind, ((source, key),), mm[:, None])


@dataclass
class Ledger:
    """Hands out stated standard uncertainties, or assumed ones, and keeps what was assumed."""

    assumed: list[Assumed] = field(default_factory=list)

    def sigma(self, stated: float | None, default: DefaultSigma) -> float:
        """What was stated; else the default, which is noted once."""
        if stated is not None:
            return stated
        note = Assumed(default.what, default.value, default.unit, default.reason)
        if note not in self.assumed:
            self.assumed.append(note)
        return default.value


def central(gap: Callable[[float], Array], step: float) -> Array:
    """Central difference of a clearance at zero change."""
    slope: Array = (gap(step) - gap(-step)) / (2 * step)
    return slope


def shares(blocks: Sequence[Inputs], row: int) -> dict[str, float]:
    """By source its share (mm) in the uncertainty of one moment, largest first."""
    squares: dict[str, float] = {}
    for block in blocks:
        square = float(np.sum(block.mm[row] ** 2))
        squares[block.source] = squares.get(block.source, 0.0) + square
    ordered = sorted(squares.items(), key=lambda item: -item[1])
    return {source: float(np.sqrt(square)) for source, square in ordered}


def sigmas(blocks: Sequence[Inputs], kind: str | None = None) -> Array:
    """Standard uncertainty (m,) of every clearance, by all inputs or those of one kind."""
    picked = [block for block in blocks if kind is None or block.kind == kind]
    if not picked:
        return np.zeros(len(blocks[0].mm) if blocks else 0)
    return np.asarray(np.sqrt(sum(np.sum(block.mm**2, axis=1) for block in picked)), float)

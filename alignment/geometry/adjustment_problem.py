"""What adjustments are asked for with, and what is answered.

Positions in millimetres from the survey pose (degrees for ``knuckle_camber_deg``), angles in
degrees, signs as in ``alignment.geometry.readings``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from alignment.geometry.bump_steer_sheet import MeasuredMotion
from alignment.geometry.frames import Array
from alignment.geometry.motion import LinkedMotion, Motion, Settled

TOE, CAMBER, CASTER = "toe", "camber", "caster"
#: In the order of their importance.
QUANTITIES = (TOE, CAMBER, CASTER)
TOE_LINK = "toe_link_mm"

#: An angle this near to its target is there.
EXACT_DEG = 0.005
#: An unknown range is assumed to end here, and a part that would help must not go further.
FARTHEST_MM = 60.0
#: How much movement one degree at the knuckle's bolts counts as, mm.
KNUCKLE_MM_PER_DEG = 10.0


def scale_of(name: str) -> float:
    """Millimetres of movement that one unit of an adjuster counts as."""
    return KNUCKLE_MM_PER_DEG if name.endswith("_deg") else 1.0


class Forward(Protocol):
    """Angles that follow from adjuster positions."""

    def at(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """Toe, camber and caster (rows, 3), degrees; nan for what is not known.

        Raises Unreachable for positions that cannot be taken.
        """

    def at_many(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """The same, nan throughout for positions that cannot be taken."""


class LinkedForward:
    """Angles from the linkage of a corner."""

    def __init__(self, motion: LinkedMotion) -> None:
        self.motion = motion

    def at(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """See Forward."""
        return _angles(self.motion.at_positions(rows))

    def at_many(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """See Forward."""
        settled, closed = self.motion.at_positions_of_many(rows)
        return np.where(closed[:, None], _angles(settled), np.nan)


def _angles(settled: Settled) -> Array:
    caster = np.full(len(settled.toe), np.nan) if settled.axis is None else settled.axis.caster
    return np.degrees(np.stack([settled.toe, settled.camber, caster], axis=-1))


def forward_of(motion: Motion) -> LinkedForward | None:
    """What a corner's motion can say about its adjusters; None for measured curves, which
    know none. A bump-steer sheet changes nothing at static height."""
    if isinstance(motion, MeasuredMotion):
        return forward_of(motion.bare)
    return LinkedForward(motion) if isinstance(motion, LinkedMotion) else None


@dataclass(frozen=True)
class AdjusterRange:
    """An adjuster that may be moved: its range, None where it is not known, and its step.

    A ``step`` of 0 is continuous; otherwise positions lie whole steps from ``grid``.
    """

    name: str
    low: float | None = None
    high: float | None = None
    step: float = 0.0
    grid: float = 0.0

    @property
    def floor(self) -> float:
        return -FARTHEST_MM / scale_of(self.name) if self.low is None else self.low

    @property
    def ceiling(self) -> float:
        return FARTHEST_MM / scale_of(self.name) if self.high is None else self.high


@dataclass(frozen=True)
class Target:
    """A wanted angle and the tolerance inside which it is met, degrees."""

    deg: float
    tolerance_deg: float = 0.0

    def beyond(self, value: float) -> float:
        """How far a value lies outside, 0.0 inside."""
        over = abs(value - self.deg) - max(self.tolerance_deg, EXACT_DEG)
        return over if over > 0 else 0.0


@dataclass(frozen=True)
class Task:
    """What was read where, what is wanted, and what may be moved.

    ``stood`` are the positions at the reading, a missing one at the survey; ``after`` positions
    that are set without being asked about (ride height, what a plan states). ``read`` and
    ``wanted`` by quantity. ``possible`` are all adjusters of this kind of suspension.
    """

    stood: Mapping[str, float]
    read: Mapping[str, float]
    wanted: Mapping[str, Target]
    ranges: tuple[AdjusterRange, ...]
    after: Mapping[str, float] = field(default_factory=dict)
    possible: tuple[str, ...] = ()


@dataclass(frozen=True)
class Adjustment:
    """One adjuster's move."""

    adjuster: str
    start: float
    end: float

    @property
    def by(self) -> float:
        return self.end - self.start


@dataclass(frozen=True)
class Option:
    """One option: the adjustments, and what the rack should read after them, by quantity."""

    adjustments: tuple[Adjustment, ...]
    predicted: Mapping[str, float]
    positions: Mapping[str, float]

    @property
    def camber_method(self) -> tuple[str, ...]:
        """Adjusters that are moved for more than toe."""
        return tuple(move.adjuster for move in self.adjustments if move.adjuster != TOE_LINK)

    @property
    def movement_mm(self) -> float:
        """Total movement, degrees at the knuckle counted as millimetres."""
        return sum(abs(move.by) * scale_of(move.adjuster) for move in self.adjustments)


@dataclass(frozen=True)
class Help:
    """An adjuster that would give what is missing, and where it would have to stand."""

    adjuster: str
    position: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Missing:
    """A wanted angle that is out of reach: the nearest that can be reached and what would help."""

    quantity: str
    wanted_deg: float
    best_deg: float
    helps: tuple[Help, ...] = ()

    @property
    def missing_deg(self) -> float:
        """What is still to go, wanted less best."""
        return self.wanted_deg - self.best_deg


@dataclass(frozen=True)
class Adjustments:
    """The answer: ``offset`` is what the rack reads beside the model, by quantity.

    ``options`` are ways with as few adjusters as do it, the least movement first; none of them
    can be left out. ``unknown`` names wanted angles that were not read or cannot be predicted.
    """

    offset: Mapping[str, float]
    options: tuple[Option, ...]
    missing: tuple[Missing, ...] = ()
    unknown: tuple[str, ...] = ()

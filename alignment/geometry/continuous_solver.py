"""Adjuster positions that bring a corner's angles to their targets.

Toe comes first, then camber, then caster, then the least movement. All are solved together, though
on the rack toe is set last.

Gauss-Newton inside a trust region (J. Nocedal and S. J. Wright, *Numerical Optimization*, 2nd ed.
2006, ch. 10), with slopes by central differences; each step is a bounded least-squares problem
(``bounded_least_squares``). What differs from the textbook: a step that makes matters worse is not
taken, and the region shrinks to a third of it. Millimetres and degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from alignment.geometry.adjustment_problem import (
    CAMBER,
    CASTER,
    EXACT_DEG,
    QUANTITIES,
    TOE,
    AdjusterRange,
    Forward,
    Task,
    scale_of,
)
from alignment.geometry.bounded_least_squares import in_order
from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable

#: How heavily each is weighed where not all can be met: a hundredth of a degree of toe counts
#: as much as half a degree of camber, and that as 25 of caster.
WEIGHTS = (2500.0, 50.0, 1.0)
#: Movement (mm) that a degree nearer to the target is worth inside the tolerance, and outside it.
WORTH_MM: Mapping[str, float] = {TOE: 100.0, CAMBER: 40.0, CASTER: 40.0}
OUTSIDE_MM = 1000.0
#: What a later angle must gain for an earlier one to give away ``EXACT_DEG``.
WORTH_DEG = 0.02
#: Greatest step of one iteration, the step after which it ends, and that of the slopes, mm.
TRUST_MM, SETTLED_MM, DIFFERENCE_MM = 15.0, 0.01, 0.05
ITERATIONS = 40
#: A step may cost this much: 4e-7° of toe or 2e-5° of camber.
NO_WORSE = 1e-6


@dataclass(frozen=True)
class Found:
    """Positions of all adjusters, the angles there, and how far each wanted one is outside.

    ``worth`` is the movement and what is left of the targets, both in millimetres.
    """

    moved: tuple[str, ...]
    positions: Mapping[str, float]
    angles: Mapping[str, float]
    beyond: tuple[float, ...]
    off: tuple[float, ...]
    movement: float
    worth: float


class Problem:
    """A task made ready to be solved with some of its adjusters."""

    def __init__(self, forward: Forward, task: Task, offset: Mapping[str, float]) -> None:
        self.forward, self.task, self.offset = forward, task, offset
        self.start = {
            **{each.name: 0.0 for each in task.ranges},
            **task.stood,
        }
        self.base = {**self.start, **task.after}
        self.wanted = [name for name in QUANTITIES if name in task.wanted]
        self.targets = [task.wanted[name] for name in self.wanted]
        self.rows = [QUANTITIES.index(name) for name in self.wanted]
        self.weights = [WEIGHTS[row] for row in self.rows]
        self.worths = np.array([WORTH_MM[name] for name in self.wanted])
        self.aim = np.array([task.wanted[name].deg - offset[name] for name in self.wanted])

    def found(self, moved: tuple[str, ...], positions: Mapping[str, float], here: Array) -> Found:
        """What was found, with the model's angles (toe, camber, caster) ``here``."""
        angles = read_as(here, self.offset)
        values = [angles[name] for name in self.wanted]
        pairs = list(zip(self.targets, values, strict=True))
        beyond = tuple(target.beyond(value) for target, value in pairs)
        off = tuple(abs(value - target.deg) for target, value in pairs)
        movement = sum(abs(positions[name] - self.start[name]) * scale_of(name) for name in moved)
        left = float(self.worths @ off) + OUTSIDE_MM * sum(beyond)
        return Found(moved, positions, angles, beyond, off, movement, movement + left)

    def smooth(self, ranges: Sequence[AdjusterRange], held: Mapping[str, float]) -> Found:
        """The best positions of some adjusters as if none had steps; ``held`` stand elsewhere.

        Once an angle is out of reach, its last few thousandths of a degree are given away to
        those that come after it, if that brings them on: they are not worth a degree of caster.
        """
        aim = self.aim.copy()
        found = self._aimed(ranges, held, aim)
        for index, name in enumerate(self.wanted[:-1]):
            if found.beyond[index] > 0 and max(found.off[index + 1 :]) > EXACT_DEG:
                best = found.angles[name]
                away = math.copysign(EXACT_DEG, best - self.task.wanted[name].deg)
                given = aim.copy()
                given[index] = best + away - self.offset[name]
                other = self._aimed(ranges, held, given)
                pairs = zip(found.off[index + 1 :], other.off[index + 1 :], strict=True)
                if any(then - now > WORTH_DEG for then, now in pairs):
                    aim, found = given, other
        return found

    def _aimed(
        self, ranges: Sequence[AdjusterRange], held: Mapping[str, float], aim: Array
    ) -> Found:
        """Gauss-Newton, each step solved inside the ranges."""
        names = tuple(one.name for one in ranges)
        moved = (*names, *held)
        positions = {**self.base, **held}
        if not names:
            return self.found(moved, positions, self.forward.at([positions])[0])
        box = Box(self, ranges)
        at = box.inside(positions)
        trust = TRUST_MM

        def stood(moved_mm: Array) -> dict[str, float]:
            return {**positions, **box.positions(moved_mm)}

        def cost(angles: Array) -> float:
            return float(np.sum((np.array(self.weights) * (aim - angles[self.rows])) ** 2))

        angles, slopes = self.slopes(at, stood)
        for _ in range(ITERATIONS):
            near = np.maximum(box.low, at - trust), np.minimum(box.high, at + trust)
            right = aim - angles[self.rows] + slopes @ at
            goal = in_order(slopes, right, self.weights, *near)
            far = float(np.max(np.abs(goal - at)))
            try:
                ahead = self.slopes(goal, stood)
            except Unreachable:
                ahead = None
            # Never uphill, else what hardly matters swings to and fro and takes toe along.
            if ahead is None or cost(ahead[0]) > cost(angles) + NO_WORSE:
                trust = far / 3
            else:
                at, (angles, slopes) = goal, ahead
            if far < SETTLED_MM:
                break
        return self.found(moved, stood(at), angles)

    def slopes(self, at: Array, stood: _Stood) -> tuple[Array, Array]:
        """Angles (toe, camber, caster) and slopes of the wanted ones (wanted, unknowns) per mm."""
        steps = DIFFERENCE_MM * np.eye(len(at))
        rows = [stood(at), *(stood(at + sign * step) for step in steps for sign in (1.0, -1.0))]
        angles = self.forward.at(rows)
        slopes = (angles[1::2] - angles[2::2])[:, self.rows] / (2 * DIFFERENCE_MM)
        return angles[0], slopes.T


class Box:
    """Adjusters as unknowns: millimetres moved from where they stood, inside their ranges."""

    def __init__(self, problem: Problem, ranges: Sequence[AdjusterRange]) -> None:
        self.names = tuple(one.name for one in ranges)
        self.scale = np.array([scale_of(name) for name in self.names])
        self.origin = self.scale * np.array([problem.start[name] for name in self.names])
        self.low = self.scale * np.array([one.floor for one in ranges]) - self.origin
        self.high = self.scale * np.array([one.ceiling for one in ranges]) - self.origin

    def inside(self, positions: Mapping[str, float]) -> Array:
        """Where adjusters stand, taken into their ranges."""
        there = np.array([positions[name] for name in self.names])
        inside: Array = np.clip(self.scale * there - self.origin, self.low, self.high)
        return inside

    def positions(self, moved_mm: Array) -> dict[str, float]:
        values = (moved_mm + self.origin) / self.scale
        return dict(zip(self.names, map(float, values), strict=True))


class _Stood(Protocol):
    def __call__(self, moved_mm: Array, /) -> dict[str, float]: ...


def predicted(
    forward: Forward, offset: Mapping[str, float], positions: Mapping[str, float]
) -> dict[str, float]:
    """What the rack should read with the adjusters at ``positions``. Raises Unreachable."""
    return read_as(forward.at([positions])[0], offset)


def read_as(angles: Array, offset: Mapping[str, float]) -> dict[str, float]:
    """What a rack reads where the model has these angles, by quantity."""
    return {
        name: float(angles[index]) + offset[name]
        for index, name in enumerate(QUANTITIES)
        if name in offset and np.isfinite(angles[index])
    }


def best_of(found: Sequence[Found]) -> Found:
    """The one that misses least, by importance; a hundredth of a degree is no difference.

    Of those, the least movement, and inside the tolerances as near to the targets as the
    movement is worth.
    """
    left = list(found)
    for index in range(len(left[0].beyond)):
        least = min(one.beyond[index] for one in left)
        left = [one for one in left if one.beyond[index] <= allowed(least)]
    return min(left, key=lambda one: one.worth)


def allowed(least: float) -> float:
    """How far one may lie outside that is not to be worse than ``least``."""
    return least + 2 * EXACT_DEG if least else 0.0

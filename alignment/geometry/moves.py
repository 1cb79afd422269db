"""Moves: from what a rack read at known adjuster positions to what is wanted.

The model's error at the recorded positions is carried as a constant offset, so that model and
offset together are what the rack read. Adjusters stay inside their ranges and on their steps;
toe comes first, then camber, then caster, then the least movement. All are solved together,
though on the rack toe is set last. Positions in millimetres from the survey pose (degrees for
``knuckle_camber_deg``), angles in degrees, signs as in ``alignment.geometry.readings``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, product
from typing import Protocol

import numpy as np

from alignment.geometry.bounded import in_order
from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable
from alignment.geometry.measured import MeasuredMotion
from alignment.geometry.motion import LinkedMotion, Motion

TOE, CAMBER, CASTER = "toe", "camber", "caster"
#: In the order of their importance.
QUANTITIES = (TOE, CAMBER, CASTER)
#: How heavily each is weighed where not all can be had: a hundredth of a degree of toe counts
#: as much as half a degree of camber, and that as 25 of caster.
WEIGHTS = (2500.0, 50.0, 1.0)
TOE_LINK = "toe_link_mm"

#: An angle this near to its target is there.
EXACT_DEG = 0.005
#: What a later angle must gain for an earlier one to give away ``EXACT_DEG``.
WORTH_DEG = 0.02
#: What may be lost of a later angle by a part that would give an earlier one.
SPOILT_DEG = 0.05
#: A range that nobody knows is taken to end here, and a part that would help must not go further.
FARTHEST_MM = 60.0
#: How much movement one degree at the knuckle's bolts counts as, mm.
KNUCKLE_MM_PER_DEG = 10.0
#: Greatest step of one iteration, the step after which it ends, and that of the slopes, mm.
TRUST_MM, SETTLED_MM, DIFFERENCE_MM = 15.0, 0.01, 0.05
ITERATIONS = 40
#: A step may cost this much: 4e-7° of toe or 2e-5° of camber.
NO_WORSE = 1e-6
#: Sets of more adjusters than this are tried only all together.
MOST_ADJUSTERS = 5


class Forward(Protocol):
    """Angles that follow from adjuster positions."""

    def at(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """Toe, camber and caster (rows, 3), degrees; nan for what it does not know.

        Raises Unreachable for positions that cannot be taken.
        """


class LinkedForward:
    """Angles from the linkage of a corner."""

    def __init__(self, motion: LinkedMotion) -> None:
        self.motion = motion

    def at(self, rows: Sequence[Mapping[str, float]]) -> Array:
        """See Forward."""
        settled = self.motion.stood(rows)
        caster = np.full(len(rows), np.nan) if settled.axis is None else settled.axis.caster
        return np.degrees(np.stack([settled.toe, settled.camber, caster], axis=-1))


def forward_of(motion: Motion) -> LinkedForward | None:
    """What a corner's motion can say about its adjusters; None for measured curves, which
    know none. A bump-steer sheet changes nothing at static height."""
    if isinstance(motion, MeasuredMotion):
        return forward_of(motion.bare)
    return LinkedForward(motion) if isinstance(motion, LinkedMotion) else None


@dataclass(frozen=True)
class Means:
    """An adjuster that may be moved: its range, None where nobody knows it, and its step.

    A ``step`` of 0 is continuous; otherwise positions lie whole steps from ``grid``.
    """

    name: str
    low: float | None = None
    high: float | None = None
    step: float = 0.0
    grid: float = 0.0

    @property
    def floor(self) -> float:
        return -_farthest(self.name) if self.low is None else self.low

    @property
    def ceiling(self) -> float:
        return _farthest(self.name) if self.high is None else self.high


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
    means: tuple[Means, ...]
    after: Mapping[str, float] = field(default_factory=dict)
    possible: tuple[str, ...] = ()


@dataclass(frozen=True)
class Move:
    """One adjuster's move."""

    adjuster: str
    start: float
    end: float

    @property
    def by(self) -> float:
        return self.end - self.start


@dataclass(frozen=True)
class Option:
    """One way: the moves, and what the rack should read after them, by quantity."""

    moves: tuple[Move, ...]
    predicted: Mapping[str, float]
    positions: Mapping[str, float]

    @property
    def means(self) -> tuple[str, ...]:
        """Adjusters that are moved for more than toe."""
        return tuple(move.adjuster for move in self.moves if move.adjuster != TOE_LINK)

    @property
    def movement_mm(self) -> float:
        """Total movement, degrees at the knuckle counted as millimetres."""
        return sum(abs(move.by) * _scale(move.adjuster) for move in self.moves)


@dataclass(frozen=True)
class Help:
    """An adjuster that would give what is missing, and where it would have to stand."""

    adjuster: str
    position: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Missing:
    """A wanted angle that is out of reach: the best that can be had and what would help."""

    quantity: str
    wanted_deg: float
    best_deg: float
    helps: tuple[Help, ...] = ()

    @property
    def missing_deg(self) -> float:
        """What is still to go, wanted less best."""
        return self.wanted_deg - self.best_deg


@dataclass(frozen=True)
class Moves:
    """The answer: ``offset`` is what the rack reads beside the model, by quantity.

    ``options`` are ways with as few adjusters as do it, the least movement first; none of them
    can be left out. ``unknown`` names wanted angles that were not read or cannot be predicted.
    """

    offset: Mapping[str, float]
    options: tuple[Option, ...]
    missing: tuple[Missing, ...] = ()
    unknown: tuple[str, ...] = ()


def moves_for(forward: Forward, task: Task) -> Moves:
    """Moves that bring a corner to its target. Raises Unreachable if the positions that were
    recorded, or those set anyway, cannot be taken."""
    here = forward.at([task.stood])[0]
    offset = {
        name: task.read[name] - float(here[index])
        for index, name in enumerate(QUANTITIES)
        if name in task.read and np.isfinite(here[index])
    }
    known = {name: target for name, target in task.wanted.items() if name in offset}
    unknown = tuple(name for name in QUANTITIES if name in task.wanted and name not in known)
    problem = _Problem(forward, replace(task, wanted=known), offset)
    best, options = _options(problem)
    return Moves(offset, options, _missing(problem, best), unknown)


def predicted(
    forward: Forward, offset: Mapping[str, float], positions: Mapping[str, float]
) -> dict[str, float]:
    """What the rack should read with the adjusters at ``positions``. Raises Unreachable."""
    angles = forward.at([positions])[0]
    return {
        name: float(angles[index]) + offset[name]
        for index, name in enumerate(QUANTITIES)
        if name in offset and np.isfinite(angles[index])
    }


@dataclass(frozen=True)
class _Found:
    """Positions of all adjusters, the angles there, and how far each wanted one is outside."""

    moved: tuple[str, ...]
    positions: Mapping[str, float]
    angles: Mapping[str, float]
    beyond: tuple[float, ...]
    off: tuple[float, ...]
    movement: float


class _Problem:
    """A task made ready to be solved with some of its adjusters."""

    def __init__(self, forward: Forward, task: Task, offset: Mapping[str, float]) -> None:
        self.forward, self.task, self.offset = forward, task, offset
        self.start = {**{means.name: 0.0 for means in task.means}, **task.stood}
        self.base = {**self.start, **task.after}
        self.wanted = [name for name in QUANTITIES if name in task.wanted]
        self.rows = [QUANTITIES.index(name) for name in self.wanted]
        self.aim = np.array([task.wanted[name].deg - offset[name] for name in self.wanted])

    def found(self, moved: tuple[str, ...], positions: Mapping[str, float]) -> _Found:
        angles = predicted(self.forward, self.offset, positions)
        targets = [self.task.wanted[name] for name in self.wanted]
        values = [angles[name] for name in self.wanted]
        return _Found(
            moved,
            positions,
            angles,
            tuple(t.beyond(v) for t, v in zip(targets, values, strict=True)),
            tuple(abs(v - t.deg) for t, v in zip(targets, values, strict=True)),
            sum(abs(positions[name] - self.start[name]) * _scale(name) for name in moved),
        )

    def solve(self, means: Sequence[Means], held: Mapping[str, float] | None = None) -> _Found:
        """The best positions of some adjusters, steps and all; ``held`` stand elsewhere."""
        held = dict(held or {})
        smooth = self._smooth(means, held)
        stepped = [one for one in means if one.step > 0]
        if not stepped:
            return smooth
        # Whole steps around the smooth answer, the toe link after the others have been chosen.
        first = [one for one in stepped if one.name != TOE_LINK] or stepped
        rest = [one for one in means if one not in first]
        tried = []
        for chosen in product(*(_around(one, smooth.positions[one.name]) for one in first)):
            there = dict(zip((one.name for one in first), chosen, strict=True))
            try:
                tried.append(self.solve(rest, {**held, **there}))
            except Unreachable:
                continue
        if not tried:
            return smooth
        return _best_of(tried)

    def _smooth(self, means: Sequence[Means], held: Mapping[str, float]) -> _Found:
        """The same without steps.

        Once an angle is out of reach, its last few thousandths of a degree are given away to
        those that come after it, if that brings them on: nobody would spend a degree of caster
        on them.
        """
        aim = self.aim.copy()
        found = self._aimed(means, held, aim)
        for index, name in enumerate(self.wanted[:-1]):
            if found.beyond[index] > 0 and max(found.off[index + 1 :]) > EXACT_DEG:
                best = found.angles[name]
                away = math.copysign(EXACT_DEG, best - self.task.wanted[name].deg)
                given = aim.copy()
                given[index] = best + away - self.offset[name]
                other = self._aimed(means, held, given)
                pairs = zip(found.off[index + 1 :], other.off[index + 1 :], strict=True)
                if any(then - now > WORTH_DEG for then, now in pairs):
                    aim, found = given, other
        return found

    def _aimed(self, means: Sequence[Means], held: Mapping[str, float], aim: Array) -> _Found:
        """Gauss-Newton, each step solved inside the ranges."""
        names = tuple(one.name for one in means)
        moved = (*names, *held)
        positions = {**self.base, **held}
        if not names:
            return self.found(moved, positions)
        scale = np.array([_scale(name) for name in names])
        origin = scale * np.array([self.start[name] for name in names])
        low = scale * np.array([one.floor for one in means]) - origin
        high = scale * np.array([one.ceiling for one in means]) - origin
        at = np.clip(scale * np.array([positions[n] for n in names]) - origin, low, high)
        trust = TRUST_MM

        def stood(moved_mm: Array) -> dict[str, float]:
            values = (moved_mm + origin) / scale
            return {**positions, **dict(zip(names, map(float, values), strict=True))}

        weights = [WEIGHTS[row] for row in self.rows]

        def cost(angles: Array) -> float:
            return float(np.sum((np.array(weights) * (aim - angles)) ** 2))

        angles, slopes = self._slopes(at, stood)
        for _ in range(ITERATIONS):
            box = np.maximum(low, at - trust), np.minimum(high, at + trust)
            goal = in_order(slopes, aim - angles + slopes @ at, weights, *box)
            far = float(np.max(np.abs(goal - at)))
            try:
                ahead = self._slopes(goal, stood)
            except Unreachable:
                ahead = None
            # Never uphill, else what hardly matters swings to and fro and takes toe along.
            if ahead is None or cost(ahead[0]) > cost(angles) + NO_WORSE:
                trust = far / 3
            else:
                at, (angles, slopes) = goal, ahead
            if far < SETTLED_MM:
                break
        return self.found(moved, stood(at))

    def _slopes(self, at: Array, stood: _Stood) -> tuple[Array, Array]:
        """Angles (wanted,) and their slopes (wanted, unknowns) per millimetre."""
        steps = DIFFERENCE_MM * np.eye(len(at))
        rows = [stood(at), *(stood(at + sign * step) for step in steps for sign in (1.0, -1.0))]
        angles = self.forward.at(rows)[:, self.rows]
        slopes = (angles[1::2] - angles[2::2]) / (2 * DIFFERENCE_MM)
        return angles[0], slopes.T


class _Stood(Protocol):
    def __call__(self, moved_mm: Array, /) -> dict[str, float]: ...


def _options(problem: _Problem) -> tuple[_Found, tuple[Option, ...]]:
    """The best that can be had, and every way to it that moves no adjuster in vain."""
    every = {frozenset(one.name for one in means): means for means in _sets(problem.task.means)}
    found: dict[frozenset[str], _Found] = {}
    for names, means in every.items():
        try:
            found[names] = problem.solve(means)
        except Unreachable:
            if not names:
                raise
    best = _best_of(list(found.values()))
    good = [names for names, one in found.items() if _as_good(one, best)]
    least = [names for names in good if not any(other < names for other in good)]
    ways = sorted((found[names] for names in least), key=lambda one: one.movement)
    return best, tuple(_option(problem, way) for way in ways)


def _sets(means: Sequence[Means]) -> Iterable[tuple[Means, ...]]:
    """Adjusters to try together: none, the toe link alone, and it with every set of others."""
    toe = tuple(one for one in means if one.name == TOE_LINK)
    others = [one for one in means if one.name != TOE_LINK]
    yield ()
    sizes = range(len(others) + 1)
    if len(others) > MOST_ADJUSTERS:
        sizes = range(2)
        yield (*others, *toe)
    for size in sizes:
        for some in combinations(others, size):
            if some or toe:
                yield (*some, *toe)


def _best_of(found: Sequence[_Found]) -> _Found:
    """The one that misses least, by importance; a hundredth of a degree is no difference."""
    left = list(found)
    for index in range(len(left[0].beyond)):
        least = min(one.beyond[index] for one in left)
        left = [one for one in left if one.beyond[index] <= (least + 2 * EXACT_DEG if least else 0)]
    for index in range(len(left[0].off)):
        least = min(one.off[index] for one in left)
        left = [one for one in left if one.off[index] <= least + 2 * EXACT_DEG]
    return min(left, key=lambda one: one.movement)


def _as_good(one: _Found, best: _Found) -> bool:
    pairs = zip(one.beyond, best.beyond, strict=True)
    return all(mine <= (theirs + EXACT_DEG if theirs else 0) for mine, theirs in pairs)


def _option(problem: _Problem, found: _Found) -> Option:
    moves = [Move(name, problem.start[name], found.positions[name]) for name in found.moved]
    moves = [move for move in moves if abs(move.by) > 1e-6]
    moves.sort(key=lambda move: move.adjuster == TOE_LINK)
    return Option(tuple(moves), found.angles, found.positions)


def _missing(problem: _Problem, best: _Found) -> tuple[Missing, ...]:
    return tuple(
        Missing(
            name, problem.task.wanted[name].deg, best.angles[name], _helps(problem, best, index)
        )
        for index, name in enumerate(problem.wanted)
        if best.beyond[index] > 0
    )


def _helps(problem: _Problem, best: _Found, index: int) -> tuple[Help, ...]:
    """Adjusters that would bring the wanted angle and spoil no other."""
    helps = []
    task = problem.task
    for name in task.possible:
        own = next((one for one in task.means if one.name == name), None)
        if own is not None and own.low is None and own.high is None:
            continue
        wider = [one for one in task.means if one.name != name]
        wider.append(Means(name, step=own.step if own else 0.0, grid=own.grid if own else 0.0))
        more = _Problem(
            problem.forward,
            replace(task, means=tuple(wider), stood={name: 0.0, **task.stood}),
            problem.offset,
        )
        try:
            found = more.solve(wider)
        except Unreachable:
            continue
        later = (SPOILT_DEG + one for one in best.beyond[index + 1 :])
        then = (*best.beyond[:index], -EXACT_DEG, *later)
        pairs = zip(found.beyond, then, strict=True)
        if all(mine <= theirs + EXACT_DEG for mine, theirs in pairs):
            low, high = (own.low, own.high) if own else (None, None)
            position = found.positions[name]
            if own is not None and own.floor <= position <= own.ceiling:
                continue
            helps.append((found.movement, Help(name, position, low, high)))
    return tuple(one for _, one in sorted(helps, key=lambda pair: pair[0]))


def _around(means: Means, value: float) -> list[float]:
    """The whole steps on both sides of a value that lie in the range."""
    at = (value - means.grid) / means.step
    steps = {math.floor(at + 1e-9), math.ceil(at - 1e-9)}
    low = math.ceil((means.floor - means.grid) / means.step - 1e-9)
    high = math.floor((means.ceiling - means.grid) / means.step + 1e-9)
    inside = {min(max(step, low), high) for step in steps} if low <= high else set()
    return [means.grid + step * means.step for step in sorted(inside)]


def _scale(name: str) -> float:
    return KNUCKLE_MM_PER_DEG if name.endswith("_deg") else 1.0


def _farthest(name: str) -> float:
    return FARTHEST_MM / _scale(name)

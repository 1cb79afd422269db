"""Adjustments: from what a rack read at known adjuster positions to what is wanted.

The model's error where the adjusters stood is added to all that it says, so that it agrees with the
rack there. Sets of adjusters are tried one after another, the smallest first (enumeration, standard
method); each is solved by ``continuous_solver``. Adjusters stay inside their ranges and on their
steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from alignment.geometry import discrete_search
from alignment.geometry.adjustment_problem import (
    EXACT_DEG,
    QUANTITIES,
    TOE_LINK,
    AdjusterRange,
    Adjustment,
    Adjustments,
    Forward,
    Help,
    Missing,
    Option,
    Task,
)
from alignment.geometry.continuous_solver import Found, Problem, best_of
from alignment.geometry.linkage import Unreachable

#: Kept with moves that were accepted; raised when the same task is answered otherwise.
MOVES_VERSION = "1"
#: What may be lost of a later angle by a part that would give an earlier one.
SPOILT_DEG = 0.05
#: Sets of more adjusters than this are tried only all together.
MOST_ADJUSTERS = 5


def adjustments_for(forward: Forward, task: Task) -> Adjustments:
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
    problem = Problem(forward, replace(task, wanted=known), offset)
    best, options = _options(problem)
    return Adjustments(offset, options, _missing(problem, best), unknown)


def _options(problem: Problem) -> tuple[Found, tuple[Option, ...]]:
    """The best that can be reached, and every option for it that moves no adjuster in vain."""
    found: dict[frozenset[str], Found] = {}
    enough: list[frozenset[str]] = []
    for ranges in _sets(problem.task.ranges):
        names = frozenset(one.name for one in ranges)
        if any(some <= names for some in enough):
            continue  # a smaller set of adjusters reaches the target already
        try:
            found[names] = discrete_search.solve(problem, ranges)
        except Unreachable:
            if not names:
                raise
            continue
        if not any(found[names].beyond):
            enough.append(names)
    best = best_of(list(found.values()))
    good = [names for names, one in found.items() if _as_good(one, best)]
    least = [names for names in good if not any(other < names for other in good)]
    ways = sorted((found[names] for names in least), key=lambda one: one.movement)
    return best, tuple(_option(problem, way) for way in ways)


def _sets(ranges: Sequence[AdjusterRange]) -> Iterable[tuple[AdjusterRange, ...]]:
    """Adjusters to try together: none, the toe link alone, and it with every set of others."""
    toe = tuple(one for one in ranges if one.name == TOE_LINK)
    others = [one for one in ranges if one.name != TOE_LINK]
    yield ()
    sizes = range(len(others) + 1)
    if len(others) > MOST_ADJUSTERS:
        sizes = range(2)
        yield (*others, *toe)
    for size in sizes:
        for some in combinations(others, size):
            if some or toe:
                yield (*some, *toe)


def _as_good(one: Found, best: Found) -> bool:
    pairs = zip(one.beyond, best.beyond, strict=True)
    return all(mine <= (theirs + EXACT_DEG if theirs else 0) for mine, theirs in pairs)


def _option(problem: Problem, found: Found) -> Option:
    adjustments = [
        Adjustment(name, problem.start[name], found.positions[name]) for name in found.moved
    ]
    adjustments = [move for move in adjustments if abs(move.by) > 1e-6]
    adjustments.sort(key=lambda move: move.adjuster == TOE_LINK)
    return Option(tuple(adjustments), found.angles, found.positions)


def _missing(problem: Problem, best: Found) -> tuple[Missing, ...]:
    return tuple(
        Missing(
            name, problem.task.wanted[name].deg, best.angles[name], _helps(problem, best, index)
        )
        for index, name in enumerate(problem.wanted)
        if best.beyond[index] > 0
    )


def _helps(problem: Problem, best: Found, index: int) -> tuple[Help, ...]:
    """Adjusters that would bring the wanted angle and spoil no other."""
    helps = []
    task = problem.task
    for name in task.possible:
        own = next((one for one in task.ranges if one.name == name), None)
        if own is not None and own.low is None and own.high is None:
            continue
        wider = [one for one in task.ranges if one.name != name]
        wider.append(
            AdjusterRange(name, step=own.step if own else 0.0, grid=own.grid if own else 0.0)
        )
        more = Problem(
            problem.forward,
            replace(task, ranges=tuple(wider), stood={name: 0.0, **task.stood}),
            problem.offset,
        )
        try:
            found = discrete_search.solve(more, wider)
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

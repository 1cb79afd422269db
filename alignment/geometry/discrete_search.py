"""Adjusters that stand on steps only, several of them together.

Enumeration (standard method): every combination of steps is tried, within ranges or, where that
would be too many, around the answer without steps. All are judged at once: continuous adjusters,
the toe link last among them, are settled for each combination by Newton's method with the slopes of
one place. The few that are best are solved exactly.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from alignment.geometry.adjustment_problem import EXACT_DEG, TOE_LINK, AdjusterRange, scale_of
from alignment.geometry.continuous_solver import OUTSIDE_MM, Box, Found, Problem, allowed, best_of
from alignment.geometry.frames import Array, Flags
from alignment.geometry.linkage import Unreachable
from common.message import message

#: Combinations that are tried at most, and how many of them are solved exactly.
MOST_TRIED, FINALISTS = 2000, 8
#: Steps to either side of the answer without steps, where not all can be tried.
WINDOWS = (12, 8, 5, 3, 2, 1, 0)
#: Rounds in which continuous adjusters are settled, and the move (mm) after which they are.
ROUNDS, SETTLED_MM = 8, 0.005
#: What the settled angles may be off by, degrees.
ROUGH_DEG = 1e-3
#: Weight that keeps unknowns still which no angle needs.
STILL = 1e-3


def solve(problem: Problem, ranges: Sequence[AdjusterRange]) -> Found:
    """The best positions of some adjusters, those with steps on their steps."""
    smooth = problem.smooth(ranges, {})
    stepped = [one for one in ranges if one.step > 0]
    if not stepped:
        return smooth
    rest = [one for one in ranges if not one.step > 0]
    tried = []
    for there in _finalists(problem, ranges, smooth):
        try:
            tried.append(problem.smooth(rest, there))
        except Unreachable:
            continue
    if not tried:
        raise Unreachable(message("stop.no-steps"))
    return best_of(tried)


def _finalists(
    problem: Problem, ranges: Sequence[AdjusterRange], smooth: Found
) -> list[dict[str, float]]:
    """The combinations of steps that promise most."""
    first = [one for one in ranges if one.step > 0 and one.name != TOE_LINK]
    free = [one for one in ranges if one not in first]
    link = next((one for one in free if one.step > 0), None)
    rows = _Rows.of(problem, smooth, [one.name for one in first], _choices(problem, first, smooth))
    rows.settle(free)
    if link is not None:  # on both sides of where the toe would be met
        rows = rows.beside(link)
        rows.settle([one for one in free if one is not link])
        first = [*first, link]
    names = [one.name for one in first]
    return [{name: float(rows.at[name][row]) for name in names} for row in rows.best(ranges)]


def _choices(problem: Problem, ranges: Sequence[AdjusterRange], smooth: Found) -> list[list[float]]:
    """The positions that each adjuster is tried at: all, or those around the smooth answer."""
    for window in (None, *WINDOWS):
        choices = [_around(problem, one, smooth.positions[one.name], window) for one in ranges]
        if math.prod(len(some) for some in choices) <= MOST_TRIED:
            return choices
    return [some[:1] for some in choices]


def _around(problem: Problem, each: AdjusterRange, value: float, window: int | None) -> list[float]:
    """Whole steps inside the range, with a ``window`` no more than so many beyond those on both
    sides of a value; where the adjuster stood if its range holds no step."""
    at = (value - each.grid) / each.step
    low = math.ceil((each.floor - each.grid) / each.step - 1e-9)
    high = math.floor((each.ceiling - each.grid) / each.step + 1e-9)
    if low > high:
        return [problem.start[each.name]]
    if window is not None:
        below, above = math.floor(at + 1e-9), math.ceil(at - 1e-9)
        low, high = max(low, min(below - window, high)), min(high, max(above + window, low))
    return [each.grid + step * each.step for step in range(low, high + 1)]


@dataclass
class _Rows:
    """Many combinations at once: by adjuster the positions (rows,), the angles of the model
    (rows, wanted)."""

    problem: Problem
    smooth: Found
    at: dict[str, Array]
    angles: Array

    @classmethod
    def of(
        cls,
        problem: Problem,
        smooth: Found,
        names: Sequence[str],
        choices: Sequence[Sequence[float]],
    ) -> _Rows:
        every = list(product(*choices))
        grid = np.array(every, float).reshape(len(every), len(names))
        at = {name: np.full(len(grid), value) for name, value in smooth.positions.items()}
        at |= {name: grid[:, column] for column, name in enumerate(names)}
        return cls(problem, smooth, at, np.empty((len(grid), 0)))

    def beside(self, link: AdjusterRange) -> _Rows:
        """Each row twice, with the link on the steps to both sides of where it stands."""
        steps = (self.at[link.name] - link.grid) / link.step
        low = math.ceil((link.floor - link.grid) / link.step - 1e-9)
        high = math.floor((link.ceiling - link.grid) / link.step + 1e-9)
        sides = [np.floor(steps + 1e-9), np.ceil(steps - 1e-9)]
        at = {name: np.tile(values, 2) for name, values in self.at.items()}
        if low <= high:
            at[link.name] = link.grid + link.step * np.clip(np.concatenate(sides), low, high)
        else:
            at[link.name] = np.full_like(at[link.name], self.problem.start[link.name])
        return _Rows(self.problem, self.smooth, at, self.angles)

    def settle(self, free: Sequence[AdjusterRange]) -> None:
        """Move the free adjusters to where the angles are met best in every row."""
        box = Box(self.problem, free)
        self._measure()
        if not free:
            return
        start = box.inside(self.smooth.positions)
        _, slopes = self.problem.slopes(
            start, lambda moved: {**self.smooth.positions, **box.positions(moved)}
        )
        weights = np.array(self.problem.weights)[:, None]
        for _ in range(ROUNDS):
            moved = np.stack([self.at[name] for name in box.names], axis=-1) * box.scale
            moved = moved - box.origin
            right = self.problem.aim - self.angles + moved @ slopes.T
            goal = _bounded(weights * slopes, weights[:, 0] * right, box.low, box.high)
            for column, name in enumerate(box.names):
                self.at[name] = (goal[:, column] + box.origin[column]) / box.scale[column]
            self._measure()
            if np.max(np.abs(goal - moved), initial=0.0) < SETTLED_MM:
                break

    def _measure(self) -> None:
        """Take the angles; combinations that the linkage cannot take are left out."""
        names = list(self.at)
        columns = np.stack([self.at[name] for name in names], axis=-1)
        rows = [dict(zip(names, map(float, row), strict=True)) for row in columns]
        angles = self.problem.forward.at_many(rows)[:, self.problem.rows]
        taken = np.all(np.isfinite(angles), axis=1)
        self.angles = angles[taken]
        if not np.all(taken):
            self.at = {name: values[taken] for name, values in self.at.items()}

    def best(self, ranges: Sequence[AdjusterRange]) -> list[int]:
        """The rows that ``best_of`` might choose, the most promising first."""
        targets = self.problem.targets
        off = np.abs(self.angles - self.problem.aim)
        limits = np.array([max(target.tolerance_deg, EXACT_DEG) for target in targets])
        beyond = np.maximum(off - limits, 0.0)
        movement = sum(
            np.abs(self.at[one.name] - self.problem.start[one.name]) * scale_of(one.name)
            for one in ranges
        )
        worth = movement + off @ self.problem.worths + OUTSIDE_MM * np.sum(beyond, axis=1)
        order = np.argsort(worth, kind="stable")
        # Whether a target is just met or just missed cannot be told here: both are looked at.
        found = [_keep(beyond, just_met) for just_met in (True, False)]
        return list(
            dict.fromkeys(int(row) for keep in found for row in order[keep[order]][:FINALISTS])
        )


def _keep(beyond: Array, just_met: bool) -> Flags:
    """Rows that miss no more than is allowed, by importance."""
    keep = np.ones(len(beyond), bool)
    for column in range(beyond.shape[1]):
        least = float(np.min(beyond[keep, column], initial=np.inf))
        if just_met and least <= ROUGH_DEG:
            least = 0.0
        keep &= beyond[:, column] <= allowed(least) + ROUGH_DEG
    return keep


def _bounded(matrix: Array, right: Array, low: Array, high: Array) -> Array:
    """For each row of ``right`` (n, m) the x (n, k) in ``low``..``high`` that makes
    ``matrix @ x - right`` shortest: of all ways to hold some unknowns at their bounds, the best
    that stays inside."""
    count, unknowns = len(right), len(low)
    matrix = np.vstack([matrix, STILL * np.eye(unknowns)])
    right = np.hstack([right, np.zeros((count, unknowns))])
    best, least = np.full((count, unknowns), np.nan), np.full(count, np.inf)
    for held in product((0, -1, 1), repeat=unknowns):
        side = np.array(held)
        free = side == 0
        x = np.tile(np.where(side < 0, low, high), (count, 1))
        if np.any(free):
            rest = right - x[:, ~free] @ matrix[:, ~free].T
            x[:, free] = rest @ np.linalg.pinv(matrix[:, free]).T
        inside = np.all((x >= low - 1e-9) & (x <= high + 1e-9), axis=1)
        cost = np.sum((x @ matrix.T - right) ** 2, axis=1)
        better = inside & (cost < least)
        best[better], least[better] = x[better], cost[better]
    return best

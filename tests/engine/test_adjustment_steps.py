"""Several adjusters on steps: no combination of steps is better than the one that is found.

Every combination is put through the linkage by another way than the search takes: the toe link
is solved from the toe (and a continuous means from the camber), not the angles from positions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
import pytest

from alignment.geometry import discrete_search
from alignment.geometry.adjustment_problem import (
    CAMBER,
    CASTER,
    QUANTITIES,
    TOE,
    TOE_LINK,
    AdjusterRange,
    LinkedForward,
    Target,
    Task,
    scale_of,
)
from alignment.geometry.adjustments import adjustments_for
from alignment.geometry.continuous_solver import OUTSIDE_MM, WORTH_MM, Found, Problem, allowed
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import ADJUSTERS, LINKS, STRUT, WISHBONES, Adjusters, Planned
from alignment.geometry.motion import LinkedMotion, motion_of
from tests.engine.random_corners import random_check, the_corner
from tests.nights import day_and_night

SEEDS = 36
LINK = AdjusterRange(TOE_LINK, -40.0, 40.0)
#: Two ways of solving the same linkage agree to this, degrees, and movement and worth to this, mm.
NEAR_DEG, NEAR_MM = 1e-3, 0.1


@dataclass(frozen=True)
class Case:
    motion: LinkedMotion
    task: Task
    offset: Mapping[str, float]

    @property
    def problem(self) -> Problem:
        return Problem(LinkedForward(self.motion), self.task, self.offset)


def a_case(seed: int, *, tolerance: float, most: int = 400) -> Case:
    """A corner that reads wrong by a constant, with two to four adjusters on steps."""
    rng = np.random.default_rng([21, seed])
    kind = (STRUT, WISHBONES, LINKS)[seed % 3]
    corner = the_corner(random_check(seed, kind=kind))
    motion = motion_of(corner.suspension, corner.survey.camber_deg, corner.survey.toe_deg)
    assert isinstance(motion, LinkedMotion)
    names = [
        name
        for name, kinds in ADJUSTERS.items()
        if kind in kinds and name not in ("ride_height_mm", "bump_stop_mm", TOE_LINK)
    ]
    names += [f"rod:{rod.name}" for rod in corner.suspension.links if not rod.toe]
    count = min(len(names), 2 + seed // 3 % 3)
    chosen = [str(name) for name in rng.choice(names, count, replace=False)]
    each = int(most ** (1 / count))
    wide = 30.0 / each
    ranges, stood = [], {}
    for name in chosen:
        step = float(rng.choice([0.3, 0.6, 1.0])) * wide / scale_of(name)
        below = int(rng.integers(0, each // 2 + 1))
        start = int(rng.integers(-below, each - below))
        stood[name] = 0.25 / scale_of(name) + start * step
        low, high = stood[name] - (start + below + 0.4) * step, None
        high = low + (each - 0.2) * step
        ranges.append(AdjusterRange(name, low, high, step, stood[name]))
    read = LinkedForward(motion).at([stood])[0] + rng.uniform([-0.3, -0.8, -1], [0.3, 0.8, 1])
    by = {name: float(v) for name, v in zip(QUANTITIES, read, strict=True) if np.isfinite(v)}
    wanted = {
        TOE: Target(float(rng.uniform(-0.1, 0.2)), 0.3 * tolerance),
        CAMBER: Target(by[CAMBER] + float(rng.uniform(-2.0, 1.0)), tolerance),
    }
    if CASTER in by and rng.random() < 0.6:
        wanted[CASTER] = Target(by[CASTER] + float(rng.uniform(-0.8, 0.8)), 2 * tolerance)
    here = LinkedForward(motion).at([stood])[0]
    offset = {name: by[name] - float(here[QUANTITIES.index(name)]) for name in by}
    return Case(motion, Task(stood, by, wanted, (*ranges, LINK)), offset)


def on_steps(each: AdjusterRange) -> list[float]:
    """All positions of an adjuster inside its range, counted out from its grid."""
    found, at = [], each.grid
    while at - each.step >= each.floor - 1e-9:
        at -= each.step
    while at <= each.ceiling + 1e-9:
        if at >= each.floor - 1e-9:
            found.append(at)
        at += each.step
    return found


def settled(
    case: Case, rows: Sequence[Mapping[str, float]], toe: float, camber: tuple[str, float] | None
) -> list[tuple[float, float, Mapping[str, float]] | None]:
    """Camber, caster and solved adjusters of each row, None where the linkage ends."""
    plans = []
    for row in rows:
        rods = {name[4:]: at for name, at in row.items() if name.startswith("rod:")}
        plain = {name: at for name, at in row.items() if name in ADJUSTERS}
        plans.append(
            Planned(
                toe,
                camber_deg=camber[1] if camber else None,
                camber_by=camber[0] if camber else None,
                adjusters=Adjusters(**plain, rods_mm=rods),
            )
        )
    try:
        here = case.motion.settle(plans)
    except Unreachable:
        if len(rows) == 1:
            return [None]
        half = len(rows) // 2
        return settled(case, rows[:half], toe, camber) + settled(case, rows[half:], toe, camber)
    axis = here.axis
    caster = np.full(len(rows), np.nan) if axis is None else np.degrees(axis.caster)
    return [
        (
            float(np.degrees(here.camber[row])),
            float(caster[row]),
            {name: float(values[row]) for name, values in here.adjust.items()},
        )
        for row in range(len(rows))
    ]


def judged(case: Case, angles: Mapping[str, float], at: Mapping[str, float]) -> dict[str, Any]:
    """What a combination misses, by importance, and what it is worth."""
    targets = [(name, case.task.wanted[name]) for name in QUANTITIES if name in case.task.wanted]
    beyond = [target.beyond(angles[name] + case.offset[name]) for name, target in targets]
    left = sum(
        WORTH_MM[name] * abs(angles[name] + case.offset[name] - target.deg)
        for name, target in targets
    )
    start = {**{one.name: 0.0 for one in case.task.ranges}, **case.task.stood}
    movement = sum(
        abs(at[one.name] - start[one.name]) * scale_of(one.name) for one in case.task.ranges
    )
    return {"beyond": beyond, "worth": movement + left + OUTSIDE_MM * sum(beyond), "at": dict(at)}


def brute(case: Case, choices: Mapping[str, Sequence[float]]) -> list[dict[str, Any]]:
    """Every combination with its toe met exactly; those whose link runs out are left out."""
    rows = [dict(zip(choices, combo, strict=True)) for combo in product(*choices.values())]
    toe = case.task.wanted[TOE].deg - case.offset[TOE]
    found = []
    for row, one in zip(rows, settled(case, rows, toe, None), strict=True):
        if one is None or not LINK.floor <= one[2][TOE_LINK] <= LINK.ceiling:
            continue
        angles = {TOE: toe, CAMBER: one[0], CASTER: one[1]}
        found.append(judged(case, angles, {**row, TOE_LINK: one[2][TOE_LINK]}))
    return found


def best(every: Sequence[dict[str, Any]]) -> dict[str, Any]:
    left = list(every)
    for index in range(len(left[0]["beyond"])):
        least = min(one["beyond"][index] for one in left)
        left = [one for one in left if one["beyond"][index] <= allowed(least)]
    return min(left, key=lambda one: one["worth"])


def assert_none_better(found: Found, every: Sequence[dict[str, Any]]) -> None:
    """By importance nothing misses less, and of the equals nothing is worth less movement."""
    theirs = best(every)
    for mine, its in zip(found.beyond, theirs["beyond"], strict=True):
        if mine < its - NEAR_DEG:
            break  # better where it matters more
        assert mine <= allowed(its) + NEAR_DEG
    else:
        assert found.worth <= theirs["worth"] + NEAR_MM


#: By day every kind of suspension with two, three and four adjusters, with tolerances and without.
@pytest.mark.parametrize("seed", day_and_night(range(18), range(SEEDS)))
def test_no_combination_of_all_steps_is_better(seed: int) -> None:
    case = a_case(seed, tolerance=0.1 if seed % 2 else 0.0, most=1000)
    stepped = [one for one in case.task.ranges if one.step]
    found = discrete_search.solve(case.problem, case.task.ranges)
    choices = {one.name: on_steps(one) for one in stepped}
    for name, places in choices.items():
        assert min(abs(found.positions[name] - place) for place in places) < 1e-9
    every = brute(case, choices)
    assert_none_better(found, every)
    answer = adjustments_for(LinkedForward(case.motion), case.task)
    least = best(every)["beyond"]
    for name, beyond in zip([n for n in QUANTITIES if n in case.task.wanted], least, strict=True):
        if not beyond:
            continue
        missed = {one.quantity for one in answer.missing}
        assert name in missed
        break


@pytest.mark.parametrize("seed", range(0, SEEDS, 2))
def test_what_is_too_much_to_try_is_tried_within_two_steps(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = a_case(seed, tolerance=0.1)
    stepped = [one for one in case.task.ranges if one.step]
    monkeypatch.setattr(discrete_search, "MOST_TRIED", 6 ** len(stepped))
    found = discrete_search.solve(case.problem, case.task.ranges)
    smooth = case.problem.smooth(case.task.ranges, {})
    near = {
        one.name: [
            at for at in on_steps(one) if abs(at - smooth.positions[one.name]) <= 2 * one.step
        ]
        for one in stepped
    }
    assert_none_better(found, brute(case, near))


@pytest.mark.parametrize("seed", range(0, 24, 3))
def test_a_continuous_adjuster_between_stepped_ones_is_settled_again(seed: int) -> None:
    """Shims and a slot for caster on steps, the mount's way inboard anywhere."""
    case = a_case(seed, tolerance=0.05)
    rng = np.random.default_rng([22, seed])
    stood = {"lower_arm_out_mm": 1.0, "top_mount_back_mm": 0.5}
    ranges = (
        AdjusterRange("lower_arm_out_mm", 0.0, 9.0, 1.5, 1.0),
        AdjusterRange("top_mount_back_mm", -8.0, 8.0, 2.0, 0.5),
        AdjusterRange("top_mount_in_mm", -3.0, 4.0),
        LINK,
    )
    here = LinkedForward(case.motion).at([stood])[0]
    read = {name: float(here[i]) + case.offset[name] for i, name in enumerate(QUANTITIES)}
    wanted = {
        TOE: Target(0.05, 0.03),
        CAMBER: Target(read[CAMBER] - float(rng.uniform(0.2, 1.6)), 0.05),
        CASTER: Target(read[CASTER] + float(rng.uniform(-0.6, 0.6)), 0.1),
    }
    case = Case(case.motion, Task(stood, read, wanted, ranges), case.offset)
    found = discrete_search.solve(case.problem, ranges)
    assert_none_better(found, brute_with_mount(case, ranges))


def brute_with_mount(case: Case, ranges: Sequence[AdjusterRange]) -> list[dict[str, Any]]:
    """The mount goes where it meets the camber, or to the end of its range."""
    shims, back, mount, _ = ranges
    rows = [{shims.name: a, back.name: b} for a, b in product(on_steps(shims), on_steps(back))]
    toe = case.task.wanted[TOE].deg - case.offset[TOE]
    camber = case.task.wanted[CAMBER].deg - case.offset[CAMBER]
    found = []
    for row, one in zip(rows, settled(case, rows, toe, ("top_mount", camber)), strict=True):
        assert one is not None
        at = min(max(one[2][mount.name], mount.floor), mount.ceiling)
        row = {**row, mount.name: at}
        (there,) = settled(case, [row], toe, None)
        assert there is not None
        angles = {TOE: toe, CAMBER: there[0], CASTER: there[1]}
        found.append(judged(case, angles, {**row, TOE_LINK: there[2][TOE_LINK]}))
    return found


def test_a_link_on_steps_and_shims_are_tried_together() -> None:
    """With a coarse thread the toe decides which shims are taken."""
    tried = 0
    for seed in range(0, 30, 2):
        case = a_case(seed, tolerance=0.1, most=60)
        link = AdjusterRange(TOE_LINK, -12.0, 12.0, 0.5, 0.1)
        stood = {**case.task.stood, TOE_LINK: 0.1}
        ranges = (*(one for one in case.task.ranges if one.step), link)
        here = LinkedForward(case.motion).at([stood])[0]
        offset = {n: v - float(here[QUANTITIES.index(n)]) for n, v in case.task.read.items()}
        case = Case(case.motion, Task(stood, case.task.read, case.task.wanted, ranges), offset)
        found = discrete_search.solve(case.problem, ranges)
        choices = {one.name: on_steps(one) for one in ranges}
        rows = [dict(zip(choices, combo, strict=True)) for combo in product(*choices.values())]
        angles = LinkedForward(case.motion).at([{**case.problem.base, **row} for row in rows])
        every = [
            judged(case, dict(zip(QUANTITIES, map(float, here), strict=True)), row)
            for row, here in zip(rows, angles, strict=True)
        ]
        assert_none_better(found, every)
        tried += len(every)
    assert tried > 10_000

"""Moves on 200 random corners: what is predicted is reached, and a refusal is right.

Each simulated car is a corner's model that reads wrong by a random constant, as a real car
does. The moves are put through the kinematic solver by another way than they were found (the
toe link is solved from the toe, not the toe from the link), and wherever something is called
out of reach, scipy's optimiser tries again with every adjuster it may use.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache

import numpy as np
import pytest
import scipy

from alignment.geometry.adjustment_problem import (
    CAMBER,
    CASTER,
    QUANTITIES,
    TOE,
    TOE_LINK,
    AdjusterRange,
    Adjustments,
    LinkedForward,
    Option,
    Target,
    Task,
)
from alignment.geometry.adjustments import adjustments_for
from alignment.geometry.bounded_least_squares import in_order
from alignment.geometry.bounded_least_squares import least_squares as bounded
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import ADJUSTERS, LINKS, STRUT, WISHBONES, Adjusters, Planned
from alignment.geometry.motion import LinkedMotion, motion_of
from tests.engine.random_corners import random_check, the_corner
from tests.nights import NIGHTLY, day_and_night

#: Random cars of a day, every third of a kind, and of day and night.
BY_DAY, CORNERS = range(60), range(200)
#: What a prediction may be off by, degrees.
NEAR_DEG = 0.01
#: How heavily the optimiser is held to what matters more than the angle that it tries for.
KEPT = 100.0
HEIGHTS = ("ride_height_mm", "bump_stop_mm")


@cache
def simulated(seed: int) -> tuple[LinkedMotion, Task, Adjustments]:
    """A car that reads wrong by a constant, at adjusters that stand anywhere, and its moves."""
    rng = np.random.default_rng([8, seed])
    kind = (STRUT, WISHBONES, LINKS)[seed % 3]
    corner = the_corner(random_check(seed, kind=kind))
    motion = motion_of(corner.suspension, corner.survey.camber_deg, corner.survey.toe_deg)
    assert isinstance(motion, LinkedMotion)
    names = [name for name, kinds in ADJUSTERS.items() if kind in kinds and name not in HEIGHTS]
    names += [f"rod:{rod.name}" for rod in corner.suspension.links if not rod.toe]
    scale = {name: 0.1 if name.endswith("_deg") else 1.0 for name in names}
    stood = {name: float(scale[name] * rng.uniform(-3, 3)) for name in names if rng.random() < 0.6}
    stood["ride_height_mm"] = float(rng.uniform(-25, 5))
    read = LinkedForward(motion).at([stood])[0] + rng.uniform([-0.3, -0.8, -1], [0.3, 0.8, 1])
    by = {name: float(v) for name, v in zip(QUANTITIES, read, strict=True) if np.isfinite(v)}
    wanted = {
        TOE: Target(float(rng.uniform(-0.1, 0.2))),
        CAMBER: Target(by[CAMBER] + float(rng.uniform(-2.0, 0.8))),
    }
    if CASTER in by and rng.random() < 0.5:
        wanted[CASTER] = Target(by[CASTER] + float(rng.uniform(-0.8, 0.8)))
    allowed = [name for name in names if name == TOE_LINK or rng.random() < 0.6]
    wide = 14.0 if rng.random() < 0.6 else 5.0
    ranges = tuple(
        AdjusterRange(
            name,
            min(stood.get(name, 0.0), -scale[name] * float(rng.uniform(0.3, 1) * wide)),
            max(stood.get(name, 0.0), scale[name] * float(rng.uniform(0.3, 1) * wide)),
        )
        for name in allowed
    )
    after = {"ride_height_mm": stood["ride_height_mm"] + float(rng.choice([0.0, -15.0]))}
    task = Task(stood, by, wanted, ranges, after, tuple(names))
    return motion, task, adjustments_for(LinkedForward(motion), task)


def settled(motion: LinkedMotion, option: Option, toe_deg: float) -> tuple[float, ...]:
    """Camber, caster and the toe link, once the toe is set with all else where it was moved."""
    plain = {k: v for k, v in option.positions.items() if k in ADJUSTERS and k != TOE_LINK}
    rods = {k[4:]: v for k, v in option.positions.items() if k.startswith("rod:")}
    here = motion.settle([Planned(toe_deg, adjusters=Adjusters(**plain, rods_mm=rods))])
    caster = np.nan if here.axis is None else float(np.degrees(here.axis.caster[0]))
    return float(np.degrees(here.camber[0])), caster, float(here.adjust[TOE_LINK][0])


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, CORNERS))
def test_moves_put_through_the_solver_give_what_was_predicted(seed: int) -> None:
    motion, task, answer = simulated(seed)
    assert answer.options
    for option in answer.options:
        offset = answer.offset
        camber, caster, link = settled(motion, option, option.predicted[TOE] - offset[TOE])
        assert camber + offset[CAMBER] == pytest.approx(option.predicted[CAMBER], abs=NEAR_DEG / 10)
        assert link == pytest.approx(option.positions.get(TOE_LINK, 0.0), abs=0.01)
        if CASTER in option.predicted:
            assert caster + offset[CASTER] == pytest.approx(
                option.predicted[CASTER], abs=NEAR_DEG / 10
            )
        for each in task.ranges:
            at = option.positions[each.name]
            assert each.floor - 1e-9 <= at <= each.ceiling + 1e-9
        out = {missing.quantity for missing in answer.missing}
        for name, target in task.wanted.items():
            if name not in out:
                assert abs(option.predicted[name] - target.deg) < NEAR_DEG


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, CORNERS))
def test_a_refusal_stands_against_an_optimiser_that_may_use_everything(seed: int) -> None:
    motion, task, answer = simulated(seed)
    best = answer.options[0].predicted
    held: dict[str, float] = {}
    missing = {one.quantity: one for one in answer.missing}
    for name in (name for name in QUANTITIES if name in task.wanted):
        if name in missing:
            theirs = optimised(motion, task, answer.offset, held, name)
            ours = abs(missing[name].best_deg - task.wanted[name].deg)
            assert ours <= theirs + NEAR_DEG
        held[name] = best[name]


def optimised(
    motion: LinkedMotion,
    task: Task,
    offset: Mapping[str, float],
    held: Mapping[str, float],
    name: str,
) -> float:
    """How near scipy comes to one target with all means, while ``held`` stay as they are."""
    forward = LinkedForward(motion)
    low = np.array([each.floor for each in task.ranges])
    high = np.array([each.ceiling for each in task.ranges])
    base = {**task.stood, **task.after}
    steps = 1e-3 * np.eye(len(low))

    @lru_cache(maxsize=1)
    def off(there: tuple[float, ...]) -> tuple[np.ndarray, np.ndarray]:
        """How far a place is off, and the slopes of that, in one batch."""
        x = np.array(there)
        rows = np.vstack([x, x + steps, x - steps])
        stood = [{m.name: float(v) for m, v in zip(task.ranges, row, strict=True)} for row in rows]
        try:
            angles = forward.at([{**base, **one} for one in stood])
        except Unreachable:
            return np.full(len(held) + 1, 1e3), np.zeros((len(held) + 1, len(x)))
        read = {q: angles[:, i] + offset[q] for i, q in enumerate(QUANTITIES) if q in offset}
        kept = [KEPT * (read[q] - value) for q, value in held.items()]
        away = np.stack([*kept, read[name] - task.wanted[name].deg], axis=-1)
        ahead, behind = away[1 : len(x) + 1], away[len(x) + 1 :]
        return away[0], (ahead - behind).T / 2e-3

    found = []
    for share in (0.5, 0.1):
        result = scipy.optimize.least_squares(
            lambda x: off(tuple(x))[0],
            low + share * (high - low),
            jac=lambda x: off(tuple(x))[1],
            bounds=(low, high),
            max_nfev=80,
        )
        if all(abs(part) < KEPT * 1e-3 for part in result.fun[:-1]):  # within a thousandth
            found.append(abs(float(result.fun[-1])))
    return min(found, default=np.inf)


@pytest.mark.parametrize(
    "seeds", [pytest.param(BY_DAY, id="day"), pytest.param(CORNERS, id="night", marks=NIGHTLY)]
)
def test_enough_of_the_random_cars_are_reached_and_enough_are_refused(seeds: range) -> None:
    answers = [simulated(seed)[2] for seed in seeds]
    refused = [answer for answer in answers if answer.missing]
    assert len(seeds) // 5 < len(refused) < 4 * len(seeds) // 5
    assert sum(len(answer.options) > 1 for answer in answers) > len(seeds) // 10


@pytest.mark.parametrize("seed", BY_DAY)
def test_what_is_said_to_help_does_help(seed: int) -> None:
    motion, task, answer = simulated(seed)
    for missing in answer.missing:
        for one in missing.helps:
            rest = tuple(each for each in task.ranges if each.name != one.adjuster)
            wider = AdjusterRange(one.adjuster, one.position - 0.05, one.position + 0.05)
            again = Task(task.stood, task.read, task.wanted, (*rest, wider), task.after)
            still = adjustments_for(LinkedForward(motion), again).missing
            assert missing.quantity not in {gap.quantity for gap in still}


@pytest.mark.parametrize("seed", range(30))
def test_bounded_least_squares_agrees_with_scipy(seed: int) -> None:
    from scipy.optimize import lsq_linear

    rng = np.random.default_rng(seed)
    n = int(rng.integers(1, 6))
    matrix, right = rng.normal(size=(n + 2, n)), rng.normal(size=n + 2)
    low = -rng.uniform(0, 0.6, n)
    high = rng.uniform(0, 0.6, n)
    theirs = lsq_linear(matrix, right, (low, high), tol=1e-14).x
    assert bounded(matrix, right, low, high) == pytest.approx(theirs, abs=1e-6)


def test_the_heavy_row_is_met_before_the_light_one() -> None:
    rows = np.array([[1.0, 0.5], [1.0, 0.6]])
    box = np.full(2, -2.0), np.full(2, 2.0)
    found = in_order(rows, np.array([1.0, 5.0]), (1e4, 1.0), *box)
    assert rows[0] @ found == pytest.approx(1.0, abs=1e-5)
    assert found[1] == pytest.approx(2.0, abs=1e-5)

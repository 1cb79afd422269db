"""Moves: steps, priorities, ranges, what is carried along, and what visits can teach."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from alignment.geometry.adjustment_problem import (
    CAMBER,
    CASTER,
    QUANTITIES,
    TOE,
    TOE_LINK,
    AdjusterRange,
    Adjustments,
    LinkedForward,
    Target,
    Task,
    forward_of,
)
from alignment.geometry.adjustments import adjustments_for
from alignment.geometry.continuous_solver import predicted
from alignment.geometry.empirical_response import Change, Learned, TooLittle, learn
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import (
    CURVES,
    STRUT,
    WISHBONES,
    MeasuredTravel,
    Suspension,
    TravelReading,
)
from alignment.geometry.motion import motion_of
from fitment.engine.minimum.setting import motion_for
from tests.engine.random_corners import STRUT_JOINTS, random_check, the_corner

TYPICAL = Suspension(STRUT, joints={name: at for name, (at, _) in STRUT_JOINTS.items()})
MOUNT = AdjusterRange("top_mount_in_mm", 0.0, 12.0)
SHIMS = AdjusterRange("lower_arm_out_mm", 0.0, 18.0)
LINK = AdjusterRange(TOE_LINK, -14.0, 14.0)
POSSIBLE = ("top_mount_in_mm", "top_mount_back_mm", "lower_arm_out_mm", "knuckle_camber_deg")


def strut() -> LinkedForward:
    forward = forward_of(motion_of(TYPICAL, -1.0, 0.1))
    assert forward is not None
    return forward


def solved(
    *ranges: AdjusterRange, camber: float = -2.0, toe: float = 0.05, **values: Any
) -> Adjustments:
    task = Task(
        stood=values.pop("stood", {}),
        read=values.pop("read", {TOE: 0.2, CAMBER: -0.8, CASTER: 5.0}),
        wanted=values.pop("wanted", {TOE: Target(toe, 0.03), CAMBER: Target(camber, 0.1)}),
        ranges=ranges,
        possible=(*POSSIBLE, TOE_LINK),
        **values,
    )
    return adjustments_for(strut(), task)


def test_two_methods_for_one_camber_are_two_options_and_neither_moves_the_other() -> None:
    answer = solved(MOUNT, SHIMS, LINK, camber=-1.6)
    assert [option.camber_method for option in answer.options] == [
        ("top_mount_in_mm",),
        ("lower_arm_out_mm",),
    ]
    for option in answer.options:
        assert option.predicted[CAMBER] == pytest.approx(-1.6, abs=1e-6)
        assert option.predicted[TOE] == pytest.approx(0.05, abs=1e-6)
        assert option.adjustments[-1].adjuster == TOE_LINK
    assert not answer.missing


def test_the_model_s_error_is_carried_as_a_constant() -> None:
    answer = solved(MOUNT, LINK, stood={"top_mount_in_mm": 3.0})
    model = strut().at([{"top_mount_in_mm": 3.0}])[0]
    assert answer.offset[CAMBER] == pytest.approx(-0.8 - model[1])
    again = predicted(strut(), answer.offset, answer.options[0].positions)
    assert again == pytest.approx(dict(answer.options[0].predicted))
    assert answer.options[0].adjustments[0].start == 3.0


def test_what_is_inside_its_tolerance_is_left_alone() -> None:
    near = {TOE: 0.06, CAMBER: -1.95, CASTER: 5.0}
    answer = solved(MOUNT, LINK, read=near)
    assert [option.adjustments for option in answer.options] == [()]
    only_toe = solved(MOUNT, LINK, read={**near, TOE: 0.3})
    assert [move.adjuster for move in only_toe.options[0].adjustments] == [TOE_LINK]


def test_steps_are_those_of_the_hand_and_the_rest_is_solved_again() -> None:
    shims = replace(SHIMS, step=1.0, grid=0.5)
    answer = solved(shims, LINK, stood={"lower_arm_out_mm": 3.5})
    (option,) = answer.options
    at = option.positions["lower_arm_out_mm"]
    assert (at - 0.5) % 1.0 == pytest.approx(0.0, abs=1e-9)
    assert option.predicted[TOE] == pytest.approx(0.05, abs=1e-6)
    better = []
    for other in (at - 1.0, at + 1.0):
        there = solved(
            AdjusterRange("lower_arm_out_mm", other, other), LINK, stood={"lower_arm_out_mm": 3.5}
        )
        better.append(abs(there.options[0].predicted[CAMBER] + 2.0))
    assert abs(option.predicted[CAMBER] + 2.0) < min(better)


def test_a_link_in_sixths_of_a_turn_takes_the_nearest_sixth() -> None:
    link = replace(LINK, step=0.25)
    option = solved(MOUNT, link).options[0]
    at = option.positions[TOE_LINK]
    assert at / 0.25 == pytest.approx(round(at / 0.25), abs=1e-9)
    for other in (at - 0.25, at + 0.25):
        moved = predicted(
            strut(), solved(MOUNT, link).offset, {**option.positions, TOE_LINK: other}
        )
        assert abs(moved[TOE] - 0.05) > abs(option.predicted[TOE] - 0.05)


@pytest.mark.parametrize("seed", range(20))
def test_steps_and_ranges_hold_on_random_corners(seed: int) -> None:
    rng = np.random.default_rng(seed)
    corner = the_corner(random_check(seed, kind=STRUT if seed % 2 else WISHBONES))
    forward = forward_of(motion_for(corner))
    assert forward is not None
    names = ["lower_arm_out_mm", "top_mount_in_mm" if seed % 2 else "upper_arm_in_mm"]
    stood = {name: float(rng.integers(0, 4)) for name in names}
    ranges = [
        AdjusterRange(name, -6.0, 9.0, step=float(rng.choice([0.5, 1.0, 1.5])), grid=stood[name])
        for name in names
    ]
    read = dict(zip(QUANTITIES, map(float, forward.at([stood])[0] + 0.2), strict=True))
    wanted = {TOE: Target(0.1, 0.03), CAMBER: Target(read[CAMBER] - rng.uniform(0.2, 1.5), 0.1)}
    answer = adjustments_for(forward, Task(stood, read, wanted, (*ranges, LINK)))
    for option in answer.options:
        for one in ranges:
            steps = (option.positions[one.name] - one.grid) / one.step
            assert steps == pytest.approx(round(steps), abs=1e-9)
            assert one.floor <= option.positions[one.name] <= one.ceiling


def test_toe_goes_before_camber_and_camber_before_caster() -> None:
    wanted = {TOE: Target(0.05), CAMBER: Target(-4.0), CASTER: Target(9.0)}
    answer = solved(replace(MOUNT, high=6.0), LINK, wanted=wanted)
    assert [one.quantity for one in answer.missing] == [CAMBER, CASTER]
    option = answer.options[0]
    assert option.predicted[TOE] == pytest.approx(0.05, abs=1e-3)
    assert option.positions["top_mount_in_mm"] == pytest.approx(6.0, abs=0.1)


def test_out_of_reach_says_how_much_and_what_would_give_it() -> None:
    answer = solved(replace(MOUNT, high=5.0), LINK)
    (camber,) = answer.missing
    assert camber.wanted_deg == -2.0
    assert camber.best_deg == pytest.approx(answer.options[0].predicted[CAMBER])
    assert camber.missing_deg < 0
    helps = {one.adjuster: one for one in camber.helps}
    assert set(helps) == {"top_mount_in_mm", "lower_arm_out_mm", "knuckle_camber_deg"}
    assert helps["top_mount_in_mm"].high == 5.0
    assert helps["top_mount_in_mm"].position > 5.0
    assert helps["lower_arm_out_mm"].high is None


def test_a_toe_link_that_runs_out_keeps_the_toe_that_it_can_give() -> None:
    answer = solved(AdjusterRange(TOE_LINK, -0.2, 0.2), toe=-0.6)
    (toe, *_) = answer.missing
    assert toe.quantity == TOE
    assert abs(answer.options[0].positions[TOE_LINK]) == pytest.approx(0.2)
    assert TOE_LINK in {one.adjuster for one in toe.helps}


def test_what_is_lowered_anyway_is_reckoned_with() -> None:
    still = solved(LINK, after={}, wanted={TOE: Target(0.05)})
    lowered = solved(LINK, after={"ride_height_mm": -20.0}, wanted={TOE: Target(0.05)})
    assert lowered.options[0].predicted[CAMBER] < still.options[0].predicted[CAMBER] - 0.1
    assert lowered.options[0].predicted[TOE] == pytest.approx(0.05, abs=1e-6)


def test_what_was_not_read_is_not_aimed_at() -> None:
    answer = solved(MOUNT, LINK, read={CAMBER: -0.8})
    assert answer.unknown == (TOE,)
    assert set(answer.options[0].predicted) == {CAMBER}


def test_positions_that_no_car_can_have_are_refused() -> None:
    with pytest.raises(Unreachable):
        solved(MOUNT, LINK, stood={"lower_arm_out_mm": 900.0})


def test_curves_know_no_adjusters_and_a_bump_steer_sheet_changes_none() -> None:
    assert forward_of(motion_for(the_corner(random_check(3, kind=CURVES)))) is None
    corner = the_corner(random_check(3, kind=STRUT))
    sheet = MeasuredTravel(
        (TravelReading(-40, 0.2, 0.1), TravelReading(0, 0.0, 0.0), TravelReading(40, -0.4, 0.2))
    )
    with_sheet = replace(corner, suspension=replace(corner.suspension, measured=sheet))
    plain, measured = forward_of(motion_for(corner)), forward_of(motion_for(with_sheet))
    assert plain is not None
    assert measured is not None
    assert measured.at([{"top_mount_in_mm": 4.0}]) == pytest.approx(
        plain.at([{"top_mount_in_mm": 4.0}]), nan_ok=True
    )


# ---- learned


def visits(count: int, noise: float, seed: int = 1) -> list[Change]:
    """Moves of mount and link on cars whose mount gives −0.13° and −0.05° a millimetre."""
    rng = np.random.default_rng(seed)
    changes = []
    for _ in range(count):
        mount, link = float(rng.uniform(-8, 8)), float(rng.uniform(-4, 4))
        camber = -0.13 * mount + 0.002 * link
        toe = -0.05 * mount + 0.42 * link
        changes.append(
            Change(
                {"top_mount_in_mm": mount, TOE_LINK: link},
                {
                    CAMBER: camber + float(rng.normal(0, noise)),
                    TOE: toe + float(rng.normal(0, noise)),
                },
                0.03,
            )
        )
    return changes


def test_enough_visits_teach_what_the_adjusters_do() -> None:
    learned = learn(visits(8, 0.02))
    mount = learned.adjusters.index("top_mount_in_mm")
    assert learned.slopes[QUANTITIES.index(CAMBER), mount] == pytest.approx(-0.13, abs=0.01)
    task = Task(
        {},
        {TOE: 0.3, CAMBER: -1.0},
        {TOE: Target(0.05), CAMBER: Target(-1.6)},
        learned.ranges({}),
    )
    (option,) = adjustments_for(learned, task).options
    by = {move.adjuster: move.by for move in option.adjustments}
    assert by["top_mount_in_mm"] == pytest.approx(0.6 / 0.13, rel=0.1)
    assert learned.expanded_deg(CAMBER, option.adjustments) >= 2 * 0.03 * np.sqrt(2 / 3) - 1e-9


def test_the_stated_uncertainty_covers_what_happens() -> None:
    """Predictions of 300 shops' own visits miss by more than was said in about one of twenty."""
    misses = 0
    for seed in range(300):
        learned = learn(visits(10, 0.05, seed))
        (other,) = visits(1, 0.05, seed + 10_000)
        adjustments = adjustments_of(learned, other)
        index = QUANTITIES.index(CAMBER)
        said = float(learned.at([dict(other.moved)])[0, index])
        misses += abs(said - other.read[CAMBER]) > learned.expanded_deg(CAMBER, adjustments)
    assert misses < 0.11 * 300


def adjustments_of(learned: Learned, change: Change) -> list[Any]:
    from alignment.geometry.adjustment_problem import Adjustment

    return [Adjustment(name, 0.0, by) for name, by in change.moved.items()]


def test_too_few_visits_teach_nothing_and_say_so() -> None:
    with pytest.raises(TooLittle, match="3 of at least 4 pairs"):
        learn(visits(3, 0.02))
    with pytest.raises(TooLittle, match="no visit tells"):
        learn([Change({}, {TOE: 0.1}, 0.03)] * 9)


def test_adjusters_that_were_always_moved_together_cannot_be_told_apart() -> None:
    together = [
        Change({"top_mount_in_mm": by, TOE_LINK: 0.5 * by}, {CAMBER: by, TOE: by}, 0.03)
        for by in (1.0, 2.0, -3.0, 4.0, -2.0)
    ]
    with pytest.raises(TooLittle, match="told apart"):
        learn(together)


def test_an_adjuster_whose_effect_is_lost_in_the_noise_is_not_offered() -> None:
    rng = np.random.default_rng(5)
    changes = [
        Change(
            {"idle": float(rng.uniform(-1, 1)), TOE_LINK: link},
            {TOE: 0.4 * link + float(rng.normal(0, 0.05))},
            0.03,
        )
        for link in (1.0, -2.0, 3.0, -1.0, 2.0, -3.0)
    ]
    assert [each.name for each in learn(changes).ranges({})] == [TOE_LINK]

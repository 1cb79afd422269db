"""Very many combinations in one room, against a check of each of them."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import Tyre, Wheel
from fitment.engine.search.batch_distance import (
    COARSE_MM,
    COARSE_MORE,
    FAR_MM,
    FINE_MM,
    FINE_MORE,
    Rims,
    tangents,
)
from fitment.engine.search.combos import Combos
from fitment.engine.search.following import follow
from fitment.engine.search.screening import DENSE, LIGHT, Weighed, weigh
from fitment.engine.solid.section import section_of
from tests.engine.random_corners import random_check, random_wheels, square_section, the_corner
from tests.engine.roomiest import all_combos, confirmed, roomiest, slack_of
from tests.nights import day_and_night

#: How closely the best agree with a check of everything.
BEST_MM = 0.05
#: How far a rough clearance may lie above the true one: tangents, and the steps of the samples.
ROUGH_MM = 4.0


def a_setting(seed: int) -> Setting:
    check = random_check(seed)
    (name,) = check.corners
    return setting_of(name, the_corner(check), check.duty)


def a_catalogue(setting: Setting, seed: int) -> Combos:
    """About a hundred combinations around what is on the corner."""
    rng = np.random.default_rng([7, seed])
    wheel, tyre = setting.corner.wheel, setting.corner.tyre
    wheels = [
        replace(wheel, width_in=wheel.width_in + width, offset_mm=wheel.offset_mm + float(offset))
        for width in (0.0, -0.5)
        for offset in rng.integers(-25, 20, 3)
    ]
    tyres = [replace(tyre, overall_diameter_mm=None, profile=())]
    for _ in range(3):
        nominal = section_of(wheel, tyre).mounted
        tyres.append(
            Tyre(
                tyre.size,
                section_width_mm=nominal.section_width_mm + float(rng.uniform(-18, 8)),
                overall_diameter_mm=nominal.overall_diameter_mm + float(rng.uniform(-15, 5)),
            )
        )
    return all_combos(wheels, [*tyres, tyre], (0.0, 3.0, 15.0))


def checked(setting: Setting, weighed: Weighed) -> np.ndarray:
    """The least slack of every combination, each found as a check finds it."""
    slack = []
    for index in range(len(weighed.combos)):
        wheel, tyre = weighed.combos.at(index)
        found = closest(setting.room, section_of(wheel, tyre), section_of(wheel, tyre, coarse=True))
        slack.append(float((found.clearance_mm + weighed.shift - weighed.needed).min()))
    return np.array(slack)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(20))
def test_the_best_are_those_of_a_check_of_every_combination(seed: int) -> None:
    setting = a_setting(seed)
    combos = a_catalogue(setting, seed)
    found = roomiest(setting, combos, 20)
    truth = checked(setting, weigh(setting, combos))
    best = np.sort(truth)[::-1][:20]
    assert [fit.slack_mm for fit in found.best] == pytest.approx(best, abs=BEST_MM)
    for fit in found.best:
        assert fit.slack_mm == pytest.approx(truth[fit.index], abs=1e-9)
    assert np.all(found.slack_mm >= truth - BEST_MM), "a rough figure hides a way that is there"


#: By day the sampling that a search for options has, on every kind of suspension.
@pytest.mark.parametrize(
    ("finer", "seed"),
    day_and_night(product([LIGHT], range(4)), product([LIGHT, DENSE], range(20))),
)
def test_rough_figures_bound_and_followed_figures_meet_the_true_clearance(
    finer: int, seed: int
) -> None:
    setting = a_setting(seed)
    weighed = weigh(setting, a_catalogue(setting, seed), finer)
    some = np.random.default_rng(seed).permutation(len(weighed.combos))[:12]
    rough = slack_of(weighed)[some]
    follow(weighed, some, weighed.needed)
    close = (weighed.gaps[some] - weighed.needed).min(axis=1)
    true = np.array([confirmed(weighed, int(index)).slack_mm for index in some])
    outside = true > -4.0
    assert np.all(rough >= true - 0.03)
    assert np.all((rough - true)[outside] < ROUGH_MM)
    assert np.all(close >= true - 0.03)
    traced = np.array([bool(weighed.combos.at(int(index))[1].profile) for index in some])
    assert np.all((close - true)[outside & ~traced] < FINE_MM + 0.07)


@pytest.mark.parametrize("seed", range(20))
def test_tangents_never_say_that_a_tyre_is_farther_than_it_is(seed: int) -> None:
    rng = np.random.default_rng([3, seed])
    wheel, tyre = random_wheels(rng)
    if seed % 4 == 3:
        tyre = replace(tyre, profile=(), growth_mm=0.0, worn_mm=0.0, largest_allowed=False)
        tyre = replace(tyre, profile=square_section(wheel, tyre))
    section = section_of(wheel, tyre)
    centre = np.array([wheel.spacer_mm - wheel.offset_mm])
    axial = centre + rng.uniform(-300, 300, (1, 3000))
    radius = rng.uniform(80, section.tyre_radius_mm + 140, (1, 3000))
    true = section.distance(axial, radius)
    rim = Rims.of([wheel], [wheel.spacer_mm]).distance(np.zeros(1, int), axial, radius)
    near = (true > -20) & (true < 150)
    for fine, error, more in ((False, COARSE_MM, COARSE_MORE), (True, FINE_MM, FINE_MORE)):
        bounds = tangents([section.mounted], [25.4 * wheel.width_in], [tyre], fine)
        traced = bool(tyre.profile)
        tyre_gap = bounds.distance(np.zeros(1, int), centre, axial, radius, traced=traced)
        gap = np.minimum(tyre_gap, rim)[near]
        assert np.all(gap[true[near] > 0] <= true[near][true[near] > 0] + 0.02)
        if fine or not traced:
            gap += error + more * np.maximum(gap - FAR_MM, 0.0) + bounds.slack_mm[0]
            assert np.all(gap >= true[near])


def test_equal_combinations_come_in_their_order_and_twice_alike() -> None:
    setting = a_setting(2)
    combos = a_catalogue(setting, 2)
    first, again = roomiest(setting, combos, 5), roomiest(setting, combos, 5)
    assert first.best == again.best
    assert np.array_equal(first.slack_mm, again.slack_mm)


def test_tyres_that_cannot_be_mounted_are_told_apart() -> None:
    setting = a_setting(0)
    wheel = setting.corner.wheel
    rim = f"{wheel.diameter_in:g}"
    flat = Tyre(f"205/40R{rim}", overall_diameter_mm=25.4 * wheel.diameter_in + 20.0)
    combos = all_combos([wheel], [Tyre(f"205/40R{rim}"), flat, Tyre("205/40R12")], [0.0, 5.0])
    found = roomiest(setting, combos, 20)
    assert found.impossible.tolist() == [False, False, True, True]
    assert len(found.best) == 2
    assert all(fit.tyre != flat for fit in found.best)


def test_nothing_to_choose_from_gives_nothing() -> None:
    setting = a_setting(0)
    assert roomiest(setting, all_combos([], [], []), 20).best == ()
    other = Wheel(setting.corner.wheel.diameter_in, 7.0, 40.0)
    assert roomiest(setting, all_combos([other], [Tyre("205/40R12")], [0.0]), 20).best == ()

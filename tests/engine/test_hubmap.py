"""Hub poses from the fit against poses solved one by one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from alignment.geometry.hubmap import FIT_MM as PROMISED_MM
from alignment.geometry.hubmap import LEVER_MM, FittedHub, hub_map
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import CURVES, Planned
from alignment.geometry.motion import motion_of
from fitment.engine import checkfile
from fitment.engine.check import CannotCheck, run
from fitment.engine.minimum.setting import Setting, motion_for, setting_of
from fitment.engine.model import Corner
from tests.engine.files import NAMES, text_of
from tests.engine.random_corners import random_check, the_corner

FIT_MM = 1e-4
#: What 1e-4 mm is at the tread, 350 mm out.
FIT_AXIS = FIT_MM / 350.0


def worst_error(corner: Corner, travel_span: tuple[float, float]) -> tuple[float, float]:
    """Largest error of hub (mm) and spin axis over the spans of a corner."""
    limits, survey = corner.limits, corner.survey
    steer_span = np.radians([-limits.steer_out_deg, limits.steer_in_deg])
    motion = motion_of(corner.suspension, survey.camber_deg, survey.toe_deg)
    settled = motion.settle([corner.planned])
    fit = hub_map(motion, settled, travel_span, (steer_span[0], steer_span[1]))
    rng = np.random.default_rng(7)
    travel = np.concatenate([rng.uniform(*travel_span, 300), travel_span])
    angles = np.concatenate([rng.uniform(*steer_span, 300), steer_span])
    steered = motion.steered(settled, np.zeros(len(angles), int), angles)
    exact = motion.travelled(settled, steered, np.arange(len(angles)), travel)
    got = fit(travel, angles)
    return (
        float(np.max(np.abs(got.hub - exact.hub))),
        float(np.max(np.abs(got.spin - exact.spin))),
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_fit_is_within_a_ten_thousandth_on_the_examples(name: str) -> None:
    check = checkfile.loads(text_of(name))
    for where, corner in check.corners.items():
        envelope = setting_of(where, corner, check.duty).envelope
        hub, axis = worst_error(corner, envelope.travel_span)
        assert hub < FIT_MM
        assert axis < FIT_AXIS


@pytest.mark.parametrize("seed", range(24))
def test_the_fit_is_within_a_hundredth_on_random_corners(seed: int) -> None:
    check = random_check(seed)
    corner = the_corner(check)
    envelope = setting_of("LF", corner, check.duty).envelope
    hub, axis = worst_error(corner, envelope.travel_span)
    assert hub < 0.005
    assert axis < 0.005 / 350.0


def test_curves_are_not_fitted_but_read_as_they_are() -> None:
    corner = the_corner(random_check(3, kind=CURVES))
    hub, axis = worst_error(corner, (-60.0, 60.0))
    assert hub < 1e-6
    assert axis < 1e-8


def test_where_a_corner_of_the_rectangle_cannot_be_reached_poses_are_solved_one_by_one() -> None:
    corner = the_corner(random_check(0, kind="strut"))
    survey = corner.survey
    motion = motion_of(corner.suspension, survey.camber_deg, survey.toe_deg)
    settled = motion.settle([Planned(survey.toe_deg)])
    spans = (-60.0, 2000.0), (-0.3, 0.3)
    hubs = hub_map(motion, settled, *spans)
    assert not isinstance(hubs, FittedHub)
    travel, steer = np.array([-20.0, 30.0]), np.array([0.1, -0.2])
    steered = motion.steered(settled, np.zeros(2, int), steer)
    exact = motion.travelled(settled, steered, np.arange(2), travel)
    got = hubs(travel, steer)
    assert got.hub == pytest.approx(exact.hub, abs=1e-8)
    assert got.spin == pytest.approx(exact.spin, abs=1e-10)
    with pytest.raises(Unreachable, match=r"stop\.travel\(.*part=part\.\w+_arm_\w+\("):
        hubs(np.array([1900.0]), np.array([0.0]))


def test_an_unsteered_corner_is_fitted_over_travel_alone() -> None:
    corner = the_corner(random_check(2, kind="links"))
    still = replace(corner, limits=replace(corner.limits, steer_in_deg=0.0, steer_out_deg=0.0))
    hub, axis = worst_error(still, (-50.0, 50.0))
    assert hub < FIT_MM
    assert axis < FIT_AXIS


#: Corners that steer, and shares of the lock at which one of the envelope's poses locks up.
STEERED, SHARES = (0, 1, 4, 5, 8), (0.8, 0.9, 0.97, 0.995)


def at_lock(seed: int, lock_deg: float) -> Corner:
    corner = the_corner(random_check(seed))
    inward = min(corner.limits.steer_in_deg, lock_deg)
    limits = replace(corner.limits, steer_out_deg=lock_deg, steer_in_deg=inward)
    return replace(corner, limits=limits)


@cache
def last_lock(seed: int) -> float:
    """The most lock, degrees, at which every pose of the corner's envelope can be taken."""
    duty = random_check(seed).duty
    low, high = 20.0, 90.0
    while high - low > 0.05:
        middle = (low + high) / 2
        try:
            visited(setting_of("LF", at_lock(seed, middle), duty))
            low = middle
        except Unreachable:
            high = middle
    return low


def visited(setting: Setting) -> tuple[np.ndarray, np.ndarray]:
    """Travel and steer of poses of an envelope, many of them at its ends, all solved once."""
    envelope, rng = setting.envelope, np.random.default_rng(3)
    steer, share = rng.uniform(*envelope.steer_span, 300), rng.random(300)
    steer[:100], share[100:150], share[150:200] = envelope.steer_span[0], 0.0, 1.0
    return envelope.travel(steer, share, np.zeros(300, bool)), steer


@pytest.mark.parametrize("seed", STEERED)
@pytest.mark.parametrize("share", SHARES)
def test_near_the_end_of_a_linkage_the_map_is_refined_until_it_holds(
    seed: int, share: float
) -> None:
    setting = setting_of("LF", at_lock(seed, share * last_lock(seed)), random_check(seed).duty)
    travel, steer = visited(setting)
    fitted, motion = setting.room.hubs, motion_for(setting.corner)
    steered = motion.steered(setting.settled, np.zeros(len(steer), int), steer)
    exact = motion.travelled(setting.settled, steered, np.arange(len(steer)), travel)
    got = fitted(travel, steer)
    off = np.linalg.norm(got.hub - exact.hub, axis=1)
    off += LEVER_MM * np.linalg.norm(got.spin - exact.spin, axis=1)
    assert off.max() <= fitted.error_mm + 1e-6
    assert fitted.error_mm <= PROMISED_MM


@pytest.mark.parametrize("seed", STEERED)
def test_beyond_the_last_lock_it_is_the_lock_that_is_said_to_be_at_its_end(seed: int) -> None:
    check = random_check(seed)
    corner = at_lock(seed, last_lock(seed) + 0.1)
    with pytest.raises(
        CannotCheck, match=r"stop\.lock-at-the-end|stop\.steer\(|stop\.travel\(.*steer_deg=-"
    ):
        run(replace(check, corners={"LF": corner}))


@pytest.mark.parametrize("kind", ["strut", CURVES])
def test_a_pose_beyond_the_span_is_solved_rather_than_guessed(kind: str) -> None:
    checks = (random_check(seed, kind=kind) for seed in range(20))
    check = next(one for one in checks if the_corner(one).limits.steer_in_deg > 0)
    setting = setting_of("LF", the_corner(check), check.duty)
    motion, high = setting.motion, setting.envelope.steer_span[1] + np.radians(2.0)
    travel, steer = np.zeros(2), np.array([high, 0.1])
    steered = motion.steered(setting.settled, np.zeros(2, int), steer)
    exact = motion.travelled(setting.settled, steered, np.arange(2), travel)
    got = setting.room.hubs(travel, steer)
    assert got.hub == pytest.approx(exact.hub, abs=1e-3)
    assert got.spin == pytest.approx(exact.spin, abs=1e-5)

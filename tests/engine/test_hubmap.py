"""Hub poses from the fit against poses solved one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.hubmap import FittedHub, hub_map
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import CURVES, Planned
from alignment.geometry.motion import motion_of
from fitment.engine import checkfile
from fitment.engine.minimum.setting import setting_of
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
    with pytest.raises(Unreachable, match=r"beyond the linkage: the \w+ arm \w+"):
        hubs(np.array([1900.0]), np.array([0.0]))


def test_an_unsteered_corner_is_fitted_over_travel_alone() -> None:
    corner = the_corner(random_check(2, kind="links"))
    still = replace(corner, limits=replace(corner.limits, steer_in_deg=0.0, steer_out_deg=0.0))
    hub, axis = worst_error(still, (-50.0, 50.0))
    assert hub < FIT_MM
    assert axis < FIT_AXIS

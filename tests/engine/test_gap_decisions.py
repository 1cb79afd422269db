"""Gaps that a rule asks for: the decision rule, and what comes near tread and sides."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import CURVES, CurveRow, Limits, Planned, Suspension
from common.message import message
from common.verdicts import Outcome
from fitment.engine.check import run
from fitment.engine.defaults import STREET
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    EDGE,
    KNUCKLE,
    POINTS,
    Check,
    Corner,
    Feature,
    PoseAt,
    Survey,
    SurveyPoint,
    Tyre,
    Wheel,
)
from fitment.engine.mounting.chains import gaps_beside, gaps_over_tread
from fitment.engine.mounting.clearance_checks import clearance_checks, height
from fitment.engine.mounting.decision import Gap, decisive
from fitment.engine.mounting.law import Figure, with_usual
from fitment.engine.mounting.rule import Result
from fitment.engine.solid.section import section_of
from fitment.engine.solid.tyre_parts import SIDES, TREAD, part_of
from tests.engine.random_corners import random_check, the_corner

HERE = PoseAt(0.0, 0.0, False)


def gap(mm: float, sigma: float) -> Gap:
    return Gap("lip", mm, sigma, HERE)


# 1.6449 standard deviations: the normal distribution's 95 % point, from any table.
@pytest.mark.parametrize(
    ("mm", "sigma", "outcome"),
    [
        (10.0 + 1.646 * 3.0, 3.0, Outcome.PASSES),
        (10.0 + 1.644 * 3.0, 3.0, Outcome.CANNOT_SAY),
        (10.1, 3.3, Outcome.CANNOT_SAY),
        (10.0, 3.0, Outcome.CANNOT_SAY),
        (9.999, 3.0, Outcome.FAILS),
        (-2.0, 3.0, Outcome.FAILS),
        (10.0, 0.0, Outcome.PASSES),
        (9.9, 0.0, Outcome.FAILS),
    ],
)
def test_a_gap_passes_where_it_is_less_in_one_of_twenty_at_the_most(
    mm: float, sigma: float, outcome: Outcome
) -> None:
    assert gap(mm, sigma).outcome(10.0) == outcome


def test_the_gap_that_decides_is_the_likeliest_to_be_less_not_the_least() -> None:
    sure, unsure = gap(12.0, 0.5), gap(14.0, 4.0)
    assert decisive([sure, unsure], 10.0) is unsure
    short = gap(9.0, 3.0)
    assert decisive([sure, unsure, short], 10.0) is short
    assert decisive([gap(-3.0, 0.1), gap(-26.0, 0.1)], 10.0) == gap(-26.0, 0.1)
    assert decisive([], 10.0) is None


# --- Tread and sides ----------------------------------------------------------------------

WHEEL = Wheel(17, 7.5, 45, barrel_mm=12, spoke_back=((0.0, 60.0), (0.0, 200.0)))
TYRE = Tyre("225/45R17", section_width_mm=225.0, overall_diameter_mm=634.0, shoulder="medium")


def corner(*features: Feature) -> Corner:
    """A wheel that neither steers nor leans, and goes straight up and down by 60 mm."""
    rows = tuple(CurveRow(float(z), 0.0, 0.0, 0.0, 0.0) for z in (-100, 0, 100))
    return Corner(
        Survey(0.0, 0.0, features),
        Suspension(CURVES, table=rows),
        Limits(60.0, 60.0),
        Planned(0.0),
        WHEEL,
        TYRE,
    )


def along(place: str, axial: float, radius: float, sigma: float = 0.5) -> Feature:
    points = tuple(SurveyPoint(clock, radius, axial) for clock in (-20.0, 0.0, 20.0))
    return Feature(place, shape=EDGE, points=points, sigma_mm=sigma)


@pytest.mark.parametrize("seed", range(4))
def test_each_part_of_a_tyre_is_as_far_away_as_the_nearest_of_its_outline(seed: int) -> None:
    """Against a hundred thousand points of the outline on either side of the shoulder."""
    own = the_corner(random_check(seed))
    section = section_of(own.wheel, own.tyre)
    size = section.mounted
    shoulder, flange = size.tyre_radius_mm - size.shoulder_drop_mm, size.rim_radius_mm + 17.5
    path = section.tyre_outline_mm
    ends = np.roll(path, -1, axis=0)
    share = np.linspace(0.0, 1.0, 600)[:, None, None]
    dense = ((1.0 - share) * path + share * ends).reshape(-1, 2)
    rng = np.random.default_rng(seed)
    centre = path[:, 0].mean()
    across, half = rng.uniform(-60, 60, 20), size.section_width_mm / 2
    above = np.stack([centre + across, size.tyre_radius_mm + rng.uniform(5, 80, 20)], axis=-1)
    out = rng.choice([-1.0, 1.0], 20) * (half + rng.uniform(25, 90, 20))
    beside = np.stack([centre + out, rng.uniform(flange, shoulder, 20)], axis=-1)
    for part, points, keep in (
        (TREAD, np.concatenate([above, beside]), dense[:, 1] >= shoulder),
        (SIDES, beside, (dense[:, 1] <= shoulder) & (dense[:, 1] >= flange)),
    ):
        found = part_of(section, part).distance(*points.T)
        brute = [np.hypot(*(dense[keep] - point).T).min() for point in points]
        assert found == pytest.approx(brute, abs=0.15)


def test_the_whole_section_is_no_part() -> None:
    section = section_of(WHEEL, TYRE)
    assert part_of(section, "") is section


def test_a_lip_that_is_nearest_at_the_side_is_held_against_the_tread_too() -> None:
    """12 mm outboard of the section, below the shoulder at the top of bump: some 30 mm from the
    tread, which asks for 37, and only 12 from the side, which asks for 10."""
    lip = along("arch lip", -45.0 + 112.5 + 12.0, 340.0)
    one = corner(lip)
    (answer,) = run(Check("", STREET, {"LF": one})).corners.values()
    nearest = answer.places[0]
    section = section_of(WHEEL, TYRE)
    shoulder = section.tyre_radius_mm - section.mounted.shoulder_drop_mm
    assert nearest.touch_mm[1] < shoulder, "nearest at the side"
    setting = setting_of("LF", one, STREET)
    (over,), (beside,) = gaps_over_tread(setting, 37.0), gaps_beside(setting, 15.0)
    assert beside.gap_mm == pytest.approx(nearest.clearance_mm, abs=0.05)
    assert nearest.clearance_mm + 5.0 < over.gap_mm < 36.0
    law = with_usual({"chain_tread_mm": Figure(37.0, "a test"), "chain_side_mm": Figure(1.0, "")})
    found = {r.rule: r for r in clearance_checks(one, STREET, answer, law, "front")}
    assert found["chain-tread"].outcome == Outcome.FAILS
    assert found["chain-tread"].found.params["gap_mm"] == pytest.approx(over.gap_mm)
    assert found["chain-side"].outcome != Outcome.FAILS


def test_what_the_rim_hides_is_near_no_chain() -> None:
    caliper = Feature(
        "brake caliper", KNUCKLE, POINTS, (SurveyPoint(90.0, 190.0, -90.0),), sigma_mm=0.5
    )
    lip = along("arch lip", 60.0, 520.0)
    one = corner(lip, caliper)
    (answer,) = run(Check("", STREET, {"LF": one})).corners.values()
    law = with_usual({"chain_side_mm": Figure(60.0, "a test")})
    (result,) = (
        r for r in clearance_checks(one, STREET, answer, law, "front") if r.rule == "chain-side"
    )
    assert result.found.params["spot"] == "arch lip"


def test_a_gap_over_the_tread_has_the_uncertainty_of_that_gap() -> None:
    """The tyre's radius counts whole over the crown; its width does not count at all."""
    over = along("liner", -45.0, 430.0)
    setting = setting_of("LF", corner(over), STREET)
    (one,) = gaps_over_tread(setting, 37.0)
    (answer,) = run(Check("", STREET, {"LF": corner(over)})).corners.values()
    assert one.gap_mm == pytest.approx(answer.places[0].clearance_mm, abs=0.03)
    assert one.sigma_mm == pytest.approx(answer.places[0].sigma_mm, rel=1e-3)


# --- Gaps and travel ----------------------------------------------------------------------


def body_gap(least: float, sigma: float) -> Result:
    one = corner(along("liner", -45.0, 430.0, sigma))
    (answer,) = run(Check("", STREET, {"LF": one})).corners.values()
    whole = replace(answer, uncovered=())
    law = with_usual({"gap_body_mm": Figure(least, "a test")})
    found = clearance_checks(one, STREET, whole, law, "front")
    return next(r for r in found if r.rule == "gap-body")


def test_a_legal_gap_is_judged_with_its_uncertainty_and_says_what_would_settle_it() -> None:
    near = body_gap(10.0, 0.5)
    clearance, sigma = (near.found.params[name] for name in ("gap_mm", "sigma_mm"))
    assert near.outcome == Outcome.PASSES
    assert body_gap(clearance + 0.1, 0.5).outcome == Outcome.FAILS
    between = body_gap(clearance - sigma, 0.5)
    assert between.outcome == Outcome.CANNOT_SAY
    assert between.missing == (message("missing.gap-on-car"),)
    assert between.found.params["miss_share"] == pytest.approx(0.158655, abs=1e-4)
    assert body_gap(clearance - 1.7 * sigma, 0.5).outcome == Outcome.PASSES


@pytest.mark.parametrize(
    ("raised", "packer", "bump", "droop", "told", "share", "passes"),
    [
        (-30.0, 0.0, 62.0, 60.0, "found.bump-taken", 30 / 62, False),
        (-10.0, 10.0, 54.0, 60.0, "found.bump-taken", 20 / 54, False),
        (10.0, 30.0, 54.0, 52.0, "found.bump-taken", 20 / 54, False),
        (25.0, 30.0, 54.0, 52.0, "found.droop-taken", 25 / 52, False),
        (10.0, 0.0, 54.0, 52.0, "found.droop-taken", 10 / 52, True),
        (10.0, 27.0, 54.0, 52.0, "found.bump-taken", 17 / 54, True),
        (0.0, 0.0, 54.0, 52.0, "found.droop-taken", 0.0, True),
    ],
)
def test_height_and_packers_take_of_bump_and_of_droop(
    raised: float, packer: float, bump: float, droop: float, told: str, share: float, passes: bool
) -> None:
    one = corner(along("liner", -45.0, 430.0))
    planned = replace(
        one.planned,
        adjusters=replace(one.planned.adjusters, ride_height_mm=raised, bump_stop_mm=packer),
    )
    one = replace(one, planned=planned, limits=replace(one.limits, bump_mm=bump, droop_mm=droop))
    law = with_usual({"height_share": Figure(1.0 / 3.0, "a test")})
    (result,) = height(one, law, "front")
    assert result.found.code == told
    assert result.found.params["taken_share"] == pytest.approx(share)
    assert (result.outcome == Outcome.PASSES) == passes
    assert math.isclose(
        result.found.params["taken_mm"], share * result.found.params["travel_mm"], abs_tol=1e-9
    )


def test_travel_that_nobody_recorded_is_no_pass() -> None:
    one = corner(along("liner", -45.0, 430.0))
    blind = replace(one, limits=replace(one.limits, bump_mm=None))
    (result,) = height(blind, with_usual({"height_share": Figure(0.3, "a test")}), "front")
    assert result.outcome == Outcome.CANNOT_SAY

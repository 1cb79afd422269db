"""Cover of the wheel, and the mounting checks that a room check answers."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from alignment.geometry import frames
from common.message import message
from common.verdicts import Outcome
from fitment.demo.surveys import STRUT_FRONT, STRUT_REAR
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.model import Corner, CornerAnswer, StaticAnswer
from fitment.engine.mounting.clearance_checks import clearance_checks, not_checked
from fitment.engine.mounting.law import PRESETS, TREAD_WIDTH, Figure, with_usual
from fitment.engine.mounting.rule import Result
from fitment.engine.mounting.wheel_cover import Cover, cover_of
from fitment.engine.solid.section import section_of


def asked(survey: dict[str, Any] = STRUT_FRONT, **changed: Any) -> Any:
    corner = copy.deepcopy(survey) | {
        "planned": {"toe_deg": 0.05, "camber_deg": -1.5, "camber_by": "top_mount"},
        "wheel": {
            "diameter_in": 18,
            "width_in": 8,
            "offset_mm": 45,
            "barrel_mm": 12,
            "spoke_back": [[18, 40], [16, 80], [22, 150], [34, 190]],
        },
        "tyre": {"size": "225/40R18"},
    }
    for key, values in changed.items():
        corner[key] = corner[key] | values
    name = "LF" if survey is STRUT_FRONT else "LR"
    return checkfile.parse({"archroom_check": 1, "duty": "street", "corners": {name: corner}})


def answered(question: Any) -> tuple[Corner, CornerAnswer]:
    (name,) = question.corners
    return question.corners[name], run(question).corners[name]


def level(axial: float = 60.0, arc: float = 70.0) -> tuple[Corner, StaticAnswer]:
    """A corner whose lip lies at one axial place all round, standing upright."""
    corner = next(iter(asked().corners.values()))
    lip = corner.survey.features[0]
    points = tuple(
        replace(lip.points[0], clock_deg=clock, radius_mm=360.0, axial_mm=axial)
        for clock in (-arc, 0.0, arc)
    )
    survey = replace(
        corner.survey, camber_deg=0.0, toe_deg=0.0, features=(replace(lip, points=points),)
    )
    return replace(corner, survey=survey), StaticAnswer(0.0, 0.0, None, None, (0.0, 0.0, 0.0))


def least(corner: Corner, static: StaticAnswer, what: float = 1.0) -> Cover:
    section = section_of(corner.wheel, corner.tyre)
    cover = cover_of(corner, static, section, ahead_deg=30.0, behind_deg=50.0, what=what)
    assert cover is not None
    return cover


def test_an_upright_wheel_is_covered_by_the_lip_less_half_the_section() -> None:
    corner, static = level()
    size = section_of(corner.wheel, corner.tyre).mounted
    expected = 60.0 - (-45.0 + size.section_width_mm / 2)
    assert least(corner, static).covered_mm == pytest.approx(expected, abs=0.01)
    tread = 60.0 - (-45.0 + size.tread_width_mm / 2)
    assert least(corner, static, TREAD_WIDTH).covered_mm == pytest.approx(tread, abs=0.01)


def test_a_hub_further_out_takes_as_much_cover() -> None:
    corner, static = level()
    moved = replace(static, hub_mm=(0.0, 4.0, 0.0))
    before, after = least(corner, static), least(corner, moved)
    assert before.covered_mm - after.covered_mm == pytest.approx(4.0, abs=1e-6)


@pytest.mark.parametrize(("camber", "toe"), [(-3.0, 0.0), (2.0, 0.4), (-1.0, -0.5)])
def test_a_leaning_wheel_agrees_with_points_turned_one_by_one(camber: float, toe: float) -> None:
    corner, static = level()
    static = replace(static, camber_deg=camber, toe_deg=toe)
    section = section_of(corner.wheel, corner.tyre)
    axis = frames.spin_axis(np.radians(camber), np.radians(toe))
    up, forward = frames.wheel_axes(axis)
    flat = frames.spin_axis(0.0, 0.0)
    worst = np.inf
    for clock in np.radians(np.linspace(-55.0, 35.0, 1801)):
        lip = frames.cylindrical_point(
            np.array([clock]), np.array([360.0]), np.array([60.0]), flat
        )[0]
        angle = np.arctan2(lip @ forward, lip @ up)
        if not -50.0 <= np.degrees(angle) <= 30.0:
            continue
        tyre = [
            (a * axis + r * (np.cos(angle) * up + np.sin(angle) * forward))[1]
            for a, r in section.tyre_outline_mm
        ]
        worst = min(worst, lip[1] - max(tyre))
    assert least(corner, static).covered_mm == pytest.approx(worst, abs=0.05)


def test_negative_camber_covers_the_top_better() -> None:
    corner, static = level()
    assert least(corner, replace(static, camber_deg=-2.0)).covered_mm > (
        least(corner, static).covered_mm + 5.0
    )


def test_a_lip_that_was_measured_too_short_is_no_whole_arc() -> None:
    assert least(*level(arc=70.0)).whole
    short = least(*level(arc=40.0))
    assert not short.whole
    assert short.to_deg == pytest.approx(30.0, abs=0.7)
    assert short.from_deg == pytest.approx(-40.0, abs=0.1)


def test_of_two_edges_over_one_another_the_outer_one_covers() -> None:
    corner, static = level()
    lip = corner.survey.features[0]
    points = tuple(replace(point, axial_mm=-30.0, radius_mm=340.0) for point in lip.points)
    inner = replace(lip, place="liner edge", points=points)
    both = replace(corner, survey=replace(corner.survey, features=(inner, lip)))
    assert least(both, static).covered_mm == least(corner, static).covered_mm
    assert least(both, static).place == lip.place


def test_an_arc_with_a_hole_in_it_is_not_whole() -> None:
    corner, static = level()
    lip = corner.survey.features[0]
    behind = replace(
        lip,
        place="rear part",
        points=tuple(replace(lip.points[0], clock_deg=clock) for clock in (-70.0, -10.0)),
    )
    ahead = replace(
        lip,
        place="front part",
        points=tuple(replace(lip.points[0], clock_deg=clock) for clock in (10.0, 70.0)),
    )
    both = replace(corner, survey=replace(corner.survey, features=(behind, ahead)))
    assert not least(both, static).whole


def test_a_corner_without_an_outboard_edge_says_nothing() -> None:
    corner, static = level()
    bare = replace(corner, survey=replace(corner.survey, features=()))
    section = section_of(corner.wheel, corner.tyre)
    found = cover_of(bare, static, section, ahead_deg=30.0, behind_deg=50.0, what=1.0)
    assert found is None


# The results


def results(law: dict[str, Figure], question: Any | None = None) -> dict[str, Result]:
    question = question or asked()
    corner, answer = answered(question)
    found = clearance_checks(corner, question.duty, answer, with_usual(law), "front")
    return {one.rule: one for one in found}


EU, AUSTRIA = PRESETS["eu-cover"].law(), PRESETS["at-gaps"].law()


def test_without_a_law_cover_cannot_be_said() -> None:
    one = results({})["cover"]
    assert one.outcome == Outcome.CANNOT_SAY
    assert one.missing == (message("missing.law"),)


def test_cover_follows_the_arc_of_the_law_and_names_it() -> None:
    one = results(EU)["cover"]
    assert one.outcome == Outcome.PASSES, one
    assert one.source == PRESETS["eu-cover"].name
    assert (one.asks.params["ahead_deg"], one.asks.params["behind_deg"]) == (30.0, 50.0)
    assert results(EU)["rear-edge"].outcome == Outcome.PASSES


def test_a_wheel_that_stands_out_fails_unless_the_lip_turns_in_so_far() -> None:
    out = asked(wheel={"offset_mm": 12})
    one = results(EU, out)["cover"]
    assert one.outcome == Outcome.FAILS, one
    assert one.found.code in ("found.stands-out-ahead", "found.stands-out-behind")
    turned = {**EU, "lip_turn_mm": Figure(30.0, "measured on this car")}
    assert results(turned, out)["cover"].outcome == Outcome.CANNOT_SAY


def test_an_arc_that_the_survey_does_not_reach_cannot_be_said() -> None:
    short = copy.deepcopy(STRUT_FRONT)
    lip = short["survey"]["features"][0]
    lip["points"] = [point for point in lip["points"] if abs(point["clock_deg"]) <= 75]
    one = results(PRESETS["de-cover"].law(), asked(short))["cover"]
    assert one.outcome == Outcome.CANNOT_SAY
    assert one.missing == (message("missing.rest-of-arc"),)
    assert -one.found.params["from_deg"] < one.found.params["to_deg"]


def test_gaps_are_held_against_the_guidance() -> None:
    found = results(AUSTRIA)
    assert found["gap-parts"].outcome == Outcome.PASSES
    body = found["gap-body"]
    assert 10.0 < body.found.params["gap_mm"] < 10.0 + 1.6 * body.found.params["sigma_mm"]
    assert body.outcome == Outcome.CANNOT_SAY
    assert body.missing == (message("missing.gap-on-car"),)
    strict = {"gap_parts_mm": Figure(60.0, "a test"), "gap_body_mm": Figure(90.0, "a test")}
    assert results(strict)["gap-parts"].outcome == Outcome.FAILS
    assert results(strict)["gap-body"].outcome == Outcome.FAILS


def test_a_gap_from_lock_to_lock_that_is_least_in_bump_cannot_be_said() -> None:
    one = results(PRESETS["bc-gaps"].law())["gap-lock"]
    assert one.outcome in (Outcome.FAILS, Outcome.CANNOT_SAY)
    assert one.outcome == Outcome.CANNOT_SAY or "travel_mm" not in one.found.params


def test_chains_need_clearance_over_tread_and_beside_the_tyre() -> None:
    found = results(PRESETS["chains-w"].law())
    assert Outcome.FAILS in {found[rule].outcome for rule in ("chain-tread", "chain-side")}


def test_the_brake_is_judged_only_where_the_wheel_was_measured_inside() -> None:
    assert results({})["brakes"].outcome == Outcome.PASSES
    question = asked()
    corner = question.corners["LF"]
    blank = replace(corner, wheel=replace(corner.wheel, barrel_mm=None, spoke_back=()))
    unknown = replace(question, corners={"LF": blank})
    assert results({}, unknown)["brakes"].outcome == Outcome.CANNOT_SAY


def test_another_part_in_the_wheel_is_no_measured_brake() -> None:
    """A ball joint that clears says nothing of a caliper that was not measured; contact fails."""
    corner = asked().corners["LF"]

    def inside(name: str, closer_mm: float = 0.0) -> Result:
        features = tuple(
            replace(
                one,
                place=name,
                points=tuple(replace(p, radius_mm=p.radius_mm + closer_mm) for p in one.points),
            )
            if one.place == "brake caliper"
            else one
            for one in corner.survey.features
        )
        changed = replace(corner, survey=replace(corner.survey, features=features))
        question = replace(asked(), corners={"LF": changed})
        return results({}, question)["brakes"]

    assert inside("brake caliper").outcome == inside("Bremssattel").outcome == Outcome.PASSES
    unknown = inside("lower ball joint")
    assert unknown.outcome == Outcome.CANNOT_SAY
    assert unknown.missing == (message("missing.brake-outline"),)
    assert inside("lower ball joint", closer_mm=21.0).outcome == Outcome.FAILS


@pytest.mark.parametrize(("closer_mm", "bars"), [(18.0, False), (26.0, True), (60.0, True)])
def test_a_brake_that_touches_bars_and_one_that_is_near_only_fails(
    closer_mm: float, bars: bool
) -> None:
    corner = asked().corners["LF"]
    features = tuple(
        replace(
            one, points=tuple(replace(p, radius_mm=p.radius_mm + closer_mm) for p in one.points)
        )
        if one.place == "brake caliper"
        else one
        for one in corner.survey.features
    )
    changed = replace(corner, survey=replace(corner.survey, features=features))
    one = results({}, replace(asked(), corners={"LF": changed}))["brakes"]
    assert (one.outcome, one.bars) == (Outcome.FAILS, bars), one.found


def railed(out_mm: float) -> Any:
    """The question with the frame rail farther outboard, into the wheel's way."""
    corner = asked().corners["LF"]
    features = tuple(
        replace(one, xyz_mm=tuple((x, y + out_mm, z) for x, y, z in one.xyz_mm))
        if one.place == "frame rail"
        else one
        for one in corner.survey.features
    )
    changed = replace(corner, survey=replace(corner.survey, features=features))
    return replace(asked(), corners={"LF": changed})


def test_a_lock_that_the_wheel_blocks_bars_and_a_touch_in_bump_does_not() -> None:
    free = results({})["lock"]
    assert (free.outcome, free.found.code) == (Outcome.PASSES, "found.lock-free")
    blocked = results({}, railed(120.0))["lock"]
    assert (blocked.outcome, blocked.bars) == (Outcome.FAILS, True)
    assert blocked.found.params["spot"] == "frame rail"
    assert blocked.found.params["overlap_mm"] > 5.0
    assert blocked.found.params["steer_deg"] > 1.0
    lower = asked(planned={"adjusters": {"ride_height_mm": -5.0}}, wheel={"offset_mm": 12})
    _corner, answer = answered(lower)
    lip = next(one for one in answer.places if one.place == "arch lip")
    assert lip.clearance_mm < 0, "touches somewhere in bump"
    assert abs(lip.at.travel_mm) > 10
    assert results({}, lower)["lock"].bars is False


def test_a_wheel_that_is_not_steered_has_no_lock() -> None:
    assert "lock" not in results({}, asked(STRUT_REAR))


def test_gaps_pass_only_where_everything_round_the_wheel_was_measured() -> None:
    corner = asked().corners["LF"]
    lip_only = tuple(
        one
        for one in corner.survey.features
        if one.place not in ("inner panel", "arch liner", "frame rail")
    )
    half = replace(corner, survey=replace(corner.survey, features=lip_only))
    small = {"gap_body_mm": Figure(1.0, "a test"), "gap_parts_mm": Figure(1.0, "a test")}
    whole = results(small)
    assert {whole[rule].outcome for rule in ("gap-body", "gap-parts")} == {Outcome.PASSES}
    found = results(small, replace(asked(), corners={"LF": half}))
    assert found["gap-body"].outcome == Outcome.CANNOT_SAY
    assert found["gap-body"].missing == (message("missing.rest-of-survey"),)
    strict = {"gap_body_mm": Figure(90.0, "a test")}
    assert (
        results(strict, replace(asked(), corners={"LF": half}))["gap-body"].outcome == Outcome.FAILS
    )


def test_a_lower_car_is_held_against_travel_and_height() -> None:
    law = PRESETS["vsb14-height"].law()
    low = asked(planned={"adjusters": {"ride_height_mm": -30.0}})
    found = results(law, low)
    assert found["height"].outcome == Outcome.PASSES
    assert found["travel-left"].outcome == Outcome.FAILS
    taken = message("found.bump-taken", taken_mm=30.0, travel_mm=62.0, taken_share=30 / 62)
    assert found["travel-left"].found == taken
    assert results(law)["travel-left"].outcome == Outcome.PASSES


def test_the_rear_is_judged_alike() -> None:
    question = asked(STRUT_REAR, planned={"camber_by": "lower_arm"})
    assert results(EU, question)["cover"].outcome in (
        Outcome.PASSES,
        Outcome.CANNOT_SAY,
    )


def test_without_a_clearance_check_nothing_of_it_is_said() -> None:
    assert {one.outcome for one in not_checked(with_usual(EU), "rear")} == {Outcome.CANNOT_SAY}

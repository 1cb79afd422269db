"""What a survey leaves unmeasured."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import Adjusters, CurveRow, Limits, Planned, SteerAxis, Suspension
from alignment.geometry.motion import motion_of
from common.verdicts import Verdict
from fitment.engine.check import run
from fitment.engine.defaults import STREET
from fitment.engine.minimum.coverage import uncovered
from fitment.engine.minimum.setting import courses_of
from fitment.engine.model import (
    BODY,
    EDGE,
    KNUCKLE,
    POINTS,
    Check,
    Corner,
    Feature,
    OpenArc,
    Survey,
    SurveyPoint,
    Tyre,
    Wheel,
)

ROWS = tuple(CurveRow(float(t), -0.01 * t, 0.0, 0.0, 0.0) for t in (-100, 0, 100))
STEERED = Suspension(
    "curves",
    table=ROWS,
    steer_axis=SteerAxis((0.0, -75.0, -110.0), 6.0, 12.0),
    camber_pivots={"top_mount": (0.0, -75.0, -110.0)},
)


def around(
    place: str,
    clocks: tuple[float, ...],
    axial: float,
    shape: str = EDGE,
    carried_by: str = BODY,
    radius: float = 420.0,
) -> Feature:
    points = tuple(SurveyPoint(clock, radius, axial) for clock in clocks)
    return Feature(place, carried_by, shape, points, sigma_mm=0.5)


LIP = around("fender lip", (-45, 0, 45), 200.0)
PANEL = around("inner panel", (-60, -20, 20, 60), -320.0, POINTS)
CALIPER = around("caliper", (90,), -30.0, POINTS, KNUCKLE, radius=140.0)


def corner(
    features: tuple[Feature, ...], open_arcs: tuple[OpenArc, ...] = (), steered: bool = True
) -> Corner:
    return Corner(
        Survey(-1.0, 0.0, features, open_arcs),
        STEERED,
        Limits(60, 60, 30 if steered else 0, 35 if steered else 0),
        Planned(0.0, -1.5, "top_mount", Adjusters()),
        Wheel(17, 7.5, 45, barrel_mm=12, spoke_back=((0.0, 60.0), (0.0, 200.0))),
        Tyre("225/45R17"),
    )


def missing(
    *features: Feature, open_arcs: tuple[OpenArc, ...] = (), steered: bool = True
) -> list[str]:
    one = corner(features, open_arcs, steered)
    motion = motion_of(one.suspension, -1.0, 0.0)
    return list(uncovered(one, courses_of(one, motion), motion.spin))


def test_a_lip_a_panel_and_a_caliper_cover_a_corner() -> None:
    assert missing(LIP, PANEL, CALIPER) == []


@pytest.mark.parametrize(
    ("clocks", "steered", "gaps"),
    [
        ((-45, 45), True, []),
        ((-45, 44), True, ["from +44° to +45°"]),
        ((-40, 45), True, ["from -45° to -40°"]),
        ((-30, 30), True, ["from -45° to -30°", "from +30° to +45°"]),
        ((-30, 30), False, []),
        ((-29, 30), False, ["from -30° to -29°"]),
        ((150, 210), True, ["from -45° to +45°"]),
    ],
)
def test_outboard_the_lip_must_reach_as_far_as_the_wheel_turns(
    clocks: tuple[float, ...], steered: bool, gaps: list[str]
) -> None:
    found = missing(around("lip", clocks, 200.0), PANEL, CALIPER, steered=steered)
    assert found == [f"no body edge outboard {gap} of clock" for gap in gaps]


def test_two_edges_that_meet_cover_together_and_two_that_do_not_leave_a_gap() -> None:
    front, rear = around("front", (0, 45), 200.0), around("rear", (-45, 0), 205.0)
    assert missing(front, rear, PANEL, CALIPER) == []
    short = around("rear", (-45, -6), 205.0)
    assert missing(front, short, PANEL, CALIPER) == [
        "no body edge outboard from -6° to +0° of clock"
    ]


def test_lone_points_outboard_cover_nothing() -> None:
    marks = around("lip marks", (-45, -30, -15, 0, 15, 30, 45), 200.0, POINTS)
    assert missing(marks, PANEL, CALIPER) == ["no body edge outboard from -45° to +45° of clock"]


@pytest.mark.parametrize(
    ("clocks", "gaps"),
    [
        ((-60, -20, 20, 60), []),
        ((-25, 15, 55), []),
        ((-60, -20, 20.5, 60), ["from -20° to +20°"]),
        ((0,), ["from -60° to +0°", "from +0° to +60°"]),
        ((-10, 30), ["from -60° to -10°"]),
        ((90,), ["from -60° to +60°"]),
    ],
)
def test_inboard_no_gap_is_wider_than_forty_degrees(
    clocks: tuple[float, ...], gaps: list[str]
) -> None:
    found = missing(LIP, around("panel", clocks, -320.0, POINTS), CALIPER)
    rounded = [f"nothing measured inboard {gap} of clock" for gap in gaps]
    assert found == rounded


def test_an_arc_that_was_looked_at_and_found_open_counts_as_covered() -> None:
    mark = around("panel", (-60,), -320.0, POINTS)
    assert missing(LIP, mark, CALIPER) == ["nothing measured inboard from -60° to +60° of clock"]
    arc = OpenArc("inboard", -30.0, 60.0, 60.0)
    assert missing(LIP, mark, CALIPER, open_arcs=(arc,)) == []
    other_side = OpenArc("outboard", -30.0, 60.0, 60.0)
    assert missing(LIP, mark, CALIPER, open_arcs=(other_side,)) != []


def test_something_that_the_knuckle_carries_must_be_measured() -> None:
    assert missing(LIP, PANEL) == ["nothing measured that the knuckle or strut carries"]


def test_what_the_knuckle_carries_covers_neither_side() -> None:
    on_knuckle = replace(LIP, place="shield", carried_by=KNUCKLE)
    assert missing(on_knuckle, PANEL) == ["no body edge outboard from -45° to +45° of clock"]


def test_sides_are_those_of_the_planned_wheels_centre_plane() -> None:
    """45 mm inboard of the hub face, so an edge at -40 is outboard of it and one at -50 is not."""
    near = around("lip", (-45, 0, 45), -40.0, radius=440.0)
    far = around("lip", (-45, 0, 45), -50.0, radius=440.0)
    assert missing(near, PANEL, CALIPER) == []
    assert missing(far, PANEL, CALIPER) == ["no body edge outboard from -45° to +45° of clock"]


def test_a_rail_given_in_coordinates_covers_the_clock_angles_that_it_spans() -> None:
    rail = Feature("rail", BODY, EDGE, xyz_mm=((-400.0, -320.0, 231.0), (400.0, -320.0, 231.0)))
    assert missing(LIP, rail, CALIPER) == []  # atan(400 / 231) is 60°
    short = Feature("rail", BODY, EDGE, xyz_mm=((-80.0, -320.0, 231.0), (400.0, -320.0, 231.0)))
    assert missing(LIP, short, CALIPER) == ["nothing measured inboard from -60° to -19° of clock"]


def test_unmeasured_is_never_clear() -> None:
    def verdict(one: Corner) -> str:
        return run(Check("", STREET, {"LF": one})).corners["LF"].verdict

    whole = corner((LIP, PANEL, CALIPER))
    assert verdict(whole) == Verdict.CLEAR
    assert verdict(corner((LIP, PANEL))) == Verdict.UNMEASURED
    assert verdict(replace(whole, limits=replace(whole.limits, bump_mm=None))) == Verdict.UNMEASURED


def test_an_unknown_bump_limit_is_said_and_judged_at_static_height() -> None:
    whole = corner((LIP, PANEL, CALIPER))
    blind = replace(whole, limits=replace(whole.limits, bump_mm=None))
    answer = run(Check("", STREET, {"LF": blind})).corners["LF"]
    assert answer.uncovered == ("how far the wheel can go into bump is not known",)
    assert all(place.at.travel_mm <= 1e-9 for place in answer.places)
    assert any("static height only" in note for note in answer.notes)


@pytest.mark.parametrize("known", ["neither", "barrel", "spokes"])
def test_a_place_inside_a_wheel_that_nobody_traced_is_unmeasured(known: str) -> None:
    whole = corner((LIP, PANEL, CALIPER))
    wheel = Wheel(17, 7.5, 45)
    if known == "barrel":
        wheel = replace(wheel, barrel_mm=12)
    if known == "spokes":
        wheel = replace(wheel, spoke_back=whole.wheel.spoke_back)
    answer = run(Check("", STREET, {"LF": replace(whole, wheel=wheel)})).corners["LF"]
    caliper = next(place for place in answer.places if place.place == "caliper")
    assert caliper.verdict == Verdict.UNMEASURED
    assert answer.verdict == Verdict.UNMEASURED
    measured = run(Check("", STREET, {"LF": whole})).corners["LF"]
    assert next(p for p in measured.places if p.place == "caliper").verdict == Verdict.CLEAR


def test_edges_are_looked_at_between_their_points() -> None:
    """A lip that dips inboard of the centre plane half way covers only where it is outboard."""
    points = tuple(
        SurveyPoint(clock, 440.0, axial)
        for clock, axial in ((-45, 200.0), (-10, 200.0), (0, -290.0), (10, 200.0), (45, 200.0))
    )
    (gap,) = missing(Feature("lip", BODY, EDGE, points), PANEL, CALIPER)
    at = -10 + 10 * (200 + 45) / (200 + 290)
    assert np.isclose(at, -5)
    assert gap == "no body edge outboard from -5° to +5° of clock"

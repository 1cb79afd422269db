"""What a survey leaves unmeasured of what the wheel visits."""

from __future__ import annotations

import copy
from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry import frames
from alignment.geometry.model import Adjusters, CurveRow, Limits, Planned, SteerAxis, Suspension
from common.message import Message, message
from common.verdicts import Verdict
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.defaults import STREET
from fitment.engine.minimum.coverage import coverage, uncovered
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    BODY,
    EDGE,
    INBOARD,
    KNUCKLE,
    OUTBOARD,
    POINTS,
    Check,
    Corner,
    Feature,
    OpenArc,
    Sector,
    Survey,
    SurveyPoint,
    Tyre,
    Wheel,
)
from fitment.engine.solid.section import section_of

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


LIP = around("arch lip", (-45, 0, 45), 80.0)
PANEL = around("inner panel", (-60, -30, 0, 30, 60), -240.0, POINTS, radius=330.0)
CALIPER = around("caliper", (90,), -30.0, POINTS, KNUCKLE, radius=140.0)
#: What a front wheel of this lock wants looked at besides: its arch down to bumper and sill.
BUMPER = around("bumper edge", (45, 75, 110), 60.0)
SILL = around("sill end", (-110, -75, -45), 60.0)
LINERS = (
    around("liner front", (60, 85, 110), -180.0, radius=400.0),
    around("liner rear", (-110, -85, -60), -180.0, radius=400.0),
)
GROUND = (OpenArc(OUTBOARD, 113, 247, 60.0), OpenArc(INBOARD, 113, 247, 60.0))
FRONT = (LIP, PANEL, CALIPER, BUMPER, SILL, *LINERS)


def corner(
    features: tuple[Feature, ...], open_arcs: tuple[OpenArc, ...] = (), lock: float = 0.0
) -> Corner:
    return Corner(
        Survey(-1.0, 0.0, features, open_arcs),
        STEERED,
        Limits(60, 60, lock, lock),
        Planned(0.0, -1.5, "top_mount", Adjusters()),
        Wheel(17, 7.5, 45, barrel_mm=12, spoke_back=((0.0, 60.0), (0.0, 200.0))),
        Tyre("225/45R17"),
    )


def sectors_of(one: Corner) -> tuple[Sector, ...]:
    return coverage(setting_of("LF", one, STREET), section_of(one.wheel, one.tyre))


def missing(
    *features: Feature, open_arcs: tuple[OpenArc, ...] = (), lock: float = 0.0
) -> list[str]:
    one = corner(features, open_arcs, lock)
    told = uncovered(setting_of("LF", one, STREET), sectors_of(one))
    return [words(reason) for reason in told]


def words(reason: Message) -> str:
    """A reason in short, with the arc that it names."""
    if reason.code == "open.carried":
        return "nothing measured that the knuckle or strut carries"
    side = reason.code.removeprefix("open.")
    low, high = reason.params["from_deg"], reason.params["to_deg"]
    return f"nothing measured {side} from {low:+.0f}° to {high:+.0f}° of clock"


def test_a_lip_a_panel_and_a_caliper_cover_a_corner_that_does_not_steer() -> None:
    assert missing(LIP, PANEL, CALIPER) == []


@pytest.mark.parametrize(
    ("clocks", "gaps"),
    [
        ((-45, 45), []),
        ((-38, 38), []),
        ((-37, 45), ["from -52° to -38°"]),
        ((-22, 22), ["from -52° to -22°", "from +22° to +52°"]),
        ((150, 210), ["from -52° to +52°"]),
    ],
)
def test_above_the_wheel_every_sector_outboard_needs_something_near(
    clocks: tuple[float, ...], gaps: list[str]
) -> None:
    found = missing(around("lip", clocks, 80.0), PANEL, CALIPER)
    assert found == [f"nothing measured outboard {gap} of clock" for gap in gaps]


def test_lone_points_outboard_cover_their_sectors() -> None:
    marks = around("lip marks", (-45, -30, -15, 0, 15, 45), 80.0, POINTS)
    (gap,) = missing(marks, PANEL, CALIPER)
    assert gap == "nothing measured outboard from +22° to +38° of clock"


@pytest.mark.parametrize(
    ("clocks", "gaps"),
    [
        ((-60, -15, 30, 60), []),
        ((-60, -15, 45, 60), ["from -8° to +38°"]),
        ((-60, 60), ["from -52° to +52°"]),
        ((0,), ["from -68° to -8°", "from +8° to +68°"]),
    ],
)
def test_inboard_two_sectors_may_be_passed_over_between_two_that_were_looked_at(
    clocks: tuple[float, ...], gaps: list[str]
) -> None:
    found = missing(LIP, around("panel", clocks, -240.0, POINTS, radius=330.0), CALIPER)
    assert found == [f"nothing measured inboard {gap} of clock" for gap in gaps]


@pytest.mark.parametrize(("radius", "axial", "covers"), [(430, 80, True), (560, 80, False)])
def test_what_lies_far_from_the_swept_wheel_covers_nothing(
    radius: float, axial: float, covers: bool
) -> None:
    """The tyre reaches 318 mm from the axis, 60 mm higher at the top, and 70 mm outboard."""
    lip = around("lip", (-45, 0, 45), axial, radius=radius)
    found = missing(lip, PANEL, CALIPER)
    assert (found == []) == covers
    aside = around("lip", (-45, 0, 45), 600.0)
    (gap,) = missing(aside, PANEL, CALIPER)
    assert gap == "nothing measured outboard from -52° to +52° of clock"


def test_a_lowered_strut_with_36_degrees_of_lock_needs_more_than_what_is_above_it() -> None:
    found = missing(LIP, PANEL, CALIPER, lock=36.0)
    assert len(found) == 4
    for side in (OUTBOARD, INBOARD):
        behind, ahead = (one for one in found if side in one)
        assert "from -" in behind
        assert "to -" in behind
        assert "from +" in ahead
    verdict = run(Check("", STREET, {"LF": corner((LIP, PANEL, CALIPER), lock=36.0)})).verdict
    assert verdict == Verdict.UNMEASURED


def test_a_front_corner_measured_down_to_bumper_and_sill_is_covered() -> None:
    assert missing(*FRONT, open_arcs=GROUND, lock=36.0) == []
    without = tuple(feature for feature in FRONT if feature is not BUMPER)
    (gap,) = missing(*without, open_arcs=GROUND, lock=36.0)
    assert gap == "nothing measured outboard from +52° to +112° of clock"


def test_the_more_lock_the_more_has_to_be_looked_at() -> None:
    counts = [len(sectors_of(corner(FRONT, lock=lock))) for lock in (0.0, 5.0, 20.0, 36.0)]
    assert counts[0] == 7 + 9
    assert counts == sorted(counts)
    assert counts[1] < counts[3]


def test_open_counts_as_far_as_the_sweep_goes() -> None:
    """The arcs below the wheel were looked at; steering adds some 30 mm there."""
    whole = sectors_of(corner(FRONT, GROUND, lock=36.0))
    low = [one for one in whole if abs(one.clock_deg) > 115]
    assert low
    assert {one.state for one in low} == {"open"}
    most = max(one.adds_mm for one in low if one.side == OUTBOARD)
    assert 10.0 < most < 60.0
    shallow = (replace(GROUND[0], beyond_mm=most - 1.0), GROUND[1])
    assert missing(*FRONT, open_arcs=shallow, lock=36.0)
    deep = (replace(GROUND[0], beyond_mm=most + 0.01), GROUND[1])
    assert missing(*FRONT, open_arcs=deep, lock=36.0) == []
    other_side = (GROUND[0], replace(GROUND[1], side=OUTBOARD))
    assert missing(*FRONT, open_arcs=other_side, lock=36.0)


def test_something_that_the_knuckle_carries_must_be_measured() -> None:
    assert missing(LIP, PANEL) == ["nothing measured that the knuckle or strut carries"]


def test_what_the_knuckle_carries_covers_neither_side() -> None:
    on_knuckle = replace(LIP, place="shield", carried_by=KNUCKLE)
    assert missing(on_knuckle, PANEL) == ["nothing measured outboard from -52° to +52° of clock"]


def test_sides_are_those_of_the_planned_wheels_centre_plane() -> None:
    """45 mm inboard of the hub face, so an edge at -40 is outboard of it and one at -50 is not."""
    near = around("lip", (-45, 0, 45), -40.0, radius=440.0)
    far = around("lip", (-45, 0, 45), -50.0, radius=440.0)
    assert missing(near, PANEL, CALIPER) == []
    assert missing(far, PANEL, CALIPER) == ["nothing measured outboard from -52° to +52° of clock"]


def test_a_rail_given_in_coordinates_covers_the_sectors_that_it_spans() -> None:
    rail = Feature("rail", BODY, EDGE, xyz_mm=((-400.0, -260.0, 231.0), (400.0, -260.0, 231.0)))
    assert missing(LIP, rail, CALIPER) == []  # atan(400 / 231) is 60°
    short = Feature("rail", BODY, EDGE, xyz_mm=((-25.0, -260.0, 231.0), (400.0, -260.0, 231.0)))
    assert missing(LIP, short, CALIPER) == ["nothing measured inboard from -68° to -8° of clock"]


@pytest.mark.parametrize("lock", [0.0, 30.0])
def test_a_sector_reaches_as_far_as_the_wheel_sweeps_there(lock: float) -> None:
    """Against many more points of the solid in many more poses: within half the 10 mm rule."""
    one = corner(FRONT, GROUND, lock=lock)
    setting, section = setting_of("LF", one, STREET), section_of(one.wheel, one.tyre)
    rng = np.random.default_rng(3)
    low, high = setting.envelope.steer_span
    count = 1500
    steer = np.concatenate([rng.uniform(low, high, count), np.repeat([low, high], 200)])
    share = rng.choice([0.0, 1.0, 0.5, 0.25], len(steer))
    poses = setting.envelope.poses(setting.room.hubs, steer, share, np.zeros(len(steer), bool))
    outline = section.tyre_outline_mm
    spin = setting.room.rest_spin
    up, forward = frames.wheel_axes(spin)
    reach: dict[tuple[str, int], float] = {}
    for hub, axis in zip(poses.hub, poses.spin, strict=True):
        a, r = outline[rng.integers(len(outline), size=120)].T
        turn = rng.uniform(0, 2 * np.pi, 120)
        over, ahead = frames.wheel_axes(axis)
        at = hub + a[:, None] * axis
        at = at + r[:, None] * (np.cos(turn)[:, None] * over + np.sin(turn)[:, None] * ahead)
        clock = np.degrees(np.arctan2(at @ forward, at @ up))
        side = np.where(at @ spin >= -45.0, OUTBOARD, INBOARD)
        sector = np.round(clock / 15.0).astype(int) * 15
        radius = np.hypot(at @ forward, at @ up)
        for where, angle, far in zip(side, sector, radius, strict=True):
            reach[where, angle] = max(reach.get((where, angle), 0.0), far)
    for sector in coverage(setting, section):
        brute = reach[sector.side, int(sector.clock_deg)]
        assert sector.reach_mm == pytest.approx(brute, abs=5.0), sector
        assert sector.adds_mm >= 0.0


def test_unmeasured_is_never_clear() -> None:
    def verdict(one: Corner) -> Verdict:
        return run(Check("", STREET, {"LF": one})).corners["LF"].verdict

    whole = corner(FRONT, GROUND, lock=30.0)
    assert verdict(whole) == Verdict.CLEAR
    assert verdict(corner(FRONT, (), lock=30.0)) == Verdict.UNMEASURED
    without = tuple(feature for feature in FRONT if feature is not CALIPER)
    assert verdict(corner(without, GROUND, lock=30.0)) == Verdict.UNMEASURED
    assert verdict(replace(whole, limits=replace(whole.limits, bump_mm=None))) == Verdict.UNMEASURED


def test_an_unknown_bump_limit_is_said_and_judged_at_static_height() -> None:
    whole = corner(FRONT, GROUND, lock=30.0)
    blind = replace(whole, limits=replace(whole.limits, bump_mm=None))
    answer = run(Check("", STREET, {"LF": blind})).corners["LF"]
    assert answer.uncovered == (message("open.bump"),)
    assert all(place.at.travel_mm <= 1e-9 for place in answer.places)
    assert message("note.no-bump") in answer.notes


@pytest.mark.parametrize("known", ["neither", "barrel", "spokes"])
def test_a_spot_inside_an_untraced_wheel_is_unmeasured(known: str) -> None:
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
        SurveyPoint(clock, 420.0, axial)
        for clock, axial in ((-45, 80.0), (-15, 80.0), (0, -200.0), (15, 80.0), (45, 80.0))
    )
    (gap,) = missing(Feature("lip", BODY, EDGE, points), PANEL, CALIPER)
    at = -15 + 15 * (80 + 45) / (80 + 200)
    assert -8.4 < at < -7.5, "outboard up to the edge of the sector of straight up"
    assert gap == "nothing measured outboard from -8° to +8° of clock"


def test_the_answer_carries_the_sectors_for_the_page_to_draw() -> None:
    answer = run(Check("", STREET, {"LF": corner((LIP, PANEL, CALIPER), lock=36.0)})).corners["LF"]
    states = {(s.side, s.clock_deg): s.state for s in answer.sectors}
    assert states[OUTBOARD, 0.0] == "seen"
    assert states[OUTBOARD, 90.0] == "missing"
    assert states[INBOARD, 15.0] == "passed"


def lowered_strut(kept_deg: float) -> Check:
    """The demonstration's front strut lowered by 25 mm, lock 31 and 36 degrees, with nothing of
    the body known beyond so many degrees of clock either way."""
    document = copy.deepcopy(STRUT_FRONT)
    survey = document["survey"]
    for feature in survey["features"]:
        if feature["carried_by"] == BODY and "points" in feature:
            feature["points"] = [p for p in feature["points"] if abs(p["clock_deg"]) <= kept_deg]
    if kept_deg < 90:
        survey["open"] = []
    document["limits"] |= {"steer_in_deg": 31, "steer_out_deg": 36}
    document |= {
        "planned": {
            "toe_deg": 0.05,
            "camber_deg": -1.5,
            "camber_by": "top_mount",
            "adjusters": {"ride_height_mm": -25.0},
        },
        "wheel": {
            "diameter_in": 17,
            "width_in": 7,
            "offset_mm": 48,
            "barrel_mm": 12,
            "spoke_back": [[18, 40], [16, 80], [22, 150], [34, 190]],
        },
        "tyre": {"size": "205/45R17"},
    }
    return checkfile.parse({"archroom_check": 1, "duty": "street", "corners": {"LF": document}})


def test_a_lowered_strut_that_nobody_measured_beyond_60_degrees_is_not_clear() -> None:
    """Every place that was measured clears; liner, bumper and sill at full lock were never seen."""
    (answer,) = run(lowered_strut(60.0)).corners.values()
    assert {place.verdict for place in answer.places} <= {Verdict.CLEAR, Verdict.TIGHT}
    assert answer.verdict == Verdict.UNMEASURED
    arcs = {words(reason) for reason in answer.uncovered}
    assert any("outboard from +" in arc for arc in arcs)
    assert any("outboard from -" in arc for arc in arcs)
    (whole,) = run(lowered_strut(180.0)).corners.values()
    assert whole.uncovered == ()
    assert whole.verdict in (Verdict.CLEAR, Verdict.TIGHT), "measured all round, it may go on"


@pytest.mark.parametrize("lock", [0.0, 30.0])
def test_features_half_a_metre_away_make_no_corner_clear(lock: float) -> None:
    """Points at a radius of 790 mm, 690 mm inboard: 468 to 640 mm away, at every clock angle."""
    clocks = tuple(float(clock) for clock in range(-180, 180, 15))
    far = (
        around("far lip", clocks, 600.0, radius=790.0),
        around("far panel", clocks, -690.0, radius=790.0),
    )
    (answer,) = run(Check("", STREET, {"LF": corner((*far, CALIPER), lock=lock)})).corners.values()
    assert all(place.clearance_mm > 400.0 for place in answer.places if place.carried_by == BODY)
    assert answer.verdict == Verdict.UNMEASURED
    assert {sector.state for sector in answer.sectors} == {"missing"}

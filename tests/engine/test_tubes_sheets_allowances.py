"""Rods as obstacles, bump-steer sheets over the model, and tyres as worn, grown or largest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry import frames
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import MeasuredTravel, Planned, TravelReading
from fitment.engine import checkfile
from fitment.engine.check import CannotCheck, run
from fitment.engine.minimum.setting import motion_for, setting_of
from fitment.engine.model import LINK, Check, Corner, Feature, Tyre, Wheel
from fitment.engine.solid.mounted import mounted
from fitment.engine.solid.section import section_of
from tests.engine.files import check_of

STRUT, LINKS = "check-00", "check-10"


def one_corner(name: str) -> tuple[Check, str, Corner]:
    check = check_of(name)
    ((where, corner),) = check.corners.items()
    return check, where, corner


def with_feature(corner: Corner, feature: Feature) -> Corner:
    survey = replace(corner.survey, features=(*corner.survey.features, feature))
    return replace(corner, survey=survey)


@pytest.mark.parametrize(("name", "rod"), [(STRUT, "tie_rod"), (LINKS, "upper front")])
def test_a_tube_follows_its_rod_through_every_pose(name: str, rod: str) -> None:
    check, where, corner = one_corner(name)
    tube = Feature("the rod", carried_by=LINK, shape="edge", half_thickness_mm=9, link=rod)
    corner = with_feature(corner, tube)
    check = replace(check, corners={where: corner})
    place = run(check).corners[where].places[-1]
    # The slow way: solve a grid of the envelope's poses and walk along the rod in each.
    setting = setting_of(where, replace(corner, compliance=None), check.duty)
    plain = run(replace(check, corners={where: replace(corner, compliance=None)}))
    envelope, motion, settled = setting.envelope, setting.motion, setting.settled
    steer = np.unique(
        np.concatenate([envelope.steer_grid(), np.linspace(*envelope.steer_span, 25)])
    )
    steered = motion.steered(settled, np.zeros(len(steer), np.intp), steer)
    pick = np.repeat(np.arange(len(steer)), 25)
    share = np.tile(np.linspace(0, 1, 25), len(steer))
    travel = envelope.travel(steer[pick], share, np.zeros(len(pick), bool))
    poses = motion.travelled(settled, steered, pick, travel)
    index = corner.suspension.rod_names.index(rod)
    inner, outer = poses.rod_ends[:, index].transpose(1, 0, 2)
    along = np.linspace(0, 1, 401)[:, None]
    points = inner[:, None] + along * (outer - inner)[:, None]
    axial, radius = frames.meridian(points, poses.hub[:, None], poses.spin[:, None])
    least = section_of(corner.wheel, corner.tyre).distance(axial, radius).min() - 9
    stated = plain.corners[where].places[-1].clearance_mm
    assert stated <= least + 0.02
    assert stated == pytest.approx(least, abs=0.3)
    assert place.clearance_mm <= stated + 0.02, "loaded poses can only take room"
    length = np.linalg.norm(outer - inner, axis=1)
    assert np.ptp(length) < 1e-6


def sheet(corner: Corner, error_deg: float, *, instead: bool = False) -> MeasuredTravel:
    """A sheet that differs from the model's toe by ``error_deg`` per 50 mm of bump."""
    bare = motion_for(replace(corner, suspension=replace(corner.suspension, measured=None)))
    settled = bare.settle([Planned(toe_deg=corner.survey.toe_deg)])
    heights = np.array([-50.0, -25.0, 0.0, 25.0, 50.0])
    straight = bare.steered(settled, np.zeros(1, np.intp), np.zeros(1))
    poses = bare.travelled(settled, straight, np.zeros(5, np.intp), heights)
    toe = np.degrees(frames.toe_of(poses.spin)) - corner.survey.toe_deg
    rows = [
        TravelReading(float(z), None, 0.0 if z == 0 else float(t + error_deg * z / 50))
        for z, t in zip(heights, toe, strict=True)
    ]
    return MeasuredTravel(tuple(rows), instead=instead)


def with_sheet(corner: Corner, measured: MeasuredTravel) -> Corner:
    return replace(corner, suspension=replace(corner.suspension, measured=measured))


@pytest.mark.parametrize("instead", [False, True])
def test_a_sheet_turns_the_wheel_as_it_was_read(instead: bool) -> None:
    _, _, corner = one_corner(STRUT)
    read = sheet(corner, 0.4, instead=instead)
    motion = motion_for(with_sheet(corner, read))
    settled = motion.settle([Planned(toe_deg=corner.survey.toe_deg)])
    straight = motion.steered(settled, np.zeros(1, np.intp), np.zeros(1))
    heights = np.array([row.travel_mm for row in read.rows])
    poses = motion.travelled(settled, straight, np.zeros(5, np.intp), heights)
    toe = np.degrees(frames.toe_of(poses.spin)) - corner.survey.toe_deg
    assert toe == pytest.approx([row.toe_deg for row in read.rows], abs=2e-3)


def test_a_sheet_that_agrees_with_the_model_changes_nothing() -> None:
    check, where, corner = one_corner(STRUT)
    plain = run(check).corners[where]
    told = run(replace(check, corners={where: with_sheet(corner, sheet(corner, 0.0))}))
    for before, after in zip(plain.places, told.corners[where].places, strict=True):
        assert after.to_solid_mm == pytest.approx(before.to_solid_mm, abs=0.05)


def test_a_sheet_that_disagrees_moves_the_tight_places_and_keeps_the_planned_toe() -> None:
    check, where, corner = one_corner(STRUT)
    plain = run(check).corners[where]
    told = run(replace(check, corners={where: with_sheet(corner, sheet(corner, 0.8))}))
    moved = [
        abs(after.to_solid_mm - before.to_solid_mm)
        for before, after in zip(plain.places, told.corners[where].places, strict=True)
    ]
    assert max(moved) > 0.3
    assert told.corners[where].static == plain.static


def test_a_sheet_that_stands_instead_of_the_model_refuses_travel_beyond_it() -> None:
    check, where, corner = one_corner(STRUT)
    short = sheet(corner, 0.1, instead=True)
    short = replace(short, rows=short.rows[1:4])
    with pytest.raises(CannotCheck, match=r"stop\.sheet"):
        run(replace(check, corners={where: with_sheet(corner, short)}))
    assert issubclass(CannotCheck, Unreachable)


WHEEL = Wheel(18, 9.5, 40)
TYRE = Tyre("265/35R18", 271, 9.5, 643)


def test_wear_and_growth_change_the_radius_and_nothing_else() -> None:
    new, worn = mounted(WHEEL, TYRE), mounted(WHEEL, replace(TYRE, worn_mm=5))
    grown = mounted(WHEEL, replace(TYRE, growth_mm=3))
    assert worn.overall_diameter_mm == new.overall_diameter_mm - 10
    assert grown.overall_diameter_mm == new.overall_diameter_mm + 6
    assert worn.section_width_mm == grown.section_width_mm == new.section_width_mm
    lip = (np.array([-40.0]), np.array([345.0]))
    gaps = [
        float(section_of(WHEEL, tyre).distance(*lip)[0])
        for tyre in (replace(TYRE, worn_mm=5), TYRE, replace(TYRE, growth_mm=3))
    ]
    assert gaps[0] > gaps[1] > gaps[2]
    assert gaps[1] - gaps[2] == pytest.approx(3, abs=0.05)


def test_a_traced_tyre_wears_and_grows_with_its_crown() -> None:
    _, _, corner = one_corner(STRUT)
    assert corner.tyre.profile
    above = (np.array([corner.wheel.spacer_mm - corner.wheel.offset_mm]), np.array([330.0]))
    traced = section_of(corner.wheel, corner.tyre).distance(*above)[0]
    worn = section_of(corner.wheel, replace(corner.tyre, worn_mm=4)).distance(*above)[0]
    assert worn - traced == pytest.approx(4, abs=0.02)


def test_the_largest_allowed_tyre_is_four_per_cent_wider_and_taller_in_section() -> None:
    """UN R30, 6.1.4 and 6.1.5 (memory): width 104 %, section height 104 % of the design size."""
    nominal = Tyre("205/60R15")
    wheel = Wheel(15, 6.0, 40)
    design = mounted(wheel, nominal)
    largest = mounted(wheel, replace(nominal, largest_allowed=True))
    assert largest.section_width_mm == pytest.approx(1.04 * design.section_width_mm)
    assert largest.overall_diameter_mm == pytest.approx(381 + 2 * 1.04 * 123)


def test_tubes_sheets_present_wheels_and_allowances_survive_the_check_file() -> None:
    check, where, corner = one_corner(STRUT)
    tube = Feature("tie rod", carried_by=LINK, shape="edge", half_thickness_mm=8, link="tie_rod")
    corner = with_sheet(with_feature(corner, tube), sheet(corner, 0.2, instead=True))
    document = checkfile.dump(replace(check, corners={where: corner}))
    document["corners"][where]["tyre"] |= {"worn_mm": 2, "growth_mm": 1.5, "largest_allowed": True}
    document["corners"][where]["present"] = {
        "planned": {"toe_deg": 0.1},
        "wheel": {"diameter_in": 16, "width_in": 6.5, "offset_mm": 44},
        "tyre": {"size": "195/60R16"},
        "gaps": [{"place": "arch lip", "gap_mm": 31, "travel_mm": 20, "steer_deg": -10}],
    }
    read = checkfile.parse(document)
    assert read.corners[where].present is not None
    assert read.corners[where].tyre.largest_allowed
    assert checkfile.parse(checkfile.dump(read)) == read


def damaged(change: dict[str, object]) -> tuple[str, ...]:
    check, where, corner = one_corner(STRUT)
    corner = with_sheet(corner, sheet(corner, 0.2))
    document = checkfile.dump(replace(check, corners={where: corner}))
    target = document["corners"][where]
    if "feature" in change:
        target["survey"]["features"].append(change["feature"])
    if "measured" in change:
        target["suspension"]["measured"] = change["measured"]
    if "present" in change:
        target["present"] = change["present"]
    with pytest.raises(checkfile.BadCheckFile) as refused:
        checkfile.parse(document)
    return tuple(str(problem) for problem in refused.value.problems)


TUBE = {"place": "rod", "carried_by": "link"}
PRESENT = {
    "planned": {"toe_deg": 0},
    "wheel": {"diameter_in": 16, "width_in": 6.5, "offset_mm": 44},
    "tyre": {"size": "195/60R16"},
}


@pytest.mark.parametrize(
    ("change", "path", "word"),
    [
        ({"feature": TUBE}, "features[5].link", "missing"),
        ({"feature": TUBE | {"link": "upper_arm_front"}}, "features[5].link", "not a rod"),
        ({"feature": TUBE | {"link": "tie_rod", "xyz_mm": [[0, 0, 0]]}}, "xyz_mm", "joints"),
        ({"measured": {"rows": []}}, "measured.rows", "2"),
        (
            {"measured": {"rows": [{"travel_mm": 10}, {"travel_mm": -10}]}},
            "measured.rows[1].travel_mm",
            "rise",
        ),
        (
            {"measured": {"rows": [{"travel_mm": -10, "toe_deg": 1}, {"travel_mm": 10}]}},
            "measured.rows",
            "travel 0",
        ),
        ({"present": PRESENT | {"gaps": []}}, "present.gaps", "1"),
        (
            {"present": PRESENT | {"gaps": [{"place": "bonnet", "gap_mm": 3}]}},
            "present.gaps[0].place",
            "not a body place",
        ),
    ],
)
def test_a_damaged_tube_sheet_or_present_wheel_is_named(
    change: dict[str, object], path: str, word: str
) -> None:
    problems = damaged(change)
    assert any(path in problem and word in problem for problem in problems), problems

"""What must hold for every corner with any figures: checked on many of them.

Corners come from the seeded generator; hypothesis picks seeds and amounts and shrinks what fails.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import STRUT, Adjusters, Compliance, Planned, Rod, Suspension, Vec3
from fitment.engine.minimum.closest import Closest, closest
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import BODY, EDGE, Check, Corner, Duty, Feature
from fitment.engine.solid.section import section_of
from tests.engine.random_corners import random_check, the_corner

#: What the search may miss, mm: twice its promise, more where an overlap is deep.
SLACK_MM, DEEP_SLACK_MM = 0.04, 0.3
SEEDS = st.integers(0, 400)
FEW = settings(
    max_examples=12,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def least(corner: Corner, duty: Duty) -> np.ndarray:
    return found(corner, duty)[1].clearance_mm


def found(corner: Corner, duty: Duty) -> tuple[Setting, Closest]:
    setting = setting_of("LF", corner, duty)
    fine, rough = (section_of(corner.wheel, corner.tyre, coarse) for coarse in (False, True))
    return setting, closest(setting.room, fine, rough)


def slack(clearance: np.ndarray) -> np.ndarray:
    return np.where(clearance < -1.0, DEEP_SLACK_MM, SLACK_MM)


def checked(seed: int) -> tuple[Corner, Duty]:
    check: Check = random_check(seed)
    return the_corner(check), check.duty


@FEW
@given(SEEDS, st.floats(0.5, 25.0))
def test_a_narrower_tyre_never_comes_closer(seed: int, less: float) -> None:
    """Same share of tread, same shoulder: the narrower section lies inside the wider one."""
    corner, duty = checked(seed)
    width = section_of(corner.wheel, corner.tyre).section_width_mm
    drop = section_of(corner.wheel, corner.tyre).mounted.shoulder_drop_mm
    plain = replace(
        corner.tyre, profile=(), measuring_rim_in=None, tread_width_mm=None, shoulder_drop_mm=drop
    )
    wide = replace(corner, tyre=replace(plain, section_width_mm=width))
    narrow = replace(corner, tyre=replace(plain, section_width_mm=width - less))
    before, after = least(wide, duty), least(narrow, duty)
    assert np.all(after >= before - slack(before))


@FEW
@given(SEEDS, st.floats(1.0, 30.0))
def test_a_smaller_tyre_never_comes_closer(seed: int, less: float) -> None:
    corner, duty = checked(seed)
    size = section_of(corner.wheel, corner.tyre).mounted
    plain = replace(
        corner.tyre,
        profile=(),
        measuring_rim_in=None,
        section_width_mm=size.section_width_mm,
        tread_width_mm=None,
        shoulder_drop_mm=None,
    )
    tall = replace(corner, tyre=replace(plain, overall_diameter_mm=size.overall_diameter_mm))
    low = replace(corner, tyre=replace(plain, overall_diameter_mm=size.overall_diameter_mm - less))
    # The side wall under the widest point moves with the section's height: look at the crown.
    setting, closest_tall = found(tall, duty)
    _, closest_low = found(low, duty)
    before, after = closest_tall.clearance_mm, closest_low.clearance_mm
    radius = setting.room.meridian(closest_low.spots)[1]
    above = radius > size.rim_radius_mm + 0.6 * size.section_height_mm
    above &= setting.room.meridian(closest_tall.spots)[1] > size.rim_radius_mm + 0.6 * (
        size.section_height_mm
    )
    assert np.all((after >= before - slack(before))[above])


@FEW
@given(SEEDS, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_wider_use_never_leaves_more_clearance(seed: int, lock: float, height: float) -> None:
    corner, duty = checked(seed)
    narrow = replace(
        duty,
        envelope=tuple((fraction, bump * height) for fraction, bump in duty.envelope),
        droop_fraction=duty.droop_fraction * height,
    )
    limits = replace(
        corner.limits,
        steer_in_deg=corner.limits.steer_in_deg * lock,
        steer_out_deg=corner.limits.steer_out_deg * lock,
    )
    flat = replace(duty, envelope=((0.0, 1.0), (1.0, 1.0)), droop_fraction=1.0)
    wide = least(corner, flat)
    part = least(replace(corner, limits=limits), replace(narrow, lateral_g=duty.lateral_g))
    assert np.all(wide <= part + slack(part))


@FEW
@given(SEEDS)
def test_loaded_poses_can_only_take_clearance(seed: int) -> None:
    corner, duty = checked(seed)
    with_load, without = least(corner, duty), least(replace(corner, compliance=None), duty)
    assert np.all(with_load <= without + slack(without))


@FEW
@given(SEEDS, st.floats(0.5, 40.0))
def test_a_thicker_edge_costs_its_thickness(seed: int, more: float) -> None:
    corner, duty = checked(seed)
    thick = tuple(
        replace(feature, half_thickness_mm=feature.half_thickness_mm + more)
        for feature in corner.survey.features
    )
    before = least(corner, duty)
    after = least(replace(corner, survey=replace(corner.survey, features=thick)), duty)
    assert after == pytest.approx(before - more, abs=DEEP_SLACK_MM)


@FEW
@given(SEEDS, st.floats(1.0, 40.0))
def test_an_obstacle_moved_away_from_the_wheel_never_leaves_less_clearance(
    seed: int, by: float
) -> None:
    """Outwards over the crown: every point's radius grows while its axial place stays."""
    corner, duty = checked(seed)
    straight = replace(corner, limits=replace(corner.limits, steer_in_deg=0.0, steer_out_deg=0.0))
    over = tuple(
        feature
        for feature in straight.survey.features
        if feature.place in ("arch lip", "liner") and feature.taken_at is None
    )

    def moved(feature: Feature) -> Feature:
        points = tuple(
            replace(p, clock_deg=0.3 * p.clock_deg, radius_mm=p.radius_mm + 60.0)
            for p in feature.points
        )
        return replace(feature, points=points)

    def further(feature: Feature) -> Feature:
        points = tuple(replace(p, radius_mm=p.radius_mm + by) for p in feature.points)
        return replace(feature, points=points)

    near = tuple(moved(feature) for feature in over)
    far = tuple(further(feature) for feature in near)
    before = least(replace(straight, survey=replace(straight.survey, features=near)), duty)
    after = least(replace(straight, survey=replace(straight.survey, features=far)), duty)
    assert np.all(after >= before - slack(before))


@FEW
@given(SEEDS)
def test_an_obstacle_added_changes_no_other_place(seed: int) -> None:
    corner, duty = checked(seed)
    alone = tuple(corner.survey.features[:1])
    one = least(replace(corner, survey=replace(corner.survey, features=alone)), duty)
    all_of_them = least(corner, duty)
    assert one[0] == pytest.approx(all_of_them[0], abs=1e-9)


@FEW
@given(st.integers(0, 100), st.sampled_from(["strut", "wishbones", "links"]))
def test_a_corner_with_front_and_rear_exchanged_gets_the_mirrored_answer(
    seed: int, kind: str
) -> None:
    """A mirror plane across the car: x, toe and clock angles change sign, the rest stays.

    Steer changes sign with toe, so the locks change places.
    """
    check = random_check(seed, kind=kind)
    corner, duty = the_corner(check), check.duty
    try:
        mirrored = least(front_to_rear(corner), duty)
    except (Unreachable, RestsOnStops) as error:
        raise AssertionError(f"only the mirror image is refused: {error}") from error
    before = least(corner, duty)
    assert np.all(np.abs(mirrored - before) <= slack(before))


def front_to_rear(corner: Corner) -> Corner:
    def at(point: Vec3) -> Vec3:
        return (-point[0], point[1], point[2])

    suspension, survey, limits = corner.suspension, corner.survey, corner.limits
    planned, give = corner.planned, corner.compliance
    features = tuple(
        replace(
            feature,
            points=tuple(replace(p, clock_deg=-p.clock_deg) for p in feature.points),
            xyz_mm=tuple(at(point) for point in feature.xyz_mm),
            taken_at=None
            if feature.taken_at is None
            else replace(feature.taken_at, steer_deg=-feature.taken_at.steer_deg),
        )
        for feature in survey.features
    )
    adjusters = replace(planned.adjusters, top_mount_back_mm=-planned.adjusters.top_mount_back_mm)
    return replace(
        corner,
        survey=replace(survey, toe_deg=-survey.toe_deg, features=features),
        suspension=_mirrored(suspension),
        limits=replace(
            limits, steer_in_deg=limits.steer_out_deg, steer_out_deg=limits.steer_in_deg
        ),
        planned=replace(planned, toe_deg=-planned.toe_deg, adjusters=adjusters),
        compliance=None if give is None else _exchanged(give),
    )


def _exchanged(give: Compliance) -> Compliance:
    toe, aft = give.toe_deg_per_g or 0.0, give.aft_mm_per_g
    return replace(give, toe_deg_per_g=-toe, aft_mm_per_g=None if aft is None else -aft)


def _mirrored(suspension: Suspension) -> Suspension:
    def at(point: Vec3) -> Vec3:
        return (-point[0], point[1], point[2])

    sheet = suspension.measured
    if sheet is not None:
        rows = tuple(
            row if row.toe_deg is None else replace(row, toe_deg=-row.toe_deg) for row in sheet.rows
        )
        sheet = replace(sheet, rows=rows)
    return replace(
        suspension,
        measured=sheet,
        joints={name: at(joint) for name, joint in suspension.joints.items()},
        knuckle_pivot=None if suspension.knuckle_pivot is None else at(suspension.knuckle_pivot),
        links=tuple(Rod(r.name, at(r.inner), at(r.outer), r.toe) for r in suspension.links),
    )


@FEW
@given(SEEDS)
def test_the_name_of_the_corner_decides_nothing(seed: int) -> None:
    """Left and right share one frame, so one set of figures has one answer."""
    corner, duty = checked(seed)
    left = setting_of("LF", corner, duty)
    right = setting_of("RR", corner, duty)
    section = section_of(corner.wheel, corner.tyre)
    rough = section_of(corner.wheel, corner.tyre, True)
    one, other = (closest(each.room, section, rough).clearance_mm for each in (left, right))
    assert np.array_equal(one, other)


def test_the_generator_offers_all_that_these_tests_rely_on() -> None:
    corners = [checked(seed) for seed in range(80)]
    kinds = {corner.suspension.kind for corner, _ in corners}
    assert kinds == {"strut", "wishbones", "links", "curves"}
    assert {corner.planned.camber_by for corner, _ in corners} >= {
        None,
        "top_mount",
        "lower_arm",
        "upper_arm",
        "knuckle",
        "rod:upper front",
    }
    steered = [corner.limits.steer_in_deg > 0 for corner, _ in corners]
    assert any(steered)
    assert not all(steered)
    assert any(corner.compliance for corner, _ in corners)
    assert any(f.taken_at for corner, _ in corners for f in corner.survey.features)
    carried = {f.carried_by for corner, _ in corners for f in corner.survey.features}
    assert carried == {BODY, "knuckle", "strut", "link"}
    assert {duty.name for _, duty in corners} == {"street", "autocross", "track", "own"}
    assert any(corner.suspension.measured for corner, _ in corners)
    assert any(corner.tyre.profile for corner, _ in corners)
    assert sum(corner.suspension.kind == STRUT for corner, _ in corners) == 20


# Rigid motion, and obstacles that go further away in every pose


@FEW
@given(
    st.integers(0, 120), st.floats(-20.0, 20.0), st.sampled_from(["strut", "wishbones", "links"])
)
def test_a_corner_turned_about_the_vertical_gets_the_same_answer(
    seed: int, turn_deg: float, kind: str
) -> None:
    """All joints and places turned together; toe is counted from x, so it turns with them.

    Only what knows no direction is left in: steering, side load and adjusters other than height
    and toe link work along the car's own axes.
    """
    check = random_check(seed, kind=kind)
    corner, duty = unaimed(the_corner(check)), check.duty
    turned = turned_about_the_vertical(corner, turn_deg)
    before, after = least(corner, duty), least(turned, duty)
    assert np.all(np.abs(after - before) <= slack(before))


def unaimed(corner: Corner) -> Corner:
    height = corner.planned.adjusters.ride_height_mm
    features = tuple(
        replace(f, taken_at=None) for f in corner.survey.features if f.carried_by != "strut"
    )
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        limits=replace(corner.limits, steer_in_deg=0.0, steer_out_deg=0.0),
        planned=Planned(toe_deg=corner.planned.toe_deg, adjusters=Adjusters(ride_height_mm=height)),
        suspension=replace(corner.suspension, measured=None),
        compliance=None,
        present=None,
    )


def turned_about_the_vertical(corner: Corner, degrees: float) -> Corner:
    """Turned left-handed about z by so much, by which toe grows."""
    cosine, sine = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))

    def at(point: Vec3) -> Vec3:
        x, y, z = point
        return (float(cosine * x + sine * y), float(cosine * y - sine * x), z)

    suspension, survey = corner.suspension, corner.survey
    features = tuple(
        replace(feature, xyz_mm=tuple(at(point) for point in feature.xyz_mm))
        for feature in survey.features
    )
    pivot = suspension.knuckle_pivot
    return replace(
        corner,
        survey=replace(survey, toe_deg=survey.toe_deg + degrees, features=features),
        planned=replace(corner.planned, toe_deg=corner.planned.toe_deg + degrees),
        suspension=replace(
            suspension,
            joints={name: at(joint) for name, joint in suspension.joints.items()},
            knuckle_pivot=None if pivot is None else at(pivot),
            links=tuple(Rod(r.name, at(r.inner), at(r.outer), r.toe) for r in suspension.links),
        ),
    )


#: Lines that the wheel stays clear of in every pose, and the way that leads away from all of it.
INBOARD = ((-250.0, -420.0, -60.0), (30.0, -400.0, 90.0), (260.0, -430.0, 150.0))
ABOVE = ((-260.0, -210.0, 520.0), (0.0, -60.0, 500.0), (240.0, 80.0, 530.0))
AHEAD = ((560.0, -240.0, -120.0), (540.0, -60.0, 60.0), (570.0, 60.0, 220.0))


@FEW
@given(
    SEEDS,
    st.floats(0.5, 60.0),
    st.sampled_from([(INBOARD, (0, -1, 0)), (ABOVE, (0, 0, 1)), (AHEAD, (1, 0, 0))]),
)
def test_an_obstacle_that_goes_away_from_every_pose_never_comes_closer(
    seed: int, by: float, line: tuple[tuple[Vec3, ...], Vec3]
) -> None:
    """Steered and loaded poses too: in all of them the whole wheel lies on one side of the line."""
    corner, duty = checked(seed)
    points, away = line

    def moved(amount: float) -> Corner:
        xyz = tuple(
            (x + amount * away[0], y + amount * away[1], z + amount * away[2]) for x, y, z in points
        )
        feature = Feature("line", BODY, EDGE, xyz_mm=xyz)
        return replace(corner, survey=replace(corner.survey, features=(feature,)))

    (before,), (after,) = least(moved(0.0), duty), least(moved(by), duty)
    assert before > 0.0
    assert after >= before - SLACK_MM
    assert after <= before + by + SLACK_MM, "nor does it gain more than it was moved"


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(5000, 5060))
def test_sixty_more_corners_keep_every_property(seed: int) -> None:
    """The properties above on other corners, with amounts drawn from the seed."""
    rng = np.random.default_rng(seed)
    amount, share, other = float(rng.uniform(1, 25)), float(rng.random()), float(rng.random())

    def inner(test: object) -> Callable[..., None]:
        plain: Callable[..., None] = test.hypothesis.inner_test  # type: ignore[attr-defined]
        return plain

    inner(test_a_narrower_tyre_never_comes_closer)(seed, amount)
    inner(test_a_smaller_tyre_never_comes_closer)(seed, amount)
    inner(test_a_wider_use_never_leaves_more_clearance)(seed, share, other)
    inner(test_loaded_poses_can_only_take_clearance)(seed)
    inner(test_a_thicker_edge_costs_its_thickness)(seed, amount)
    inner(test_an_obstacle_moved_away_from_the_wheel_never_leaves_less_clearance)(seed, amount)
    for line in ((INBOARD, (0, -1, 0)), (ABOVE, (0, 0, 1)), (AHEAD, (1, 0, 0))):
        inner(test_an_obstacle_that_goes_away_from_every_pose_never_comes_closer)(
            seed, amount, line
        )
    kind = ("strut", "wishbones", "links")[seed % 3]
    inner(test_a_corner_with_front_and_rear_exchanged_gets_the_mirrored_answer)(seed, kind)
    inner(test_a_corner_turned_about_the_vertical_gets_the_same_answer)(seed, amount - 12.0, kind)

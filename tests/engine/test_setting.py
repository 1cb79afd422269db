"""Settings: what is solved, what is out of reach, what is refused, and what sets camber matters."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import (
    CURVES,
    LINKS,
    STRUT,
    WISHBONES,
    Adjusters,
    Planned,
    Suspension,
)
from alignment.geometry.motion import motion_of
from fitment.engine.check import CannotCheck, run
from fitment.engine.defaults import STREET
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    BODY,
    EDGE,
    Check,
    Corner,
    CornerAnswer,
    Feature,
    Survey,
    SurveyPoint,
    TakenAt,
)
from tests.engine.random_corners import STRUT_JOINTS, random_check, the_corner, with_corner

ADJUSTER_OF = {
    STRUT: {
        "top_mount": "top_mount_in_mm",
        "lower_arm": "lower_arm_out_mm",
        "knuckle": "knuckle_camber_deg",
    },
    WISHBONES: {"lower_arm": "lower_arm_out_mm", "upper_arm": "upper_arm_in_mm"},
    LINKS: {"rod:upper front": "rod:upper front", "rod:lower rear": "rod:lower rear"},
}
TYPICAL_STRUT = Suspension(STRUT, joints={name: at for name, (at, _) in STRUT_JOINTS.items()})


def answer_of(corner: Corner) -> CornerAnswer:
    return run(Check("", STREET, {"LF": corner})).corners["LF"]


def planned(seed: int, kind: str, plan: Planned, **reach: tuple[float, float]) -> Corner:
    corner = the_corner(random_check(seed, kind=kind))
    suspension = replace(corner.suspension, reach=reach)
    return replace(corner, planned=plan, suspension=suspension)


@pytest.mark.parametrize(
    ("kind", "by"), [(kind, by) for kind in ADJUSTER_OF for by in ADJUSTER_OF[kind]]
)
def test_the_adjuster_and_the_toe_link_are_solved_so_that_camber_and_toe_are_met(
    kind: str, by: str
) -> None:
    corner = the_corner(random_check(3, kind=kind))
    camber = corner.survey.camber_deg - 1.2
    plan = Planned(0.12, camber, by, Adjusters(ride_height_mm=-12.0))
    answer = answer_of(replace(corner, planned=plan))
    assert answer.static.camber_deg == pytest.approx(camber, abs=1e-6)
    assert answer.static.toe_deg == pytest.approx(0.12, abs=1e-6)
    assert answer.static.hub_mm[2] == pytest.approx(12.0, abs=1e-9)
    adjuster = ADJUSTER_OF[kind][by]
    rods = answer.adjusters.get("rods_mm", {})
    assert isinstance(rods, dict)
    found = rods[by[4:]] if by.startswith("rod:") else answer.adjusters[adjuster]
    # Set by hand to what was solved, the same camber comes out by itself.
    by_hand = Adjusters(ride_height_mm=-12.0)
    assert isinstance(found, float)
    if by.startswith("rod:"):
        by_hand = replace(by_hand, rods_mm={by[4:]: found})
    else:
        by_hand = replace(by_hand, **{adjuster: found})
    again = answer_of(replace(corner, planned=Planned(0.12, adjusters=by_hand)))
    assert again.static.camber_deg == pytest.approx(camber, abs=1e-6)
    assert again.adjusters["toe_link_mm"] == pytest.approx(answer.adjusters["toe_link_mm"])


def test_without_a_planned_camber_the_stated_adjusters_decide() -> None:
    plan = Planned(0.1, adjusters=Adjusters(top_mount_in_mm=10.0))
    corner = planned(0, STRUT, plan)
    static = answer_of(corner).static
    untouched = answer_of(replace(corner, planned=Planned(0.1))).static
    assert static.camber_deg < untouched.camber_deg - 0.5
    assert static.toe_deg == pytest.approx(0.1)


def test_a_solved_adjuster_is_said_as_its_total_with_what_was_stated() -> None:
    stated = Adjusters(top_mount_in_mm=4.0, lower_arm_out_mm=1.0)
    corner = the_corner(random_check(0, kind=STRUT))
    camber = corner.survey.camber_deg - 1.5
    from_four = answer_of(
        replace(corner, planned=Planned(0.0, camber, "top_mount", stated))
    ).adjusters
    from_none = answer_of(
        replace(
            corner, planned=Planned(0.0, camber, "top_mount", replace(stated, top_mount_in_mm=0.0))
        )
    ).adjusters
    assert from_four["top_mount_in_mm"] == pytest.approx(from_none["top_mount_in_mm"])
    assert from_four["lower_arm_out_mm"] == 1.0


def test_a_setting_beyond_the_parts_is_said_with_what_it_needs_and_by_how_much() -> None:
    corner = the_corner(random_check(0, kind=STRUT))
    plan = Planned(0.0, corner.survey.camber_deg - 2.0, "top_mount")
    free = answer_of(replace(corner, planned=plan))
    needed = free.adjusters["top_mount_in_mm"]
    assert isinstance(needed, float)
    assert free.out_of_reach == ()
    for low, high, short in ((0.0, needed - 3.0, 3.0), (needed + 1.5, needed + 9, 1.5)):
        reach = {"top_mount_in_mm": (low, high), "toe_link_mm": (-50.0, 50.0)}
        held = replace(corner, planned=plan, suspension=replace(corner.suspension, reach=reach))
        answer = answer_of(held)
        (out,) = answer.out_of_reach
        assert (out.adjuster, out.min, out.max) == ("top_mount_in_mm", low, high)
        assert out.needed == pytest.approx(needed)
        assert out.short_by == pytest.approx(short)
        assert answer.places == free.places  # the room is judged all the same
    within = {"top_mount_in_mm": (0.0, needed + 1e-12)}
    exact = replace(corner, planned=plan, suspension=replace(corner.suspension, reach=within))
    assert answer_of(exact).out_of_reach == ()


def test_the_same_camber_by_another_method_leaves_another_clearance() -> None:
    """The trade's rule: the top mount takes the tyre's top from the arch, arm shims do not."""
    lip = Feature(
        "arch lip",
        BODY,
        EDGE,
        tuple(SurveyPoint(c, 352.0, 75.0) for c in (-45.0, -20.0, 0.0, 20.0, 45.0)),
    )
    corner = replace(
        the_corner(random_check(0, kind=STRUT)),
        suspension=TYPICAL_STRUT,
        survey=Survey(-0.5, 0.0, (lip,)),
    )

    def gap_and_top(by: str | None) -> tuple[float, float]:
        plan = Planned(0.0, None if by is None else -2.4, by)
        answer = answer_of(replace(corner, planned=plan))
        hub, camber = answer.static.hub_mm, np.radians(answer.static.camber_deg)
        return answer.places[0].clearance_mm, hub[1] + 320.0 * np.sin(camber)

    before, top_before = gap_and_top(None)
    tipped, top_tipped = gap_and_top("top_mount")
    shimmed, top_shimmed = gap_and_top("lower_arm")
    assert top_tipped < top_before - 10.0
    assert top_shimmed > top_before - 2.0
    assert tipped > shimmed + 5.0
    assert shimmed < before + 2.0


def test_lowering_keeps_the_planned_camber_and_moves_the_hub_up() -> None:
    corner = the_corner(random_check(1, kind=WISHBONES))
    for height in (0.0, -20.0):
        plan = Planned(0.05, -1.0, "upper_arm", Adjusters(ride_height_mm=height))
        static = answer_of(replace(corner, planned=plan)).static
        assert static.hub_mm[2] == pytest.approx(-height)
        assert static.camber_deg == pytest.approx(-1.0)


def test_measured_curves_are_not_read_beyond_their_table() -> None:
    check = random_check(3, kind=CURVES)
    corner = the_corner(check)
    short = tuple(row for row in corner.suspension.table if -40 < row.travel_mm < 60)
    cut = replace(corner, suspension=replace(corner.suspension, table=short))
    with pytest.raises(CannotCheck, match=r"^stop\.curves\(") as refused:
        run(with_corner(check, cut))
    assert refused.value.corner in check.corners


def test_curves_turn_the_knuckle_about_the_pivot_of_the_method() -> None:
    """Closed form: a turn by -Δ about the forward axis through P; only the shift in y is kept."""
    corner = the_corner(random_check(3, kind=CURVES))
    for by, pivot in corner.suspension.camber_pivots.items():
        plan = Planned(0.0, corner.survey.camber_deg - 2.0, by)
        hub = np.array(answer_of(replace(corner, planned=plan)).static.hub_mm)
        angle = np.radians(2.0)
        y = pivot[1] - (pivot[1] * np.cos(angle) - pivot[2] * np.sin(angle))
        assert hub == pytest.approx([0.0, y, 0.0], abs=1e-6)


def test_a_camber_that_the_linkage_cannot_take_is_refused_with_the_corner_named() -> None:
    check = random_check(0, kind=STRUT)
    corner = the_corner(check)
    high = replace(corner.limits, bump_mm=500.0)
    with pytest.raises(CannotCheck) as refused:
        run(with_corner(check, replace(corner, limits=high)))
    assert refused.value.corner in check.corners
    assert isinstance(refused.value, Unreachable)


def test_a_place_read_in_another_pose_lies_where_that_pose_put_it() -> None:
    corner = the_corner(random_check(0, kind=STRUT))
    taken = TakenAt(20.0, -12.0)
    read = Feature(
        "panel",
        BODY,
        EDGE,
        (SurveyPoint(0.0, 300.0, -150.0), SurveyPoint(90.0, 310.0, -160.0)),
        taken_at=taken,
    )
    limits = replace(corner.limits, steer_in_deg=20.0, steer_out_deg=20.0)
    survey = replace(corner.survey, features=(read,))
    held = replace(corner, survey=survey, limits=limits)
    course = setting_of("LF", held, STREET).room.courses[0]
    motion = motion_of(corner.suspension, survey.camber_deg, survey.toe_deg)
    settled = motion.settle([Planned(survey.toe_deg)])
    steered = motion.steered(settled, np.zeros(1, int), np.radians([-12.0]))
    pose = motion.travelled(settled, steered, np.zeros(1, int), np.array([20.0]))
    for along, point in enumerate(read.points):
        out = course.at(np.array([float(along)]))[0] - pose.hub[0]
        axial = out @ pose.spin[0]
        assert axial == pytest.approx(point.axial_mm)
        assert np.linalg.norm(out - axial * pose.spin[0]) == pytest.approx(point.radius_mm)
    top, front = (course.at(np.array([float(i)]))[0] - pose.hub[0] for i in (0, 1))
    assert top[2] > 250.0
    assert front[0] > 250.0

"""The poses that a duty visits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import Compliance, Limits
from alignment.geometry.motion import HubPoses
from fitment.engine.minimum.envelope import Envelope, RestsOnStops, envelope_of
from fitment.engine.minimum.loads import loads_left_out
from fitment.engine.model import BRAKING, INSIDE, OUTSIDE, Duty

LIMITS = Limits(bump_mm=70, droop_mm=60, steer_in_deg=30, steer_out_deg=40)
DUTY = Duty("own", ((0.0, 1.0), (0.25, 0.8), (1.0, 0.5)), droop_fraction=0.75)
STIFF = Compliance(camber_deg_per_g=0.4, toe_deg_per_g=-0.1, lateral_mm_per_g=1.5)


def envelope(
    static: float = 10.0,
    packer: float = 5.0,
    limits: Limits = LIMITS,
    duty: Duty = DUTY,
    compliance: Compliance | None = None,
) -> Envelope:
    assert limits.bump_mm is not None
    return envelope_of(duty, limits, limits.bump_mm, static, packer, compliance)


def upper(of: Envelope, steer_deg: float) -> float:
    return float(of.travel(np.radians([steer_deg]), np.ones(1), np.zeros(1, bool))[0])


@pytest.mark.parametrize(
    ("steer", "share_of_bump"),
    [(0, 1.0), (7.5, 0.8), (30, 0.5), (3.75, 0.9), (-10, 0.8), (-40, 0.5), (-5, 0.9), (15, 0.7)],
)
def test_the_upper_bound_follows_the_lock_of_its_side(steer: float, share_of_bump: float) -> None:
    assert upper(envelope(), steer) == pytest.approx(10 + share_of_bump * (70 - 5 - 10))


def test_the_lower_bound_is_its_part_of_the_way_from_static_height_to_droop() -> None:
    bottom = envelope().travel(np.zeros(1), np.zeros(1), np.zeros(1, bool))
    assert bottom[0] == pytest.approx(10 - 0.75 * (10 + 60))


def test_loaded_poses_begin_at_static_height() -> None:
    of = envelope(duty=replace(DUTY, lateral_g=1.0), compliance=STIFF)
    steer = np.radians([0.0, 20.0])
    low = of.travel(steer, np.zeros(2), np.ones(2, bool))
    high = of.travel(steer, np.ones(2), np.ones(2, bool))
    assert low == pytest.approx(10.0)
    assert high == pytest.approx(of.travel(steer, np.ones(2), np.zeros(2, bool)))


def test_lowering_eats_bump_travel_and_gives_droop() -> None:
    high, low = envelope(static=0.0), envelope(static=30.0)
    assert upper(high, 0) == upper(low, 0) == 65.0  # the stops stay with the body
    assert low.static_travel - low.lower_travel > high.static_travel - high.lower_travel


def test_an_unsteered_corner_has_one_steer_angle() -> None:
    of = envelope(limits=Limits(70, 60))
    assert of.steer_span == (0.0, 0.0)
    assert list(of.steer_grid()) == [0.0]
    assert upper(of, 0) == 65.0


def test_a_wheel_that_steers_one_way_only_is_not_steered_the_other() -> None:
    of = envelope(limits=Limits(70, 60, steer_in_deg=25.0))
    assert np.degrees(of.steer_span) == pytest.approx([0.0, 25.0])


def test_the_grid_of_a_first_look_has_every_bend_of_the_envelope() -> None:
    grid = np.degrees(envelope().steer_grid())
    for bend in (-40, -10, 0, 7.5, 30):
        assert np.min(np.abs(grid - bend)) < 1e-9
    assert np.all(np.diff(grid) > 0)
    assert np.max(np.diff(grid)) <= 6.0 + 1e-9


@pytest.mark.parametrize(("static", "packer"), [(66.0, 5.0), (71.0, 0.0), (10.0, 61.0)])
def test_a_height_beyond_the_bump_stop_is_refused(static: float, packer: float) -> None:
    with pytest.raises(RestsOnStops, match=r"^stop\.rests-on-bump-stop\("):
        envelope(static=static, packer=packer)
    assert upper(envelope(static=65.0, packer=5.0), 0) == 65.0


def test_a_height_below_full_droop_is_refused() -> None:
    with pytest.raises(RestsOnStops, match=r"^stop\.below-droop\(below_mm=1\.0\)"):
        envelope(static=-61.0)


def test_load_adds_camber_and_toe_about_the_hub_and_moves_it_inboard() -> None:
    duty = Duty("track", ((0.0, 1.0), (1.0, 0.3)), lateral_g=1.3)
    (outside,) = envelope(duty=duty, compliance=STIFF).loads
    spin = np.array([[0.0, np.cos(0.02), np.sin(0.02)]])  # camber -0.02 rad
    bent = outside.applied(HubPoses(np.array([[1.0, 2.0, 3.0]]), spin))
    assert bent.hub[0] == pytest.approx([1.0, 2.0 - 1.95, 3.0])
    assert np.degrees(-np.arcsin(bent.spin[0, 2])) == pytest.approx(np.degrees(-0.02) + 0.52)
    assert np.degrees(np.arctan2(bent.spin[0, 0], bent.spin[0, 1])) == pytest.approx(-0.13)


@pytest.mark.parametrize(("g", "compliance"), [(0.0, STIFF), (1.0, None)])
def test_without_side_force_or_compliance_there_are_no_loaded_poses(
    g: float, compliance: Compliance | None
) -> None:
    duty = Duty("own", ((0.0, 1.0), (1.0, 1.0)), lateral_g=g)
    assert envelope(duty=duty, compliance=compliance).loads == ()


ALL_LOADS = replace(DUTY, lateral_g=1.0, longitudinal_g=1.1, inner=True)
GIVES = replace(STIFF, aft_mm_per_g=4.0)


def test_the_inside_wheel_hangs_lower_and_gives_the_other_way_by_less() -> None:
    of = envelope(duty=ALL_LOADS, compliance=GIVES)
    kind = of.kind_of(INSIDE)
    assert kind is not None
    steer = np.radians([-40.0, 0.0, 30.0])
    kinds = np.full(3, kind)
    assert of.travel(steer, np.zeros(3), kinds) == pytest.approx(of.lower_travel)
    assert of.travel(steer, np.ones(3), kinds) == pytest.approx(of.static_travel)
    plain = HubPoses(np.zeros((1, 3)), np.array([[0.0, 1.0, 0.0]]))
    outside, inside = (of.under_load(plain, np.array([of.kind_of(one)])) for one in LATERAL)
    assert inside.hub[0] == pytest.approx(-0.4 * outside.hub[0])
    assert inside.hub[0, 1] == pytest.approx(0.4 * 1.5)
    assert np.arcsin(inside.spin[0, 2]) == pytest.approx(-0.4 * np.arcsin(outside.spin[0, 2]))


LATERAL = (OUTSIDE, INSIDE)


def test_braking_takes_the_hub_to_the_rear_up_to_a_quarter_of_the_lock() -> None:
    of = envelope(duty=ALL_LOADS, compliance=GIVES)
    kind = of.kind_of(BRAKING)
    assert kind is not None
    assert of.steer_shares[kind] == 0.25
    assert of.travel(np.zeros(1), np.zeros(1), np.array([kind]))[0] == of.static_travel
    plain = HubPoses(np.zeros((1, 3)), np.array([[0.0, 1.0, 0.0]]))
    braked = of.under_load(plain, np.array([kind]))
    assert braked.hub[0] == pytest.approx([-4.4, 0.0, 0.0])
    assert braked.spin[0] == pytest.approx([0.0, 1.0, 0.0])


@pytest.mark.parametrize(
    ("duty", "compliance", "loads", "left_out"),
    [
        (ALL_LOADS, GIVES, [OUTSIDE, INSIDE, BRAKING], []),
        (ALL_LOADS, STIFF, [OUTSIDE, INSIDE], ["note.no-braking"]),
        (ALL_LOADS, Compliance(aft_mm_per_g=4.0), [BRAKING], ["note.no-compliance"]),
        (ALL_LOADS, None, [], ["note.no-compliance", "note.no-braking"]),
        (
            ALL_LOADS,
            Compliance(camber_deg_per_g=0.3, aft_mm_per_g=4.0),
            [OUTSIDE, INSIDE, BRAKING],
            ["note.compliance-in-part"],
        ),
        (replace(ALL_LOADS, inner=False), GIVES, [OUTSIDE, BRAKING], []),
        (DUTY, GIVES, [], []),
    ],
)
def test_a_load_acts_where_the_compliance_states_what_it_needs(
    duty: Duty, compliance: Compliance | None, loads: list[str], left_out: list[str]
) -> None:
    """Otherwise a note says that it was left out."""
    assert [load.name for load in envelope(duty=duty, compliance=compliance).loads] == loads
    assert [note.code for note in loads_left_out(duty, compliance)] == left_out

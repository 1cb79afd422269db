"""Arithmetic of readings: signs, symmetries and what a rack's accuracy allows to be said."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alignment.geometry import readings
from alignment.geometry.caster_sweep import CasterSweep

small = st.floats(-5.0, 5.0)


def test_a_left_rear_wheel_with_toe_in_steers_the_axle_to_the_right() -> None:
    assert readings.thrust_angle(0.2, 0.0) == pytest.approx(0.1)
    assert readings.thrust_angle(0.0, 0.2) == pytest.approx(-0.1)
    assert readings.thrust_angle(0.1, 0.1) == 0.0


@given(small, small, small)
def test_total_toe_is_the_same_from_the_centre_line_and_the_thrust_axis(
    left: float, right: float, thrust: float
) -> None:
    against = readings.toe_against_thrust(left, right, thrust)
    assert readings.total_toe(*against) == pytest.approx(readings.total_toe(left, right), abs=1e-9)


@given(small, small)
def test_a_rear_axle_read_against_its_own_thrust_axis_is_even(left: float, right: float) -> None:
    thrust = readings.thrust_angle(left, right)
    even = readings.toe_against_thrust(left, right, thrust)
    assert even[0] == pytest.approx(even[1], abs=1e-9)


@given(small, small)
def test_swapping_left_and_right_turns_the_sign_of_cross_and_thrust(
    left: float, right: float
) -> None:
    assert readings.cross(left, right) == -readings.cross(right, left)
    assert readings.thrust_angle(left, right) == -readings.thrust_angle(right, left)


def test_included_angle_is_camber_and_inclination_together() -> None:
    assert readings.included_angle(-1.5, 12.0) == 10.5


def test_setback_is_positive_when_the_right_front_wheel_stands_further_back() -> None:
    found = readings.setback(2600.0, 2590.0, 1500.0)
    assert found.mm == 10.0
    assert found.deg == pytest.approx(math.degrees(math.atan(10 / 1500)))
    with pytest.raises(ValueError, match="positive"):
        readings.setback(2600.0, 2590.0, 0.0)


def turned_camber(caster: float, sai: float, camber0: float, steer: float) -> float:
    """Camber with the wheel's toe at -steer (turned outward): the spin axis is turned about the
    steering axis until it points there. Found by bisection, without the formula under test."""
    k = (-math.tan(math.radians(caster)), -math.tan(math.radians(sai)), 1.0)
    length = math.sqrt(sum(c * c for c in k))
    k = tuple(c / length for c in k)  # type: ignore[assignment]
    c0 = math.radians(camber0)
    s = (0.0, math.cos(c0), -math.sin(c0))

    def turn(angle: float) -> tuple[float, float, float]:
        cross = (
            k[1] * s[2] - k[2] * s[1],
            k[2] * s[0] - k[0] * s[2],
            k[0] * s[1] - k[1] * s[0],
        )
        dot = sum(a * b for a, b in zip(k, s, strict=True))
        cos, sin = math.cos(angle), math.sin(angle)
        x, y, z = (s[i] * cos + cross[i] * sin + k[i] * dot * (1 - cos) for i in range(3))
        return x, y, z

    low, high = -math.pi / 3, math.pi / 3
    for _ in range(80):
        middle = (low + high) / 2
        x, y, _z = turn(middle)
        # A turn about an upright axis, seen from above to the left, lowers x: toe falls.
        if math.degrees(math.atan2(x, y)) > -steer:
            low = middle
        else:
            high = middle
    return -math.degrees(math.asin(turn((low + high) / 2)[2]))


@given(
    st.floats(-3, 12),
    st.floats(0, 18),
    st.floats(-5, 3),
    st.floats(8, 25),
    st.floats(8, 25),
)
def test_a_sweep_gives_back_the_caster_it_was_turned_with(
    caster: float, sai: float, camber: float, out: float, inward: float
) -> None:
    camber_out = turned_camber(caster, sai, camber, out)
    camber_in = turned_camber(caster, sai, camber, -inward)
    found = readings.caster_from_sweep(camber_out, camber_in, out, inward, sai)
    assert found == pytest.approx(caster, abs=1e-6)


def test_a_sweep_too_narrow_to_tell_is_refused() -> None:
    with pytest.raises(ValueError, match="does not tell"):
        readings.caster_from_sweep(0.1, -0.1, 2.0, 2.0)


def test_scrub_counts_the_same_either_way() -> None:
    assert readings.scrub_m_per_km(0.2) == readings.scrub_m_per_km(-0.2) > 0


def test_a_change_smaller_than_the_racks_accuracy_is_not_told_by_it() -> None:
    small_change = readings.change(-1.00, -1.02, accuracy_deg=0.05)
    assert small_change.deg == pytest.approx(-0.02)
    assert small_change.expanded_deg == pytest.approx(2 * math.sqrt(2 / 3) * 0.05)
    assert not small_change.is_told_by_the_rack
    assert readings.change(-1.0, -1.2, accuracy_deg=0.05).is_told_by_the_rack


def test_against_a_target_only_the_reading_is_uncertain() -> None:
    found = readings.off_target(-2.4, -2.5, accuracy_deg=0.05)
    assert found.deg == pytest.approx(0.1)
    assert found.expanded_deg == pytest.approx(0.1 / math.sqrt(3))
    with pytest.raises(ValueError, match="not negative"):
        readings.off_target(0, 0, accuracy_deg=-1)


def test_only_what_leaves_the_tolerance_is_beyond_it() -> None:
    assert readings.beyond_tolerance(0.10, 0.10) == 0.0
    assert readings.beyond_tolerance(-2.6 + 2.5, 0.10) == 0.0
    assert readings.beyond_tolerance(0.15, 0.10) == pytest.approx(0.05)
    assert readings.beyond_tolerance(-0.15, 0.10) == pytest.approx(-0.05)


ORDINARY = (
    st.floats(-3, 9),
    st.floats(5, 16),
    st.floats(-3, 1),
    st.floats(12, 22),
    st.floats(12, 22),
)


@given(*ORDINARY)
def test_the_uncertainty_of_a_swept_caster_is_that_of_what_was_read(
    caster: float, sai: float, camber: float, out: float, inward: float
) -> None:
    """Two cambers, an inclination and two turn plates, each moved by its standard uncertainty."""
    c1, c2 = turned_camber(caster, sai, camber, out), turned_camber(caster, sai, camber, -inward)
    step, plate = 0.02, 0.5 / math.sqrt(3)
    moved = [
        readings.caster_from_sweep(c1 + step, c2, out, inward, sai),
        readings.caster_from_sweep(c1, c2 + step, out, inward, sai),
        readings.caster_from_sweep(c1, c2, out + plate, inward, sai),
        readings.caster_from_sweep(c1, c2, out, inward + plate, sai),
        readings.caster_from_sweep(c1, c2, out, inward, sai + step),
    ]
    stated = CasterSweep(c1, c2, out, inward, sai).sigma_deg(step)
    assert stated == pytest.approx(math.hypot(*(one - caster for one in moved)), rel=0.05)


def test_casters_swept_without_inclination_stray_as_far_as_is_said() -> None:
    """Cars whose inclination is anything from 5 to 18 degrees, at unequal angles, on turn plates
    that are half a degree off at the most, cambers ± 0.03."""
    rng = np.random.default_rng(11)
    normalised, off = [], []
    for _ in range(400):
        caster, sai = rng.uniform(-1, 10), rng.uniform(5, 18)
        out, inward = rng.uniform(8, 22, 2)
        seen = [
            turned_camber(caster, sai, -1.0, angle + rng.uniform(-0.5, 0.5)) + rng.normal(0, 0.03)
            for angle in (out, -inward)
        ]
        sweep = CasterSweep(*seen, out, inward)
        off.append(sweep.caster_deg - caster)
        normalised.append(off[-1] / sweep.sigma_deg(0.03))
    assert 0.8 < np.sqrt(np.mean(np.square(normalised))) < 1.2
    assert np.mean(np.abs(normalised) > 2.0) < 0.08
    assert np.max(np.abs(off)) < 1.5


def test_an_inclination_not_read_matters_at_unequal_angles_only() -> None:
    even, uneven = CasterSweep(2.0, -2.0, 20.0, 20.0), CasterSweep(1.0, -2.0, 8.0, 22.0)
    known = (replace(even, inclination_deg=12.0), replace(uneven, inclination_deg=12.0))
    assert even.sigma_deg(0.03) == pytest.approx(known[0].sigma_deg(0.03), rel=0.01)
    assert uneven.caster_deg == known[1].caster_deg
    assert uneven.sigma_deg(0.03) > known[1].sigma_deg(0.03) + 0.3


def test_a_narrow_sweep_has_no_uncertainty_to_state() -> None:
    with pytest.raises(ValueError, match="does not tell"):
        CasterSweep(0.1, -0.1, 2.0, 2.0).sigma_deg(0.05)


def test_front_wheels_that_lie_along_the_thrust_line_leave_the_steering_wheel_level() -> None:
    thrust = readings.thrust_angle(0.30, 0.10)
    along = (0.05 + thrust, 0.05 - thrust)
    assert readings.steering_offset(*along, thrust) == pytest.approx(0.0)
    against = readings.toe_against_thrust(0.2, 0.0, thrust)
    assert readings.steering_offset(0.2, 0.0, thrust) == pytest.approx(
        readings.steering_offset(*against)
    )


def test_two_racks_of_unlike_accuracy_tell_a_change_together() -> None:
    found = readings.change_between(-1.0, -1.2, 0.03, 0.10)
    assert found.expanded_deg == pytest.approx(2 * math.hypot(0.03, 0.10) / math.sqrt(3))
    assert found.is_told_by_the_rack

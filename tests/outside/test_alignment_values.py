"""Alignment arithmetic against values from outside; every value names where it comes from.

Marks: *read* was read in a copy of the source; *computed* was worked out from read inputs;
*common practice* is a fact of the trade without a source.
"""

import math

import pytest

from alignment.geometry import limits, readings, units
from common.units import MM_PER_INCH

# Derived from the geometry of a spin axis turned about a steering axis, and checked on
# simulated cases by a separate program (computed). Columns: caster, SAI, static camber, camber
# at 20° outward, camber at 20° inward.
SWEEPS = [
    (3.0, 0.0, 0.0, 1.0269, -1.0269),
    (5.0, 12.0, 0.0, 2.4586, -0.9781),
    (5.0, 12.0, -1.5, 0.9463, -2.4725),
    (7.0, 14.0, -1.0, 2.2748, -2.5321),
    (9.0, 14.0, -1.0, 2.9784, -3.2200),
    (-1.0, 9.0, 0.0, 0.2053, 0.8904),
]


@pytest.mark.parametrize(("caster", "sai", "camber", "out", "inward"), SWEEPS)
def test_the_sweep_formula_gives_the_caster_of_simulated_wheels(
    caster: float,
    sai: float,
    camber: float,
    out: float,
    inward: float,
) -> None:
    exact = readings.caster_from_sweep(out, inward, 20.0, 20.0, sai)
    assert exact == pytest.approx(caster, abs=5e-4)


def test_the_factor_at_twenty_degrees_is_near_the_workshops_one_and_a_half() -> None:
    # 1.4619 for a small change of camber (computed); 1.5 at 20° (common practice).
    factor = readings.caster_from_sweep(0.01, 0.0, 20.0, 20.0) / 0.01
    assert factor == pytest.approx(1.4619, abs=5e-5)
    assert factor == pytest.approx(1.5, abs=0.05)


def test_the_worked_example_of_camber_gauge_instructions() -> None:
    # Instructions of a camber gauge: +1° and +4° read, difference × 1.5 = 4.5° (read). Their
    # factor is 2.6 % above that of a sweep of 20°.
    assert readings.caster_from_sweep(4.0, 1.0, 20.0, 20.0) == pytest.approx(4.5, rel=0.03)


def test_total_toe_is_the_sum_and_toe_in_is_positive() -> None:
    # ISO 8855:2011, 7.1.6 and 7.1.7 (read).
    assert readings.total_toe(0.10, 0.05) == pytest.approx(0.15)
    assert units.parse_toe("1 mm toe-in", diameter_mm=600.0).value > 0


def test_the_thrust_axis_bisects_total_rear_toe() -> None:
    # The rear thrust axis bisects total rear toe (read).
    left, right = 0.30, 0.10
    thrust = readings.thrust_angle(left, right)
    half = readings.total_toe(left, right) / 2
    assert readings.toe_against_thrust(left, right, thrust) == pytest.approx((half, half))


def test_included_angle_is_camber_plus_inclination() -> None:
    # Included angle = camber + steering axis inclination (read in a secondary copy).
    assert readings.included_angle(-0.5, 13.0) == 12.5


def test_toe_at_a_diameter_of_a_published_example() -> None:
    # 24 in and 0.15° give 0.062832 in, about 1/16 in (published, read; the arc, not the sine).
    toe = units.parse_toe("0.062832 inch", diameter_mm=24 * MM_PER_INCH).value
    assert toe == pytest.approx(0.15, abs=5e-6)
    sixteenth = units.parse_toe('1/16"', diameter_mm=24 * MM_PER_INCH).value
    assert sixteenth == pytest.approx(0.15, abs=1.2e-3)


def test_a_sixteenth_of_an_inch_on_a_twenty_eight_inch_tyre() -> None:
    # 0.1279° (computed); "about 0.13°" (common practice).
    understood = units.parse_toe('1/16"', diameter_mm=28 * MM_PER_INCH)
    assert understood.value == pytest.approx(0.1279, abs=5e-5)


def test_a_millimetre_on_a_sixteen_inch_diameter_in_minutes() -> None:
    # 1 mm at 406.4 mm is 8.46 minutes (computed).
    assert units.parse_toe("1 mm", diameter_mm=406.4).value * 60 == pytest.approx(8.46, abs=5e-3)


def test_a_published_rule_of_ten_minutes_for_a_millimetre_does_not_hold() -> None:
    # A published "1 mm = 10' on a 10 in wheel" is wrong (read); it is 13.5'.
    assert units.parse_toe("1 mm", diameter_mm=254.0).value * 60 == pytest.approx(13.53, abs=0.01)


def test_scrub_of_three_millimetres_on_a_six_hundred_millimetre_wheel() -> None:
    # About 5 m/km (common practice).
    toe = units.parse_toe("3 mm", diameter_mm=600.0).value
    assert readings.scrub_m_per_km(toe) == pytest.approx(5.0, abs=0.01)


def test_limits_without_a_distribution_are_taken_as_rectangular() -> None:
    # JCGM 100:2008, 4.3.7: half-width over the root of three (from memory, not read here).
    assert readings.accuracy_to_sigma(0.03) == pytest.approx(0.03 / math.sqrt(3))


# 49 CFR 570.7(d) (read): toe-in or toe-out not greater than 1.5 times the maker's value.


def test_toe_is_held_against_one_and_a_half_times_the_makers_value() -> None:
    """The factor of the document, on values of its own unit: 1/8 in gives 3/16 in at 28 in."""
    eighth = units.parse_toe('1/8"', diameter_mm=28 * MM_PER_INCH).value
    limit = units.parse_toe('3/16"', diameter_mm=28 * MM_PER_INCH).value
    at_limit = limits.toe_in_service(limit, eighth)
    assert at_limit is not None
    assert at_limit.rule.document == "49 CFR 570.7(d)"
    assert at_limit.limit_deg == pytest.approx(limit, abs=1e-5)
    for total, is_beyond in ((0.99 * limit, False), (1.01 * limit, True), (-1.01 * limit, True)):
        judged = limits.toe_in_service(total, eighth)
        assert judged is not None
        assert judged.is_beyond is is_beyond


def test_a_range_of_the_maker_counts_to_its_far_end_and_nothing_has_no_limit() -> None:
    judged = limits.toe_in_service(0.31, 0.10, 0.10, accuracy_deg=0.03)
    assert judged is not None
    assert judged.limit_deg == pytest.approx(0.30)
    assert judged.is_beyond
    # Two readings of ±0.03°: 2·√2·0.03/√3 = 0.049°, so a hundredth cannot be told.
    assert judged.expanded_deg == pytest.approx(0.049, abs=5e-4)
    assert not judged.is_told
    assert limits.toe_in_service(0.5, 0.0) is None

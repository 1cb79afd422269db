"""Measured wheels pooled: offset by back spacing, the mean of traces, and the doubt of the next."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitment.engine.solid.pooled_wheels import (
    ONE_MEASURED_MM,
    MeasuredWheel,
    mean_trace,
    pooled_wheel,
)

MARKED_MM = 9 * 25.4


def pooled(*wheels: MeasuredWheel):
    whole = pooled_wheel(wheels, width_mm=MARKED_MM, flange_mm=12.5)
    assert whole is not None
    return whole


def test_nothing_measured_is_nothing() -> None:
    assert pooled_wheel([], width_mm=MARKED_MM, flange_mm=12.5) is None


def test_one_measured_wheel_is_known_to_what_one_reading_is_worth() -> None:
    whole = pooled(MeasuredWheel(width_mm=229.4, barrel_radius_mm=214.0))
    assert whole.width is not None
    assert whole.barrel_radius is not None
    assert whole.width.sigma_mm == pytest.approx(ONE_MEASURED_MM["width"])
    assert whole.barrel_radius.sigma_mm == pytest.approx(ONE_MEASURED_MM["barrel"])
    assert whole.offset is None
    assert whole.trace == ()


def test_back_spacing_less_half_the_width_over_the_flanges_is_the_offset() -> None:
    # A 9 in wheel ET40 with flanges 12.5 mm wide: 228.6 / 2 + 12.5 + 40 = 166.8 mm.
    whole = pooled(MeasuredWheel(back_mm=166.8))
    assert whole.offset is not None
    assert whole.offset.mean_mm == pytest.approx(40.0)
    # A wheel that is wider than it is marked sits less far out for the same back spacing.
    wider = pooled(MeasuredWheel(back_mm=166.8, width_mm=230.6, flange_mm=12.0))
    assert wider.offset is not None
    assert wider.offset.mean_mm == pytest.approx(166.8 - (230.6 + 24.0) / 2)


def test_alike_wheels_shrink_the_uncertainty_and_unlike_ones_grow_it() -> None:
    alike = pooled(*(MeasuredWheel(offset_mm=40.0 + d) for d in (0.0, 0.1, -0.1, 0.0))).offset
    apart = pooled(*(MeasuredWheel(offset_mm=40.0 + d) for d in (0.0, 2.0, -2.0, 1.0))).offset
    assert alike is not None
    assert apart is not None
    assert alike.sigma_mm < ONE_MEASURED_MM["offset"] < apart.sigma_mm
    assert apart.spread_mm == pytest.approx(np.std([0.0, 2.0, -2.0, 1.0], ddof=1))


def test_traces_are_averaged_where_all_of_them_reach() -> None:
    long = ((18.0, 40.0), (30.0, 200.0))
    short = ((20.0, 60.0), (28.0, 180.0))
    trace, sigma = mean_trace([long, short])
    radii = [radius for _, radius in trace]
    assert (radii[0], radii[-1]) == (60.0, 180.0)
    for axial, radius in trace:
        one = 18.0 + 12.0 * (radius - 40.0) / 160.0
        other = 20.0 + 8.0 * (radius - 60.0) / 120.0
        assert axial == pytest.approx((one + other) / 2, abs=0.01)
    assert sigma is not None
    assert sigma > 0.5


def test_a_single_trace_stays_as_it_was_drawn() -> None:
    drawn = ((18.0, 40.0), (16.0, 80.0), (30.0, 205.0))
    trace, sigma = mean_trace([drawn])
    assert trace == drawn
    assert sigma == ONE_MEASURED_MM["spoke"]


def test_three_traces_a_millimetre_apart_uncertainty_the_next_by_the_rule_for_the_next() -> None:
    """s² = (2 s₀² + 2 · 1²) / 4 with s₀ the expected spread; the next: s · √(1 + 1/3)."""
    traces = [((20.0 + d, 40.0), (20.0 + d, 200.0)) for d in (-1.0, 0.0, 1.0)]
    _, sigma = mean_trace(traces)
    expected = ONE_MEASURED_MM["spoke"] / math.sqrt(2.0)
    assert sigma == pytest.approx(math.sqrt((2 * expected**2 + 2.0) / 4 * (1 + 1 / 3)))

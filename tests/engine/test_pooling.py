"""Measured tyres pooled: the mean, the doubt of the next one, and traced sections."""

from __future__ import annotations

import numpy as np
import pytest

from fitment.engine.defaults import WIDTH_MEASURED
from fitment.engine.solid.pooled_tyres import (
    EXPECTED_SPREAD_MM,
    Measured,
    mean_trace,
    pooled,
    pooled_tyre,
)


def test_one_measured_tyre_says_the_next_to_the_default_for_measured_widths() -> None:
    one = pooled([251.0], EXPECTED_SPREAD_MM)
    assert one is not None
    assert one.mean_mm == 251.0
    assert one.sigma_mm == pytest.approx(WIDTH_MEASURED.value)
    assert one.spread_mm is None


def test_the_uncertainty_shrinks_with_every_tyre_that_agrees() -> None:
    sigmas = []
    for count in range(1, 8):
        one = pooled([250.0] * count, EXPECTED_SPREAD_MM)
        assert one is not None
        sigmas.append(one.sigma_mm)
    assert sigmas == sorted(sigmas, reverse=True)
    assert sigmas[-1] < 0.5


def test_tyres_that_differ_keep_the_uncertainty_large() -> None:
    close = pooled([249.5, 250.0, 250.5], EXPECTED_SPREAD_MM)
    apart = pooled([246.0, 250.0, 254.0], EXPECTED_SPREAD_MM)
    assert close is not None
    assert apart is not None
    assert close.mean_mm == apart.mean_mm == 250.0
    assert apart.sigma_mm > 3 * close.sigma_mm
    assert apart.spread_mm == pytest.approx(4.0)


def test_many_readings_say_the_next_one_as_well_as_their_spread() -> None:
    """Seeded: of many draws, about 68 % of the next lie within one standard uncertainty."""
    random = np.random.default_rng(7)
    hits = 0
    for _ in range(400):
        drawn = random.normal(250.0, 2.0, size=21)
        one = pooled(list(drawn[:-1]), EXPECTED_SPREAD_MM)
        assert one is not None
        hits += abs(drawn[-1] - one.mean_mm) <= one.sigma_mm
    assert 0.60 < hits / 400 < 0.76


def test_nothing_measured_says_nothing() -> None:
    assert pooled([], EXPECTED_SPREAD_MM) is None
    assert pooled_tyre([]) is None


def test_widths_on_other_rims_are_carried_over() -> None:
    """Half an inch of rim width is 5.08 mm of section (UN R30)."""
    whole = pooled_tyre([Measured(8.0, 240.0), Measured(8.0, 240.0), Measured(8.5, 245.08)])
    assert whole is not None
    assert whole.rim_in == 8.0
    assert whole.width is not None
    assert whole.width.mean_mm == pytest.approx(240.0)


def test_what_was_not_read_does_not_count() -> None:
    whole = pooled_tyre([Measured(8.0, 240.0), Measured(8.0, None, 630.0)])
    assert whole is not None
    assert whole.width is not None
    assert whole.diameter is not None
    assert (whole.width.count, whole.diameter.count) == (1, 1)
    assert whole.tread is None
    assert whole.shoulder is None


TRACE = ((110.0, 230.0), (125.0, 280.0), (90.0, 315.0), (-90.0, 315.0), (-125.0, 280.0))


def test_a_single_trace_is_kept_as_it_was_drawn() -> None:
    assert mean_trace([TRACE]) == TRACE


def test_two_traces_meet_in_the_middle() -> None:
    wider = tuple((b * 1.02, r) for b, r in TRACE)
    mean = np.array(mean_trace([TRACE, wider]))
    assert mean[:, 0].max() == pytest.approx(126.25, abs=0.7)
    assert mean[:, 1].max() == pytest.approx(315.0, abs=0.05)
    assert tuple(mean[0]) == pytest.approx((111.1, 230.0), abs=0.02)


def test_a_trace_on_another_rim_is_left_out() -> None:
    whole = pooled_tyre(
        [Measured(8.0, trace=TRACE), Measured(8.0, trace=TRACE), Measured(9.0, trace=TRACE[::-1])]
    )
    assert whole is not None
    assert whole.trace[0] == pytest.approx(TRACE[0], abs=0.01)

"""From clearance and doubt to a word."""

from __future__ import annotations

import pytest

from common.verdicts import VERDICTS, Verdict, worst
from fitment.engine.verdict import judge, touch_chance


@pytest.mark.parametrize(
    ("clearance", "needed", "sigma", "verdict"),
    [
        (-0.01, 5.0, 0.0, Verdict.CONTACT),
        (0.0, 5.0, 0.0, Verdict.CONTACT),
        (0.0, 5.0, 3.0, Verdict.CONTACT),
        (-20.0, 5.0, 50.0, Verdict.CONTACT),
        (0.01, 5.0, 0.0, Verdict.TIGHT),
        (4.9, 5.0, 1.0, Verdict.TIGHT),
        (4.9, 5.0, 3.0, Verdict.DOUBTFUL),  # 1.63 sigma: 5.1 %
        (4.99, 5.0, 3.0, Verdict.TIGHT),  # 1.66 sigma: 4.8 %
        (5.0, 5.0, 3.0, Verdict.CLEAR),
        (5.0, 5.0, 3.2, Verdict.DOUBTFUL),  # enough room, but not surely
        (3.0, 3.0, 1.0, Verdict.CLEAR),
        (40.0, 5.0, 3.0, Verdict.CLEAR),
    ],
)
def test_the_verdict_of_a_place(
    clearance: float, needed: float, sigma: float, verdict: str
) -> None:
    assert judge(clearance, needed, touch_chance(clearance, sigma)) == verdict


# Tables of the normal distribution.
@pytest.mark.parametrize(
    ("clearance", "sigma", "chance"),
    [
        (0.0, 3.0, 0.5),
        (3.0, 3.0, 0.158655),
        (-3.0, 3.0, 0.841345),
        (4.934561, 3.0, 0.05),
        (6.0, 3.0, 0.022750),
        (30.0, 3.0, 7.6199e-24),
    ],
)
def test_the_chance_of_touching_is_the_normal_tail(
    clearance: float, sigma: float, chance: float
) -> None:
    assert touch_chance(clearance, sigma) == pytest.approx(chance, rel=2e-5)


@pytest.mark.parametrize(("clearance", "chance"), [(1e-9, 0.0), (0.0, 1.0), (-1e-9, 1.0)])
def test_without_uncertainty_the_chance_is_none_or_certain(clearance: float, chance: float) -> None:
    assert touch_chance(clearance, 0.0) == chance


def test_a_corner_takes_the_worst_of_its_places_in_a_fixed_order() -> None:
    assert VERDICTS == (
        Verdict.CONTACT,
        Verdict.UNMEASURED,
        Verdict.DOUBTFUL,
        Verdict.TIGHT,
        Verdict.CLEAR,
    )
    for index, verdict in enumerate(VERDICTS):
        assert worst(reversed(VERDICTS[index:])) == verdict
    assert worst([]) == Verdict.CLEAR

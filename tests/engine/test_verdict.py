"""From clearance and doubt to a word."""

from __future__ import annotations

import pytest

from common.message import message
from common.verdicts import VERDICTS, Verdict, worst
from fitment.engine.uncertainty.touching import below_zero
from fitment.engine.verdict import judge, judge_whole

CONTACT, UNMEASURED, DOUBTFUL, TIGHT, CLEAR = VERDICTS


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
    assert judge(clearance, needed, below_zero(clearance, sigma)) == verdict


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
    assert worst([]) == CLEAR


@pytest.mark.parametrize(
    ("verdicts", "chance", "verdict", "said"),
    [
        ([CLEAR, CLEAR], 0.09, CLEAR, False),
        ([CLEAR, CLEAR], 0.11, DOUBTFUL, True),
        ([CLEAR, TIGHT], 0.10, TIGHT, False),
        ([CLEAR, TIGHT], 0.30, DOUBTFUL, True),
        ([CLEAR, DOUBTFUL], 0.30, DOUBTFUL, False),
        ([CLEAR, UNMEASURED], 0.30, UNMEASURED, False),
        ([CONTACT, CLEAR], 1.0, CONTACT, False),
    ],
)
def test_many_small_chances_make_a_whole_doubtful_that_no_part_of_it_is(
    verdicts: list[Verdict], chance: float, verdict: Verdict, said: bool
) -> None:
    found, told = judge_whole(verdicts, chance, 0.10)
    assert found == verdict
    said_so = message("note.doubtful-as-a-whole", touch_share=chance, most_share=0.10)
    assert told == ((said_so,) if said else ())

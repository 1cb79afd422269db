"""A thousand tyres and three hundred wheels: how much work, what is told, and that it is right.

``python -m tests.benchmarks.bench_catalogue`` tells the seconds.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from fitment.engine.check import run
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Check
from fitment.engine.search.aims import LEAST_COST, MOST_CLEARANCE, WIDEST
from fitment.engine.search.candidate_check import stand_of
from fitment.engine.search.fits import fits_within
from fitment.engine.search.model import Progress, Question
from fitment.engine.search.options import options
from tests.benchmarks.catalogues import TYRES, WHEELS, large_question
from tests.nights import day_and_night

#: Full checks that the search may ask for: a share of a tenth of a second each in ten seconds.
MOST_JUDGED = 60
#: Better candidates that are asked about here, to see that none clears.
SAMPLE = 16


@pytest.mark.parametrize("goal", day_and_night([WIDEST], [LEAST_COST, MOST_CLEARANCE]))
def test_a_large_catalogue_is_searched_whole_by_few_checks(goal: str) -> None:
    question, heard = large_question(goal), []

    def on(progress: Progress) -> bool:
        heard.append(progress)
        return True

    found = options(question, on)
    assert found.complete
    assert found.candidates == (TYRES + 1) * (WHEELS + 1)
    assert found.cleared + sum(one.count for one in found.ruled_out) == found.candidates
    assert found.judged <= MOST_JUDGED
    shares = [progress.done_share for progress in heard]
    assert shares == sorted(shares)
    assert len(set(shares)) > 3
    if goal == WIDEST:
        none_wider_clears(question, max(one.width_mm for one in found.options))


def none_wider_clears(question: Question, width_mm: float) -> None:
    """A full check of those wider candidates that seem to have the most clearance, and of some."""
    fits = fits_within(question.space, question.within)
    wider = np.flatnonzero(fits.width_mm > width_mm + 1e-3)
    assert len(wider) > SAMPLE
    name, corner = next(iter(question.corners.items()))
    rough = stand_of((name,), setting_of(name, corner, question.duty), fits.combos).weighed
    hopeful = wider[np.argsort(-rough.gaps[wider].min(axis=1), kind="stable")]
    verdicts: Counter[str] = Counter()
    for fit in [*hopeful[:SAMPLE], *wider[:: len(wider) // 3]]:
        wheel, tyre = fits.combos.at(int(fit))
        corners = {n: replace(c, wheel=wheel, tyre=tyre) for n, c in question.corners.items()}
        answer = run(Check("wider", question.duty, corners))
        verdicts[answer.verdict] += 1
        assert not answer.verdict.clears
    assert len(verdicts) > 1, "wider tyres fall in one way only"

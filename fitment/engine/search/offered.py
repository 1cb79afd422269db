"""An option as it is offered: a candidate with the full answer of a check."""

from __future__ import annotations

from fitment.engine.search.aims import Ranks
from fitment.engine.search.candidate_check import tightest_of
from fitment.engine.search.judging import Judging
from fitment.engine.search.limits import not_known
from fitment.engine.search.model import Option, Question
from fitment.engine.search.settling import Settled
from fitment.engine.search.table import kinds_in, price_of


def option_of(
    question: Question, settled: Settled, judging: Judging, key: int, ranks: Ranks
) -> Option:
    """A candidate that clears, as an option. Raises ValueError for one that does not."""
    table, judged = judging.table, judging.judge(key)
    if judged.corners is None or judged.answers is None:
        raise ValueError("only what clears is an option")
    row, fit = divmod(key, table.shape[1])
    change = settled.changes[row]
    wheel, tyre, spacer = judging.fits.picked(fit)
    where, tightest = tightest_of(judged.answers)
    return Option(
        setting=change,
        wheel=wheel,
        tyre=tyre,
        spacer=spacer,
        changes=kinds_in(int(table.kinds[row, fit])),
        effort=float(table.effort[row, fit]),
        price=price_of(judging.fits, fit, change),
        ranks=ranks,
        fails=not judging.passes(key),
        verdict=judged.verdict,
        width_mm=float(judging.fits.width_mm[fit]),
        corner=where,
        tightest=tightest,
        corners={name: judged.corners[name] for name in question.corners},
        answers={name: judged.answers[name] for name in question.corners},
        not_known=not_known(wheel, tyre, question.within),
        broken=question.within.broken,
    )

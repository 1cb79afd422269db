"""Options: from "it rubs" to what would fit.

Best-first search over all combinations, with bounds that rule out (standard method). Every setting
to choose from is settled once, its room sampled once, and all wheels, tyres and spacers are held
against it roughly. A rough clearance is never too small, so what it rules out is ruled out. What is
left is looked at in the order of what is wanted (least change, least cost, most clearance, widest
tyre) and judged as a check judges, unless the uncertainty found at a like moment rules it out; the
finalists get the full answer of a check. Nothing that a check would not let pass is ever offered.
Deterministic.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from alignment.geometry.frames import Array, Index
from common.verdicts import worst
from fitment.engine.check import corner_answer
from fitment.engine.model import Corner, CornerAnswer
from fitment.engine.search.fits import Fits, fits_within
from fitment.engine.search.judging import Judging, Stopped, ruled_out
from fitment.engine.search.limits import not_known
from fitment.engine.search.model import (
    LEAST_CHANGE,
    LEAST_COST,
    MOST_CLEARANCE,
    WIDEST,
    Option,
    Options,
    Progress,
    Question,
    Watch,
)
from fitment.engine.search.settling import Settled, settle
from fitment.engine.search.space import KINDS
from fitment.engine.search.table import Table, price_of, table_of
from fitment.engine.solid.mounted import mounted

#: Candidates followed down together, at first and at most.
FIRST_BATCH, BATCH = 8, 64
#: Slack that differs by less is one, mm.
SAME_MM = 0.005

#: By key of a candidate, the aims that it is the best for.
Wins = dict[int, list[str]]


def options(question: Question, watch: Watch | None = None) -> Options:
    """Search a space for options that clear; what was found so far if ``watch`` stops it."""
    space, wins = question.space, Wins()
    settings = len(space.settings)

    def goes_on(settled: int, judged: int = 0) -> bool:
        return watch is None or watch(Progress(settled, settings, judged, len(wins)))

    fits = fits_within(space, question.within)
    settled = settle(question, fits, goes_on)

    def tell(judged: int) -> None:
        if not goes_on(settled.count, judged):
            raise Stopped

    judging = Judging(fits, table_of(question, fits, settled), question.most_judged, tell)
    complete = settled.complete
    try:
        if complete:
            _choose(question, judging, wins)
    except Stopped:
        complete = False
    return Options(
        options=tuple(
            _option(question, settled, judging, key, tuple(aims)) for key, aims in wins.items()
        ),
        ruled_out=ruled_out(judging, settings - settled.count),
        candidates=settings * len(space.wheels) * len(space.tyres) * len(space.spacers),
        judged=len(judging.verdicts),
        complete=complete,
    )


def _choose(question: Question, judging: Judging, wins: Wins) -> None:
    """Add to ``wins`` the best for each aim, then others until there are a few.

    Raises Stopped; what was added stays.
    """
    for aim in question.aims:
        best = _winner(judging, aim)
        if best is not None:
            wins.setdefault(best, []).append(aim)
    for more in _different(judging, question.aims[0], wins):
        if len(wins) >= question.few:
            return
        wins[more] = []


def _winner(judging: Judging, aim: str) -> int | None:
    if aim == MOST_CLEARANCE:
        return _roomiest(judging)
    return next(_good(judging, _order(judging, aim), lambda _: True), None)


def _good(judging: Judging, order: Index, wanted: Callable[[int], bool]) -> Iterator[int]:
    """Candidates that clear, in an order; those that are not ``wanted`` are passed over."""
    margin = judging.table.margin.ravel()
    order = order[margin[order] > 0]
    first, size = 0, FIRST_BATCH
    while first < len(order):
        batch = [int(key) for key in order[first : first + size] if wanted(int(key))]
        judging.follow([key for key in batch if margin[key] <= judging.worth_following])
        first, size = first + size, min(2 * size, BATCH)
        for key in batch:
            if wanted(key) and judging.clears(key):
                yield key


def _order(judging: Judging, aim: str) -> Index:
    """All candidates from the best for an aim on, smaller changes first among equals."""
    table = judging.table
    effort = np.round(table.effort.ravel(), 9)
    if aim == LEAST_COST:
        price = table.price.ravel()
        order = np.lexsort((effort, np.round(price, 2)))
        return order[np.isfinite(price[order])]
    if aim == WIDEST:
        return np.lexsort((effort, -np.tile(_widths(judging.fits), table.shape[0])))
    return np.argsort(effort, kind="stable")


def _widths(fits: Fits) -> Array:
    """Mounted section width of every fit, mm."""
    width: dict[tuple[int, int], float] = {}
    for w, t, _ in fits.triples:
        if (w, t) not in width:
            wheel = fits.space.wheels[w].wheel
            size = mounted(wheel, fits.space.tyres[t].on(wheel))
            width[w, t] = round(size.section_width_mm, 3)
    return np.array([width[w, t] for w, t, _ in fits.triples])


def _roomiest(judging: Judging) -> int | None:
    """The candidate that clears with the most slack at its tightest place."""
    table = judging.table
    margin, slack, effort = table.margin.ravel(), table.slack.ravel(), table.effort.ravel()
    hopeful = np.flatnonzero(margin > 0)
    order = hopeful[np.lexsort((effort[hopeful], -np.round(slack[hopeful], 2)))]
    upper = slack[order]
    heap: list[tuple[float, float, int]] = []
    best, most, taken = None, -np.inf, 0
    while True:
        ahead = upper[taken] if taken < len(order) else -np.inf
        top = -heap[0][0] if heap else -np.inf
        if max(ahead, top) <= most + SAME_MM:
            return best
        if heap and top >= ahead - SAME_MM:
            key = heapq.heappop(heap)[2]
            if judging.clears(key) and judging.verdicts[key].slack_mm > most:
                best, most = key, judging.verdicts[key].slack_mm
            continue
        batch = [int(key) for key in order[taken : taken + BATCH]]
        judging.follow(batch, for_room=True)
        for key in batch:
            if margin[key] > 0:
                heapq.heappush(heap, (-round(slack[key], 2), effort[key], key))
        taken += BATCH


def _different(judging: Judging, aim: str, wins: Mapping[int, list[str]]) -> Iterator[int]:
    """More options that change other things, in the order of the first aim.

    Where least change is wanted, what changes all that another option changes and more is no
    news.
    """
    kinds = judging.table.kinds.ravel()

    def new(key: int) -> bool:
        mine = kinds[key]
        if aim == LEAST_CHANGE:
            return all(kinds[other] & mine != kinds[other] for other in wins)
        return all(kinds[other] != mine for other in wins)

    return _good(judging, _order(judging, LEAST_CHANGE if aim == MOST_CLEARANCE else aim), new)


def _option(
    question: Question, settled: Settled, judging: Judging, key: int, wins: tuple[str, ...]
) -> Option:
    """A candidate with the full answer of a check."""
    table: Table = judging.table
    row, fit = divmod(key, table.shape[1])
    change = settled.changes[row]
    wheel, tyre, spacer = judging.fits.picked(fit)
    corners: dict[str, Corner] = {}
    answers: dict[str, CornerAnswer] = {}
    for stand in settled.stands[row]:
        corner = judging.corner(stand.setting.corner, fit)
        answer = corner_answer(replace(stand.setting, corner=corner))
        for name in stand.names:
            corners[name], answers[name] = corner, answer
    rows = [(name, place) for name, one in answers.items() for place in one.places]
    where, tightest = min(rows, key=lambda pair: pair[1].clearance_mm - pair[1].needed_mm)
    return Option(
        setting=change,
        wheel=wheel,
        tyre=tyre,
        spacer=spacer,
        changes=frozenset(k for i, k in enumerate(KINDS) if table.kinds[row, fit] >> i & 1),
        effort=float(table.effort[row, fit]),
        price=price_of(question, judging.fits, fit, change),
        wins=wins,
        verdict=worst(answer.verdict for answer in answers.values()),
        slack_mm=tightest.clearance_mm - tightest.needed_mm,
        corner=where,
        tightest=tightest,
        corners={name: corners[name] for name in question.corners},
        answers={name: answers[name] for name in question.corners},
        not_known=not_known(wheel, tyre, question.within),
        broken=question.within.broken,
    )

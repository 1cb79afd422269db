"""Some settings of a search: exhaustive search with bounds.

Every setting is settled once, its room sampled once, and all wheels, tyres and spacers are held
against it roughly. A sample of a feature bounds the least clearance from above, so what such a
clearance rules out, a full check would; and a rank (the width, the price, what is changed) is
known beforehand, or bounded by that clearance. Candidates are then asked about in the order of
their ranks, each with the verdict of a full check, until the next can be no better than what was
found. So for every aim nothing that a check lets clear is better than the option that is named,
however large the space.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from alignment.geometry.frames import Index
from fitment.engine.search.aims import LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, Rank, Ranks
from fitment.engine.search.fits import Fits
from fitment.engine.search.goals import better, columns, in_order, rank
from fitment.engine.search.judging import ROUGH_MM, Judging, Stopped, ruled_out
from fitment.engine.search.listing import is_news
from fitment.engine.search.model import Option, Options, Progress, Question, Watch
from fitment.engine.search.offered import option_of
from fitment.engine.search.settling import settle
from fitment.engine.search.space import SettingChange
from fitment.engine.search.table import kinds_in, table_of

#: Candidates followed down together, at first and at most.
FIRST_BATCH, BATCH = 8, 64
#: Clearances that differ by less are one, mm.
SAME_MM = 0.005
#: Share of the work that settling is taken for.
SETTLING = 0.3
#: Candidates that are asked about beyond the best for each aim, for variety.
FOR_VARIETY = 12


@dataclass(frozen=True)
class Before:
    """What earlier parts of a search found: the best rank for each aim, and the kinds of change
    of what passes."""

    best: Ranks = field(default_factory=dict)
    changes: tuple[frozenset[str], ...] = ()

    def and_found(self, options: Sequence[Option]) -> Before:
        """The same with more options found."""
        best = dict(self.best)
        passing = [one for one in options if not one.fails]
        for one in passing:
            for aim, value in one.ranks.items():
                best[aim] = min(best.get(aim, value), value)
        return Before(best, (*self.changes, *(one.changes for one in passing)))


def some_options(
    question: Question,
    fits: Fits,
    settings: Sequence[SettingChange],
    before: Before | None = None,
    watch: Watch | None = None,
) -> Options:
    """Search some settings of a space for what is better than what was found ``before``."""
    question = replace(question, space=replace(question.space, settings=tuple(settings)))
    search: _Search

    def goes_on(settled: int, judged: int = 0) -> bool:
        if watch is None:
            return True
        found, share = 0, SETTLING * settled / max(len(settings), 1)
        if settled == len(settings):
            found, share = search.found, SETTLING + (1 - SETTLING) * search.share
        return watch(Progress(settled, len(settings), judged, found, share))

    settled = settle(question, fits, lambda count: count == len(settings) or goes_on(count))

    def tell(judged: int) -> None:
        if not goes_on(len(settings), judged):
            raise Stopped

    table = table_of(question, fits, settled)
    judging = Judging(fits, table, question.passes, question.most_judged, tell)
    search = _Search(question, judging, before or Before())
    complete = settled.complete
    try:
        if complete:
            search.run()
            tell(len(judging.verdicts))
    except Stopped:
        complete = False
    left = (len(settings) - settled.count) * question.space.fits
    return Options(
        options=tuple(
            option_of(question, settled, judging, key, search.ranks(key)) for key in search.kept()
        ),
        ruled_out=ruled_out(judging, complete, left),
        candidates=question.space.candidates,
        judged=len(judging.verdicts),
        cleared=judging.cleared,
        complete=complete,
    )


class _Search:
    """One part of a search: its winners, and others that change other things."""

    def __init__(self, question: Question, judging: Judging, before: Before) -> None:
        self._question, self._judging, self._before = question, judging, before
        self._winners: dict[int, None] = {}
        #: How much of the work is done, 0 to 1, and how many options are found.
        self.share = 0.0

    @property
    def found(self) -> int:
        return len(self._winners)

    def run(self) -> None:
        """Find the best for each aim, then some others. Raises Stopped; what was found stays."""
        aims = self._question.aims
        for number, aim in enumerate(aims):
            self._span = number / (len(aims) + 1), 1 / (len(aims) + 1)
            best = self._roomiest() if aim == MOST_CLEARANCE else self._first(aim)
            if best is not None:
                self._winners.setdefault(best)
        self._span = len(aims) / (len(aims) + 1), 1 / (len(aims) + 1)
        self._add_others(aims[0])
        self.share = 1.0

    def kept(self) -> list[int]:
        """Winners, and the best of those that clear and fail what else is asked."""
        few, aim = self._question.few, self._question.aims[0]
        failing = sorted(self._judging.failing, key=lambda key: self.ranks(key).get(aim, (np.inf,)))
        return [*self._winners, *failing[:few]]

    def ranks(self, key: int) -> Ranks:
        """How well a candidate that clears meets every aim."""
        least = self._judging.judge(key).least_mm
        table, widths = self._judging.table, self._judging.fits.width_mm
        found = {aim: rank(table, widths, key, aim, least) for aim in self._question.aims}
        return {aim: value for aim, value in found.items() if value is not None}

    def _order(self, aim: str, than: Rank | None) -> Index:
        """Candidates with hope that rank before ``than``, from the best on."""
        table = self._judging.table
        figures = columns(table, self._judging.fits.width_mm, aim)
        wanted = better(figures, than) & (table.margin.ravel() > 0)
        if aim == LEAST_COST and (aim != self._question.aims[0] or self._before.changes):
            wanted &= np.isfinite(figures[0])  # what has no price is worth a look where nothing has
        order = in_order(figures)
        return order[wanted[order]]

    def _first(self, aim: str) -> int | None:
        """The best candidate for an aim that clears and passes; None where none is better."""
        order = self._order(aim, self._before.best.get(aim))
        return next((k for k in self._good(order, lambda _: True) if self._judging.passes(k)), None)

    def _good(self, order: Index, wanted: Callable[[int], bool]) -> Iterator[int]:
        """Candidates that clear, in an order; those that are not ``wanted`` are passed over."""
        judging, margin = self._judging, self._judging.table.margin.ravel
        first, size = 0, FIRST_BATCH
        while first < len(order):
            self._tell_share(first, len(order))
            batch = [int(key) for key in order[first : first + size] if wanted(int(key))]
            judging.follow([key for key in batch if margin()[key] <= ROUGH_MM])
            first, size = first + size, min(2 * size, BATCH)
            for key in batch:
                if wanted(key) and judging.clears(key):
                    yield key

    def _tell_share(self, at: int, of: int) -> None:
        self.share = self._span[0] + self._span[1] * at / max(of, 1)

    def _roomiest(self) -> int | None:
        """The candidate that clears and passes with the most clearance at its tightest spot."""
        judging, table = self._judging, self._judging.table
        room, before = table.room.ravel(), self._before.best.get(MOST_CLEARANCE)
        order = self._order(MOST_CLEARANCE, None)
        upper = room[order].copy()
        heap: list[tuple[float, int]] = []
        best, most, taken = None, -np.inf if before is None else -before[0], 0
        while True:
            self._tell_share(taken, len(order))
            ahead = upper[taken] if taken < len(order) else -np.inf
            top = -heap[0][0] if heap else -np.inf
            if max(ahead, top) <= most + SAME_MM:
                return best
            if heap and top >= ahead - SAME_MM:
                key = heapq.heappop(heap)[1]
                is_more = judging.clears(key) and judging.judge(key).least_mm > most
                if is_more and judging.passes(key):
                    best, most = key, judging.judge(key).least_mm
                continue
            batch = [int(key) for key in order[taken : taken + BATCH]]
            judging.follow(batch, for_room=True)
            for key in batch:
                if table.margin.ravel()[key] > 0:
                    heapq.heappush(heap, (-table.room.ravel()[key], key))
            taken += BATCH

    def _add_others(self, first: str) -> None:
        """Add options that change other things until there are a few, within bounded work."""
        judging, few = self._judging, self._question.few
        aim = LEAST_CHANGE if first == MOST_CLEARANCE else first
        allowed = len(judging.verdicts) + FOR_VARIETY
        kinds = judging.table.kinds.ravel()

        def others() -> list[frozenset[str]]:
            return [*self._before.changes, *(kinds_in(int(kinds[key])) for key in self._winners)]

        def is_new(key: int) -> bool:
            return len(judging.verdicts) < allowed and is_news(
                kinds_in(int(kinds[key])), others(), aim
            )

        for key in self._good(self._order(aim, None), is_new):
            if len(others()) >= few:
                return
            if judging.passes(key):
                self._winners.setdefault(key)

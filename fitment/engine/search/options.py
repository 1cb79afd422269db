"""Ways to clear: from "it rubs" to what would fit.

Every setting to choose from is settled once, its room sampled once, and all wheels, tyres and
spacers are held against it roughly. A rough clearance is never too small, so whatever it
rules out is ruled out. What is left is looked at in the order of what is wanted (least change,
least cost, most room, widest tyre) and judged as a check judges, unless the doubt that was found
at a like moment leaves it no hope; the finalists get the full answer of a check. Nothing that a
check would not let pass is ever offered. Deterministic.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from alignment.geometry.frames import Array, Index
from fitment.engine.check import corner_answer
from fitment.engine.model import Corner, CornerAnswer
from fitment.engine.search.candidates import Candidates, Stopped
from fitment.engine.search.model import (
    GOOD,
    LEAST_CHANGE,
    LEAST_COST,
    MOST_ROOM,
    WIDEST,
    Option,
    Options,
    Question,
    Watch,
)
from fitment.engine.search.space import KINDS, not_known
from fitment.engine.solid.mounted import mounted
from fitment.engine.verdict import worst

#: Candidates followed down together, at first and at most.
FIRST_BATCH, BATCH = 8, 64
#: Slack that differs by less is one, mm.
SAME_MM = 0.005


def options(question: Question, watch: Watch | None = None) -> Options:
    """Search a space for ways to clear; what was found so far if ``watch`` stops it."""
    return _Search(question, watch).run()


class _Search:
    def __init__(self, question: Question, watch: Watch | None) -> None:
        self.question, self.all = question, Candidates(question, watch)

    def run(self) -> Options:
        every, wins = self.all, dict[int, list[str]]()
        complete = True
        try:
            every.settle()
            for aim in self.question.aims:
                best = self._winner(aim)
                if best is not None:
                    wins.setdefault(best, []).append(aim)
                    every.found = len(wins)
            for more in self._different(wins):
                if len(wins) >= self.question.few:
                    break
                wins[more] = []
                every.found = len(wins)
        except Stopped:
            complete = False
        found = [self._option(key, tuple(aims)) for key, aims in wins.items()]
        space = every.space
        many = len(space.settings) * len(space.wheels) * len(space.tyres) * len(space.spacers)
        return Options(tuple(found), every.ruled_out(), many, len(every.verdicts), complete)

    def _good(self, order: Index, wanted: Callable[[int], bool]) -> Iterator[int]:
        """Candidates that clear, in an order; those that are not ``wanted`` are passed over."""
        margin = self.all.margin.ravel()
        order = order[margin[order] > 0]
        first, size = 0, FIRST_BATCH
        while first < len(order):
            batch = [int(key) for key in order[first : first + size] if wanted(int(key))]
            self.all.follow([key for key in batch if margin[key] <= self.all.worth_following])
            first, size = first + size, min(2 * size, BATCH)
            for key in batch:
                if wanted(key) and self._clears(key):
                    yield key

    def _clears(self, key: int) -> bool:
        """Whether a check would let a candidate clear; judged only where there is hope."""
        every = self.all
        if key in every.verdicts:
            return every.verdicts[key].verdict in GOOD
        hopeful = every.margin.ravel()[key] > 0 and every.may_clear(key)
        return hopeful and every.judge(key).verdict in GOOD

    def _order(self, aim: str) -> Index:
        """All candidates from the best for an aim on, smaller changes first among equals."""
        effort = np.round(self.all.effort.ravel(), 9)
        if aim == LEAST_COST:
            order = np.lexsort((effort, np.round(self.all.price.ravel(), 2)))
            return order[np.isfinite(self.all.price.ravel()[order])]
        if aim == WIDEST:
            return np.lexsort((effort, -np.tile(self._widths(), self.all.shape[0])))
        return np.argsort(effort, kind="stable")

    def _widths(self) -> Array:
        """Mounted section width of every fit, mm."""
        width: dict[tuple[int, int], float] = {}
        for w, t, _ in self.all.triples:
            if (w, t) not in width:
                wheel = self.all.space.wheels[w].wheel
                size = mounted(wheel, self.all.space.tyres[t].on(wheel))
                width[w, t] = round(size.section_width_mm, 3)
        return np.array([width[w, t] for w, t, _ in self.all.triples])

    def _winner(self, aim: str) -> int | None:
        if aim == MOST_ROOM:
            return self._roomiest()
        return next(self._good(self._order(aim), lambda _: True), None)

    def _roomiest(self) -> int | None:
        """The candidate that clears with the most slack at its tightest place."""
        slack, effort = self.all.slack.ravel(), self.all.effort.ravel()
        hopeful = np.flatnonzero(self.all.margin.ravel() > 0)
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
                if self._clears(key) and self.all.verdicts[key].slack_mm > most:
                    best, most = key, self.all.verdicts[key].slack_mm
                continue
            batch = [int(key) for key in order[taken : taken + BATCH]]
            self.all.follow(batch, for_room=True)
            for key in batch:
                if self.all.margin.ravel()[key] > 0:
                    heapq.heappush(heap, (-round(slack[key], 2), effort[key], key))
            taken += BATCH

    def _different(self, wins: Mapping[int, list[str]]) -> Iterator[int]:
        """More ways that change other things, in the order of the first aim.

        Where least change is wanted, what changes all that another way changes and more is no
        news.
        """
        aim = self.question.aims[0]
        kinds = self.all.kinds.ravel()

        def new(key: int) -> bool:
            mine = kinds[key]
            if aim == LEAST_CHANGE:
                return all(kinds[other] & mine != kinds[other] for other in wins)
            return all(kinds[other] != mine for other in wins)

        return self._good(self._order(LEAST_CHANGE if aim == MOST_ROOM else aim), new)

    def _option(self, key: int, wins: tuple[str, ...]) -> Option:
        every = self.all
        row, fit = divmod(key, every.shape[1])
        triple, change = every.triples[fit], every.changes[row]
        wheel, tyre, spacer = every.picked(triple)
        corners: dict[str, Corner] = {}
        answers: dict[str, CornerAnswer] = {}
        for stand in every.stands[row]:
            corner = every.corner(stand.setting.corner, fit)
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
            changes=frozenset(k for i, k in enumerate(KINDS) if every.kinds[row, fit] >> i & 1),
            effort=float(every.effort[row, fit]),
            price=every.price_of(change, triple),
            wins=wins,
            verdict=worst(answer.verdict for answer in answers.values()),
            slack_mm=tightest.clearance_mm - tightest.needed_mm,
            corner=where,
            tightest=tightest,
            corners={name: corners[name] for name in self.question.corners},
            answers={name: answers[name] for name in self.question.corners},
            not_known=not_known(wheel, tyre, every.within),
            broken=every.within.broken,
        )

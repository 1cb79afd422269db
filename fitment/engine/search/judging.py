"""Candidates looked at closely: followed down, judged by a full check, and counted.

Every method may be called at any time, in any order. Millimetres.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from common.message import Message, message
from common.verdicts import Verdict
from fitment.engine.search.candidate_check import Judged, judge
from fitment.engine.search.fits import Fits
from fitment.engine.search.following import follow
from fitment.engine.search.model import (
    NO_BETTER,
    NOT_LOOKED_AT,
    NOT_MEASURED,
    TOO_CLOSE,
    TOUCHES,
    Passes,
    RuledOut,
)
from fitment.engine.search.table import Table

#: Margins up to which a candidate is worth following before it is judged: rough ones seldom say
#: more too much than this, mm.
ROUGH_MM = 4.0


class Stopped(Exception):
    """The work that was allowed is done, or the watcher asked to stop."""


class Judging:
    """What is found of candidates one by one, kept so that nothing is worked out twice.

    ``most`` bounds how many are judged (None: all that it takes); ``tell`` is called after every
    piece of work with how many were judged, and may raise Stopped.
    """

    def __init__(
        self,
        fits: Fits,
        table: Table,
        passes: Passes | None,
        most: int | None,
        tell: Callable[[int], None],
    ) -> None:
        self.fits, self.table, self.most, self.tell = fits, table, most, tell
        self.verdicts: dict[int, Judged] = {}
        self._passes = passes
        self._passed: dict[int, bool] = {}
        self._followed = np.zeros(table.shape, bool)

    def follow(self, keys: Iterable[int], *, for_room: bool = False) -> None:
        """Follow candidates down to their tightest moments, setting by setting."""
        table = self.table
        rows: dict[int, list[int]] = {}
        for key in keys:
            row, fit = divmod(key, table.shape[1])
            if key in self.verdicts or table.margin[row, fit] <= 0:
                continue
            if for_room or not self._followed[row, fit]:
                rows.setdefault(row, []).append(fit)
        for row, fits in rows.items():
            index = np.array(fits)
            for stand in table.stands[row]:
                needed = np.zeros_like(stand.required) if for_room else stand.required
                follow(stand.weighed, index, needed)
            self._followed[row, index] = True
            table.look(row, index)
        self.tell(len(self.verdicts))

    def judge(self, key: int) -> Judged:
        """What a full check says of a candidate. Raises Stopped beyond the allowed work."""
        if key not in self.verdicts:
            if self.most is not None and len(self.verdicts) >= self.most:
                raise Stopped
            row, fit = divmod(key, self.table.shape[1])
            self.verdicts[key] = judge(self.table.stands[row], *self.fits.combos.at(fit))
            self.tell(len(self.verdicts))
        return self.verdicts[key]

    def clears(self, key: int) -> bool:
        """Whether a full check lets a candidate clear; asked only where there is hope.

        Raises Stopped beyond the allowed work.
        """
        hopeful = key in self.verdicts or self.table.margin.ravel()[key] > 0
        return bool(hopeful) and self.judge(key).verdict.clears

    def passes(self, key: int) -> bool:
        """Whether a candidate that clears passes what else is asked of it."""
        if key not in self._passed:
            one = self.judge(key)
            asked = self._passes
            self._passed[key] = asked is None or (
                one.corners is not None
                and one.answers is not None
                and asked(one.corners, one.answers)
            )
        return self._passed[key]

    @property
    def failing(self) -> list[int]:
        """Candidates that clear, but do not pass what else is asked of them."""
        return [key for key, passed in self._passed.items() if not passed]

    @property
    def cleared(self) -> int:
        """How many candidates a full check lets clear."""
        return sum(one.verdict.clears for one in self.verdicts.values())


def ruled_out(judging: Judging, complete: bool, not_settled: int) -> tuple[RuledOut, ...]:
    """Everything that fell, by reason, most first; what was not judged last.

    In a search that is ``complete``, what was not judged is no better than what was found;
    ``not_settled`` candidates were not even held against their setting.
    """
    counts = judging.table.reasons()
    for one in judging.verdicts.values():
        if not one.verdict.clears:
            counts[_reason_of(one)] += 1
    hopeful = judging.table.margin.ravel() > 0
    hopeful[list(judging.verdicts)] = False
    left = int(np.count_nonzero(hopeful)) + not_settled
    found = [RuledOut(why, count) for why, count in counts.most_common() if count]
    code = NO_BETTER if complete else NOT_LOOKED_AT
    return (*found, RuledOut(message(code), left)) if left else tuple(found)


def _reason_of(judged: Judged) -> Message:
    if judged.verdict == Verdict.CONTACT:
        return message(TOUCHES, spot=judged.place)
    if judged.verdict == Verdict.DOUBTFUL:
        return message(TOO_CLOSE, spot=judged.place)
    return message(NOT_MEASURED, what=judged.place)

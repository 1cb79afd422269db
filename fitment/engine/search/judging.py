"""Candidates looked at closely: followed down, judged as a check judges, and what follows from it.

Every method may be called at any time, in any order. Millimetres.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from alignment.geometry.linkage import Unreachable
from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine.model import Corner
from fitment.engine.search.candidate_check import SIGMAS, Doubted, Judged, judge, kind_of
from fitment.engine.search.fits import Fits
from fitment.engine.search.following import follow
from fitment.engine.search.model import NOT_LOOKED_AT, NOT_MEASURED, TOO_CLOSE, TOUCHES, RuledOut
from fitment.engine.search.table import PER_CORNER, Table

#: Rough margins seldom say more too much than this, mm.
ROUGH_MM = 1.5
#: The uncertainty of a like moment is at least so much of the one that was found.
LIKE = 0.92

#: What candidates have in common whose uncertainties are alike.
Kind = tuple[object, ...]


class Stopped(Exception):
    """The work that was allowed is done, or the watcher asked to stop."""


class Judging:
    """What is found of candidates one by one, kept so that nothing is worked out twice.

    ``most`` bounds how many are judged; ``tell`` is called after every piece of work with how many
    were, and may raise Stopped. ``worth_following`` is the margin up to which a candidate is worth
    following before it is judged, mm.
    """

    def __init__(self, fits: Fits, table: Table, most: int, tell: Callable[[int], None]) -> None:
        self.fits, self.table, self.most, self.tell = fits, table, most, tell
        self.verdicts: dict[int, Judged] = {}
        self.worth_following = ROUGH_MM
        self._followed = np.zeros(table.shape, bool)
        self._learned: dict[tuple[int, Kind, int], list[Doubted]] = {}

    def follow(self, keys: Iterable[int], *, for_room: bool = False) -> None:
        """Follow candidates down to their tightest moments, setting by setting."""
        table = self.table
        rows: dict[int, list[int]] = {}
        for key in keys:
            row, fit = divmod(key, table.shape[1])
            if table.margin[row, fit] > 0 and (for_room or not self._followed[row, fit]):
                rows.setdefault(row, []).append(fit)
        for row, fits in rows.items():
            index = np.array(fits)
            for stand in table.stands[row]:
                needed = stand.weighed.needed if for_room else stand.required
                follow(stand.weighed, index, needed)
            self._followed[row, index] = True
            table.look(row, index)
        self.tell(len(self.verdicts))

    def judge(self, key: int) -> Judged:
        """What a check would say of a candidate. Raises Stopped beyond the allowed work."""
        if key not in self.verdicts:
            if len(self.verdicts) >= self.most:
                raise Stopped
            self.verdicts[key] = self._judged(key)
            self.tell(len(self.verdicts))
        return self.verdicts[key]

    def _judged(self, key: int) -> Judged:
        row, fit = divmod(key, self.table.shape[1])
        wheel, tyre = self.fits.combos.at(fit)
        try:
            parts = [judge(stand, wheel, tyre) for stand in self.table.stands[row]]
        except Unreachable:
            parts = [Judged(Verdict.UNMEASURED, -np.inf, message("limit.pose-beyond-linkage"))]
        self._learn(self._kind(row, fit), parts)
        verdict = worst(part.verdict for part in parts)
        least = min(parts, key=lambda part: part.slack_mm)
        decides = next(part for part in parts if part.verdict == verdict)
        return Judged(verdict, least.slack_mm, decides.place)

    def _kind(self, row: int, fit: int) -> Kind:
        stands = self.table.stands[row]
        rolled = any(stand.setting.corner.planned.rolled_lips for stand in stands)
        return rolled, *kind_of(*self.fits.combos.at(fit))

    def _learn(self, kind: Kind, parts: list[Judged]) -> None:
        """Keep the uncertainties found, for candidates whose tightest moments are alike."""
        for index, part in enumerate(parts):
            for one in part.uncertainties:
                self._learned.setdefault((index, kind, one.feature), []).append(one)
                reach = LIKE * SIGMAS * one.sigma_mm + ROUGH_MM
                self.worth_following = max(self.worth_following, reach)

    def may_clear(self, key: int) -> bool:
        """Whether a candidate may clear by the uncertainties of those like it."""
        row, fit = divmod(key, self.table.shape[1])
        kind = self._kind(row, fit)
        for index, stand in enumerate(self.table.stands[row]):
            for at, gap in enumerate(stand.weighed.gaps[fit]):
                moment = stand.weighed.moments[fit, at]
                known = self._learned.get((index, kind, at), ())
                like = [one.sigma_mm for one in known if one.is_near(moment)]
                if like and gap <= LIKE * SIGMAS * min(like):
                    self.table.margin[row, fit] = -0.0
                    self.table.why[row, fit] = (index * PER_CORNER + at) * 2
                    return False
        return True

    def clears(self, key: int) -> bool:
        """Whether a check would let a candidate clear; judged only where it may.

        Raises Stopped beyond the allowed work.
        """
        if key in self.verdicts:
            return self.verdicts[key].verdict.clears
        hopeful = self.table.margin.ravel()[key] > 0 and self.may_clear(key)
        return bool(hopeful) and self.judge(key).verdict.clears

    def corner(self, corner: Corner, fit: int) -> Corner:
        """A corner with the wheel and tyre of a fit."""
        wheel, tyre = self.fits.combos.at(fit)
        return replace(corner, wheel=wheel, tyre=tyre)


def ruled_out(judging: Judging, not_settled: int) -> tuple[RuledOut, ...]:
    """Everything that fell, by reason, most first; what was never looked at last.

    ``not_settled`` changed plans were not even settled.
    """
    table, verdicts = judging.table, judging.verdicts
    counts = table.reasons()
    for one in verdicts.values():
        if not one.verdict.clears:
            counts[_reason_of(one)] += 1
    left = int(np.count_nonzero(table.margin > 0)) - len(verdicts)
    left += not_settled * len(judging.fits.triples)
    found = [RuledOut(why, count) for why, count in counts.most_common() if count]
    return (*found, RuledOut(message(NOT_LOOKED_AT), left)) if left else tuple(found)


def _reason_of(judged: Judged) -> Message:
    if judged.verdict == Verdict.CONTACT:
        return message(TOUCHES, spot=judged.place)
    if judged.verdict == Verdict.DOUBTFUL:
        return message(TOO_CLOSE, spot=judged.place)
    return message(NOT_MEASURED, what=judged.place)

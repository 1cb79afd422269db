"""The widest tyre that clears, the next one, and why the wider ones do not.

The search of :mod:`.part` for one aim alone: every candidate with hope is asked about from the
widest on, each with the verdict of a full check, until one clears and passes, and on until
another tyre does. What is wider and does not do is then asked about in full, so that it can be
said where it touches and by how much, or which limit it does not keep.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Index
from common.message import Message
from common.verdicts import VERDICTS, Verdict
from fitment.engine.check import corner_answer
from fitment.engine.deciding import worst_spot
from fitment.engine.model import SpotAnswer
from fitment.engine.search.aims import WIDEST
from fitment.engine.search.fits import Fits, fits_within
from fitment.engine.search.goals import columns, in_order, rank
from fitment.engine.search.judging import ROUGH_MM, Judging, Stopped
from fitment.engine.search.limits import RIM_DIAMETER
from fitment.engine.search.model import Option, Progress, Question, Watch
from fitment.engine.search.offered import option_of
from fitment.engine.search.settling import Settled, settle
from fitment.engine.search.space import SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.search.table import table_of
from fitment.engine.solid.designation import BadSize, size_of

#: Candidates followed down together.
BATCH = 16
#: Wider tyres that are told with their reason.
TOLD = 3
#: Widths that differ by less are one, mm.
SAME_MM = 1e-6


@dataclass(frozen=True)
class Wider:
    """A wider tyre that does not do.

    Either it cannot be mounted within the limits, and ``why`` says so; or it is mounted as it
    comes nearest to clearing, and ``spot`` at ``corner`` decides; or it clears there and ``option``
    does not pass what else is asked.
    """

    tyre: TyreChoice
    width_mm: float
    wheel: WheelChoice | None = None
    spacer: SpacerChoice | None = None
    verdict: Verdict | None = None
    corner: str = ""
    spot: SpotAnswer | None = None
    option: Option | None = None
    why: Message | None = None


@dataclass(frozen=True)
class Widest:
    """``best`` and ``runner_up`` are options of different tyres, None where there is none;
    ``wider`` are the next wider tyres, the narrowest first. ``complete``: whether all that is
    wider was looked at."""

    best: Option | None
    runner_up: Option | None
    wider: tuple[Wider, ...]
    candidates: int
    complete: bool


def widest(question: Question, watch: Watch | None = None) -> Widest:
    """Search a whole space for the widest tyre; what was found so far if ``watch`` stops it."""
    fits = fits_within(question.space, question.within)
    settings = len(question.space.settings)

    def goes_on(settled: int, judged: int = 0) -> bool:
        return watch is None or watch(Progress(settled, settings, judged, 0))

    settled = settle(question, fits, goes_on)

    def tell(judged: int) -> None:
        if not goes_on(settings, judged):
            raise Stopped

    table = table_of(question, fits, settled)
    judging = Judging(fits, table, question.passes, question.most_judged, tell)
    search = _Search(question, fits, settled, judging)
    complete = settled.complete
    try:
        if complete:
            search.run()
    except Stopped:
        complete = False
    return Widest(
        best=search.option(search.found[0]) if search.found else None,
        runner_up=search.option(search.found[1]) if len(search.found) > 1 else None,
        wider=tuple(search.wider),
        candidates=question.space.candidates,
        complete=complete,
    )


class _Search:
    """Candidates by key, as in the tables: settings down, fits across."""

    def __init__(self, question: Question, fits: Fits, settled: Settled, judging: Judging) -> None:
        self._question, self._fits, self._settled = question, fits, settled
        self._judging, self._table = judging, judging.table
        self.found: list[int] = []
        self.wider: list[Wider] = []

    def run(self) -> None:
        """Find the best and the runner-up, then what is wider. Raises Stopped; the rest stays."""
        for key in self._good():
            tyres = [self._tyre(one) for one in self.found]
            if self._tyre(key) in tyres or not self._judging.passes(key):
                continue
            self.found.append(key)
            if len(self.found) > 1:
                break
        self._tell_wider()

    def option(self, key: int) -> Option:
        """A candidate that clears, as an option."""
        least = self._judging.judge(key).least_mm
        value = rank(self._table, self._fits.width_mm, key, WIDEST, least)
        ranks = {} if value is None else {WIDEST: value}
        return option_of(self._question, self._settled, self._judging, key, ranks)

    def _good(self) -> Iterator[int]:
        """Candidates that clear, from the widest on."""
        margin = self._table.margin.ravel
        order = in_order(columns(self._table, self._fits.width_mm, WIDEST))
        hopeful: Index = order[margin()[order] > 0]
        for first in range(0, len(hopeful), BATCH):
            batch = [int(key) for key in hopeful[first : first + BATCH]]
            self._judging.follow([key for key in batch if margin()[key] <= ROUGH_MM])
            yield from (key for key in batch if self._judging.clears(key))

    def _tyre(self, key: int) -> int:
        """The tyre of a candidate, by its place in the space."""
        return self._fits.triples[self._fit(key)][1]

    def _fit(self, key: int) -> int:
        return key % self._table.shape[1]

    # What is wider

    def _tell_wider(self) -> None:
        """The next wider tyres that can be mounted, and those that cannot, narrowest first."""
        best = self.found[0] if self.found else None
        least = -np.inf if best is None else float(self._fits.width_mm[self._fit(best)])
        tyres = self._question.space.tyres
        nominal = 0.0 if best is None else _nominal(tyres[self._tyre(best)])
        found: list[Wider] = []
        done = set() if best is None else {self._tyre(best)}
        if self._settled.stands:
            for fit in np.argsort(self._fits.width_mm, kind="stable").tolist():
                tyre = self._fits.triples[fit][1]
                wider = self._fits.width_mm[fit] > least + SAME_MM
                # A tyre that is wider on a wider rim alone is none that a caller means.
                if wider and tyre not in done and _nominal(tyres[tyre]) >= nominal:
                    done.add(tyre)
                    found.append(self._mounted(tyre, least))
                if len(found) == TOLD:
                    break
        found += self._not_mounted(least)
        self.wider = sorted(found, key=lambda one: one.width_mm)[:TOLD]

    def _mounted(self, tyre: int, least: float) -> Wider:
        """A tyre as it comes nearest to clearing, with a full check."""
        width, table = self._fits.width_mm, self._table
        fits = [f for f, t in enumerate(self._fits.triples) if t[1] == tyre]
        fits = [f for f in fits if width[f] > least + SAME_MM]
        margin = table.margin[:, fits]
        row, column = np.unravel_index(int(np.argmax(margin)), margin.shape)
        fit = fits[int(column)]
        key = int(row) * table.shape[1] + fit
        wheel, choice, spacer = self._fits.picked(fit)
        told = Wider(choice, float(width[fit]), wheel, spacer)
        if table.margin[row, fit] > 0 and self._judging.clears(key):
            return replace(told, verdict=Verdict.CLEAR, option=self.option(key))
        asked = self._fits.combos.at(fit)
        spots = []
        for stand in table.stands[int(row)]:
            answer = corner_answer(stand.with_fit(*asked))
            spot = worst_spot(answer)
            if spot is not None:
                spots.append((VERDICTS.index(answer.verdict), spot.order_mm, stand.names[0], spot))
        if not spots:
            return told
        index, _, corner, spot = min(spots, key=lambda one: one[:2])
        return replace(told, verdict=VERDICTS[index], corner=corner, spot=spot)

    def _not_mounted(self, least: float) -> list[Wider]:
        """Wider tyres that no wheel, spacer or limit lets on, with the reason met most often."""
        on = {tyre for _, tyre, _ in self._fits.triples}
        tyres = self._question.space.tyres
        nominal = _nominal(tyres[self._tyre(self.found[0])]) if self.found else 0.0
        found = []
        for index, tyre in enumerate(tyres):
            if index in on or not tyre.offered or _nominal(tyre) <= nominal:
                continue
            space = replace(self._question.space, tyres=(tyre,))
            fallen = fits_within(space, self._question.within).fallen
            of_its_rim = [(n, why) for why, n in fallen.items() if why.code != RIM_DIAMETER]
            if of_its_rim:
                why = max(of_its_rim, key=lambda one: one[0])[1]
                found.append(Wider(tyre, max(_nominal(tyre), least), why=why))
        return found


def _nominal(tyre: TyreChoice) -> float:
    """Width by the size's designation, mm; 0 where it tells none."""
    try:
        return size_of(tyre.tyre.size).width_mm
    except BadSize:
        return 0.0

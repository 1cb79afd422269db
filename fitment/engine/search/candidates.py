"""Every candidate of a search: what rules it out roughly, and what a check would say of it.

Candidates are a changed plan by a wheel, tyre and spacer; their figures stand in tables
(settings, fits), their keys count through those row by row. Millimetres.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from alignment.geometry.linkage import Unreachable
from fitment.engine.check import out_of_reach
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import CONTACT, DOUBTFUL, UNMEASURED, Corner
from fitment.engine.search.candidate_check import (
    SIGMAS,
    Doubted,
    Judged,
    Stand,
    apart,
    judge,
    kind_of,
    stand_of,
    unseen_inside,
)
from fitment.engine.search.model import (
    BEYOND,
    CAMBER_LIMIT,
    GOOD,
    NO_ROOM,
    NOT_LOOKED_AT,
    ON_STOPS,
    OUT_OF_REACH,
    TOO_CLOSE,
    TOUCHES,
    Progress,
    Question,
    RuledOut,
    Watch,
)
from fitment.engine.search.screening import Combos
from fitment.engine.search.space import (
    BUDGET,
    KINDS,
    RULE,
    SettingChange,
    SpacerChoice,
    TyreChoice,
    WheelChoice,
    axle_price,
    fit_effort,
    fit_kinds,
    pair_refused,
    rule_broken,
)
from fitment.engine.verdict import worst

#: Codes of what is in the way: corner, place, and whether it touches.
PER_CORNER = 1 << 16
#: Rough margins seldom say more too much than this, mm.
ROUGH_MM = 1.5
#: The doubt of a like moment is at least so much of the one that was found.
LIKE = 0.92
#: Rolling lips has to make more room than this at the tightest place, mm.
LEAST_ROOM_MM = 0.05
#: Code of a candidate whose reason is counted already, or that has none.
UNTOLD = -1

Triple = tuple[int, int, int]


class Stopped(Exception):
    """The watcher asked to stop, or the work that was allowed is done."""


class Candidates:
    """All candidates of a question; nothing is computed before ``settle``.

    ``margin`` is the most clearance over what the least doubt of a check asks (none may clear
    where it is not positive), ``slack`` the most over what the duty asks, ``effort``, ``price``
    (inf: not known) and ``kinds`` (bits in the order of KINDS) are what they say.
    """

    def __init__(self, question: Question, watch: Watch | None) -> None:
        self.question, self.watch = question, watch
        self.space, self.within = question.space, question.within
        self.plan = next(iter(question.corners.values())).planned
        self.counts: Counter[tuple[str, str]] = Counter()
        self.verdicts: dict[int, Judged] = {}
        self._learned: dict[tuple[int, tuple[object, ...], int], list[Doubted]] = {}
        #: Margin up to which a candidate is worth following before it is judged, mm.
        self.worth_following = ROUGH_MM
        self.settled = self.found = 0
        self.combos = self._fits()
        self.stands: list[list[Stand]] = []
        self.changes: list[SettingChange] = []

    def tell(self) -> None:
        """Tell how far the search is. Raises Stopped where nobody wants to hear more."""
        progress = Progress(self.settled, len(self.space.settings), len(self.verdicts), self.found)
        if self.watch is not None and not self.watch(progress):
            raise Stopped

    # -- what there is -----------------------------------------------------------------

    def _fits(self) -> Combos:
        """Wheels, tyres and spacers within the limits; the others are counted."""
        space, kept = self.space, []
        each = len(space.settings)
        for w, wheel in enumerate(space.wheels):
            for t, tyre in enumerate(space.tyres):
                refused = pair_refused(wheel, tyre, self.within)
                if refused is not None:
                    self.counts[refused] += each * len(space.spacers)
                    continue
                for s, spacer in enumerate(space.spacers):
                    broken = rule_broken(wheel, tyre, spacer.mm, self.within)
                    if broken is not None:
                        self.counts[RULE, broken] += each
                    else:
                        kept.append((w, t, s))
        self.triples: list[Triple] = kept
        worn = [space.tyres[t].on(space.wheels[w].wheel) for w, t, _ in kept]
        tyres = list(dict.fromkeys(worn))
        at = {tyre: index for index, tyre in enumerate(tyres)}
        index = np.array(kept, int).reshape(-1, 3)
        return Combos(
            tuple(choice.wheel for choice in space.wheels),
            tuple(tyres),
            tuple(choice.mm for choice in space.spacers),
            index[:, 0],
            np.array([at[tyre] for tyre in worn], int),
            index[:, 2],
        )

    def settle(self) -> None:
        """Settle every change of the plan and hold everything against it. Raises Stopped."""
        try:
            for change in self.space.settings if self.triples else ():
                stands = self._stands(change)
                if stands is not None:
                    self.changes.append(change)
                    self.stands.append(stands)
                self.settled += 1
                self.tell()
        finally:
            self._tables()

    def _stands(self, change: SettingChange) -> list[Stand] | None:
        """A changed plan at every corner; None, and counted, where one of them cannot be."""
        stands = []
        for names, corner in apart(self.question.corners):
            changed = replace(corner, planned=change.made_to(corner.planned))
            why = self._refused(changed)
            try:
                setting = setting_of(names[0], changed, self.question.duty)
                why = why or self._out_of_bounds(setting)
                if why is None:
                    stands.append(stand_of(names, setting, self.combos))
            except Unreachable:
                why = BEYOND, ""
            except RestsOnStops:
                why = ON_STOPS, ""
            if why is not None:
                self.counts[why] += len(self.combos)
                return None
        return stands

    def _refused(self, corner: Corner) -> tuple[str, str] | None:
        """The first rule on settings that a changed plan breaks."""
        for rule in self.within.rules:
            if rule.setting is not None and not rule.setting(corner.planned):
                return RULE, rule.name
        return None

    def _out_of_bounds(self, setting: Setting) -> tuple[str, str] | None:
        """Whether static camber leaves its limits, or an adjuster its range."""
        camber = float(np.degrees(setting.settled.camber[0]))
        span = self.within.camber_deg
        if span is not None and not span[0] - 1e-6 <= camber <= span[1] + 1e-6:
            return CAMBER_LIMIT, f"{camber:.1f}°"
        short = out_of_reach(setting)
        return (OUT_OF_REACH, short[0].adjuster) if short else None

    # -- figures of every candidate, (settings, fits) ------------------------------------

    def _tables(self) -> None:
        """Fill the tables from what was settled."""
        space, plan, weights = self.space, self.plan, self.question.weights
        self.shape = (len(self.changes), len(self.triples))
        self.effort = self._sums(
            [change.effort(plan, weights) for change in self.changes],
            [fit_effort(space, *triple, weights) for triple in self.triples],
        )
        self.price = self._sums(
            [_number(change.price) for change in self.changes],
            [_number(self.price_of(SettingChange(), triple)) for triple in self.triples],
        )
        by_setting = np.array([_bits(change.kinds(plan)) for change in self.changes], int)
        by_fit = np.array([_bits(fit_kinds(*triple)) for triple in self.triples], int)
        self.kinds = np.bitwise_or.outer(by_setting, by_fit).reshape(self.shape)
        self.margin, self.slack = np.empty(self.shape), np.empty(self.shape)
        self.why = np.full(self.shape, UNTOLD)
        self.followed = np.zeros(self.shape, bool)
        for row in range(self.shape[0]):
            self._look(row, np.arange(self.shape[1]))
        self._drop_unseen_inside()
        self._drop_rolled_for_nothing()
        if self.within.budget is not None:
            dear = np.isfinite(self.price) & (self.price > float(self.within.budget))
            self._drop(dear & (self.margin > 0), (BUDGET, ""))

    def _sums(self, by_setting: list[float], by_fit: list[float]) -> Array:
        """A table of what settings and fits add up to."""
        table: Array = np.add.outer(np.array(by_setting, float), np.array(by_fit, float))
        return table.reshape(self.shape)

    def _drop(self, which: Flags, why: tuple[str, str]) -> None:
        """Rule out some candidates (settings, fits) for a reason."""
        self.counts[why] += int(np.count_nonzero(which))
        self.margin[which], self.why[which] = -np.inf, UNTOLD

    def price_of(self, change: SettingChange, triple: Triple) -> Decimal | None:
        """Price for the axle; None where part of it is not known."""
        return axle_price(len(self.question.corners), change, *self.picked(triple))

    def picked(self, triple: Triple) -> tuple[WheelChoice, TyreChoice, SpacerChoice]:
        """Wheel, tyre and spacer of a fit."""
        space = self.space
        return space.wheels[triple[0]], space.tyres[triple[1]], space.spacers[triple[2]]

    def _look(self, row: int, fits: Index) -> None:
        """Take margins, slack and what is in the way from the rough clearances."""
        margin, slack = np.full(len(fits), np.inf), np.full(len(fits), np.inf)
        why = np.full(len(fits), UNTOLD)
        for index, stand in enumerate(self.stands[row]):
            gaps = stand.weighed.gaps[fits]
            spare = gaps - stand.required
            at = np.argmin(spare, axis=1)
            here = spare[np.arange(len(fits)), at]
            touching = gaps[np.arange(len(fits)), at] <= 0
            code = (index * PER_CORNER + at) * 2 + touching
            why = np.where(here < margin, code, why)
            margin = np.minimum(margin, here)
            slack = np.minimum(slack, (gaps - stand.weighed.needed).min(axis=1))
        self.margin[row, fits], self.slack[row, fits], self.why[row, fits] = margin, slack, why

    def _drop_unseen_inside(self) -> None:
        """Wheels whose inside nobody measured, where the survey has places in there."""
        known = np.array(
            [bool(c.wheel.spoke_back) and c.wheel.barrel_mm is not None for c in self.space.wheels]
        )
        if known.all():
            return
        for row, stands in enumerate(self.stands):
            for stand in stands:
                place = unseen_inside(stand, self.combos, ~known)
                for at in np.unique(place[place >= 0]):
                    which = np.zeros(self.shape, bool)
                    which[row] = (place == at) & (self.margin[row] > 0)
                    self._drop(which, (UNMEASURED, stand.weighed.places[at]))

    def _drop_rolled_for_nothing(self) -> None:
        """Lips rolled where something else is as near: bodywork has to make room to be offered."""
        bare = [replace(change, price=None, rolled_lips=False) for change in self.changes]
        for row, change in enumerate(self.changes):
            before = bare.index(bare[row])  # the same without rolling stands before it
            if not change.rolled_lips or before == row:
                continue
            none = np.zeros(self.shape, bool)
            more = np.maximum(
                self.slack[row] - self.slack[before], self.margin[row] - self.margin[before]
            )
            none[row] = (more <= LEAST_ROOM_MM) & (self.margin[row] > 0)
            self._drop(none, (NO_ROOM, ""))

    # -- looking closer ------------------------------------------------------------------

    def follow(self, keys: Iterable[int], *, for_room: bool = False) -> None:
        """Follow candidates down to their tightest moments, setting by setting."""
        many = self.shape[1]
        rows: dict[int, list[int]] = {}
        for key in keys:
            row, fit = divmod(key, many)
            if self.margin[row, fit] > 0 and (for_room or not self.followed[row, fit]):
                rows.setdefault(row, []).append(fit)
        for row, fits in rows.items():
            index = np.array(fits)
            for stand in self.stands[row]:
                needed = stand.weighed.needed if for_room else stand.required
                stand.weighed.follow(index, needed)
            self.followed[row, index] = True
            self._look(row, index)
        self.tell()

    def judge(self, key: int) -> Judged:
        """What a check would say of a candidate. Raises Stopped beyond the allowed work."""
        if key not in self.verdicts:
            if len(self.verdicts) >= self.question.most_judged:
                raise Stopped
            row, fit = divmod(key, self.shape[1])
            wheel, tyre = self.combos.at(fit)
            try:
                parts = [judge(stand, wheel, tyre) for stand in self.stands[row]]
            except Unreachable:
                parts = [Judged(UNMEASURED, -np.inf, "a pose beyond the linkage")]
            self._learn(self._kind(row, fit), parts)
            verdict = worst(part.verdict for part in parts)
            least = min(parts, key=lambda part: part.slack_mm)
            decides = next(part for part in parts if part.verdict == verdict)
            self.verdicts[key] = Judged(verdict, least.slack_mm, decides.place)
            self.tell()
        return self.verdicts[key]

    def _kind(self, row: int, fit: int) -> tuple[object, ...]:
        """What candidates have in common whose doubts are alike."""
        rolled = any(stand.setting.corner.planned.rolled_lips for stand in self.stands[row])
        return rolled, *kind_of(*self.combos.at(fit))

    def _learn(self, kind: tuple[object, ...], parts: list[Judged]) -> None:
        """Keep what was found of doubts, for candidates whose tightest moments are alike."""
        for index, part in enumerate(parts):
            for one in part.uncertainties:
                self._learned.setdefault((index, kind, one.feature), []).append(one)
                reach = LIKE * SIGMAS * one.sigma_mm + ROUGH_MM
                self.worth_following = max(self.worth_following, reach)

    def may_clear(self, key: int) -> bool:
        """Whether the doubts of candidates like this one leave hope; else it is ruled out."""
        row, fit = divmod(key, self.shape[1])
        kind = self._kind(row, fit)
        for index, stand in enumerate(self.stands[row]):
            for at, gap in enumerate(stand.weighed.gaps[fit]):
                moment = stand.weighed.moments[fit, at]
                known = self._learned.get((index, kind, at), ())
                like = [one.sigma_mm for one in known if one.is_near(moment)]
                if like and gap <= LIKE * SIGMAS * min(like):
                    self.margin[row, fit] = -0.0
                    self.why[row, fit] = (index * PER_CORNER + at) * 2
                    return False
        return True

    def corner(self, corner: Corner, fit: int) -> Corner:
        """A corner with the wheel and tyre of a fit."""
        wheel, tyre = self.combos.at(fit)
        return replace(corner, wheel=wheel, tyre=tyre)

    # -- what fell -----------------------------------------------------------------------

    def ruled_out(self) -> tuple[RuledOut, ...]:
        """Everything that fell, by reason, most first; what was never looked at last."""
        counts = Counter(self.counts)
        for row in range(self.shape[0]):
            fallen = (self.margin[row] <= 0) & (self.why[row] != UNTOLD)
            codes, many = np.unique(self.why[row][fallen], return_counts=True)
            for code, count in zip(codes.tolist(), many.tolist(), strict=True):
                counts[self._reason(row, code)] += count
        for one in self.verdicts.values():
            if one.verdict not in GOOD:
                counts[_reason_of(one.verdict), one.place] += 1
        left = int(np.count_nonzero(self.margin > 0)) - len(self.verdicts)
        left += (len(self.space.settings) - self.settled) * len(self.triples)
        found = [RuledOut(*reason, count) for reason, count in counts.most_common() if count]
        return (*found, RuledOut(NOT_LOOKED_AT, "", left)) if left else tuple(found)

    def _reason(self, row: int, code: int) -> tuple[str, str]:
        place, touching = divmod(code, 2)
        corner, at = divmod(place, PER_CORNER)
        where = self.stands[row][corner].weighed.places[at]
        return (TOUCHES if touching else TOO_CLOSE), where


def _reason_of(verdict: str) -> str:
    return {CONTACT: TOUCHES, DOUBTFUL: TOO_CLOSE}.get(verdict, verdict)


def _number(price: Decimal | None) -> float:
    return np.inf if price is None else float(price)


def _bits(kinds: frozenset[str]) -> int:
    return sum(1 << index for index, kind in enumerate(KINDS) if kind in kinds)

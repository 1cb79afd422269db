"""Figures of every candidate of a search, in tables: changed plans down, fits across.

A candidate's key counts through the tables row by row. Millimetres.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from common.message import Message, message
from fitment.engine.search.candidate_check import Stand, unseen_inside
from fitment.engine.search.effort import fit_effort, setting_effort
from fitment.engine.search.fits import Fits, Reasons
from fitment.engine.search.limits import BUDGET, PRICE_UNKNOWN, Within
from fitment.engine.search.model import NO_ROOM, NOT_MEASURED, TOO_CLOSE, TOUCHES, Question
from fitment.engine.search.prices import axle_price
from fitment.engine.search.settling import Settled
from fitment.engine.search.space import KINDS, SettingChange, fit_kinds, things

#: Codes of what is in the way: corner, place, and whether it touches.
PER_CORNER = 1 << 16
#: Code of a candidate whose reason is counted already, or that has none.
UNTOLD = -1
#: Rolling lips has to make more room than this at the tightest place, mm.
LEAST_ROOM_MM = 0.05


@dataclass(frozen=True)
class Table:
    """Figures (settings, fits) of every candidate.

    ``margin`` is the most clearance over what the least doubt of a check asks (none may clear
    where it is not positive), ``slack`` the most over what the duty asks, ``room`` the most at the
    tightest spot; ``why`` codes what is in the way. Looking closer changes these in place.
    ``things`` changed, ``effort``, ``price`` (inf: not known) and ``kinds`` (bits in the order of
    KINDS) stay. ``fallen`` counts what fell and has no code.
    """

    stands: tuple[tuple[Stand, ...], ...]
    things: Index
    effort: Array
    price: Array
    kinds: Index
    margin: Array
    slack: Array
    room: Array
    why: Index
    fallen: Reasons

    @property
    def shape(self) -> tuple[int, int]:
        rows, fits = self.margin.shape
        return rows, fits

    def look(self, row: int, fits: Index) -> None:
        """Take margin, slack and what is in the way of some fits from their rough clearances."""
        margin, slack, room = (np.full(len(fits), np.inf) for _ in range(3))
        why = np.full(len(fits), UNTOLD)
        for index, stand in enumerate(self.stands[row]):
            gaps = stand.weighed.gaps[fits]
            spare = gaps - stand.required
            at = np.argmin(spare, axis=1)
            here = spare[np.arange(len(fits)), at]
            touching = gaps[np.arange(len(fits)), at] <= 0
            why = np.where(here < margin, (index * PER_CORNER + at) * 2 + touching, why)
            margin = np.minimum(margin, here)
            slack = np.minimum(slack, (gaps - stand.weighed.needed).min(axis=1))
            room = np.minimum(room, gaps.min(axis=1))
        self.margin[row, fits], self.slack[row, fits] = margin, slack
        self.room[row, fits], self.why[row, fits] = room, why

    def drop(self, which: Flags, why: Message) -> None:
        """Rule out some candidates (settings, fits) for a reason."""
        self.fallen[why] += int(np.count_nonzero(which))
        self.margin[which], self.why[which] = -np.inf, UNTOLD

    def reasons(self) -> Reasons:
        """How many candidates fell for each reason, those that were looked at roughly included.

        What a full check was asked about is counted by what asked it.
        """
        counts = Counter(self.fallen)
        for row in range(self.shape[0]):
            fallen = (self.margin[row] <= 0) & (self.why[row] != UNTOLD)
            codes, many = np.unique(self.why[row][fallen], return_counts=True)
            for code, count in zip(codes.tolist(), many.tolist(), strict=True):
                counts[self._reason(row, code)] += count
        return counts

    def _reason(self, row: int, code: int) -> Message:
        place, touching = divmod(code, 2)
        corner, at = divmod(place, PER_CORNER)
        where = self.stands[row][corner].weighed.places[at]
        return message(TOUCHES if touching else TOO_CLOSE, spot=where)


def price_of(fits: Fits, fit: int, change: SettingChange) -> Decimal | None:
    """Price of a fit for the axle, with what a change of the plan takes; None: not known."""
    return axle_price(change, *fits.picked(fit))


def table_of(question: Question, fits: Fits, settled: Settled) -> Table:
    """The tables of what was settled, with what is ruled out already."""
    plan, weights = next(iter(question.corners.values())).planned, question.weights
    changes = settled.changes
    shape = (len(changes), len(fits.triples))
    by_setting = np.array([_bits(change.kinds(plan)) for change in changes], int)
    by_fit = np.array([_bits(fit_kinds(*triple)) for triple in fits.triples], int)
    kinds = np.bitwise_or.outer(by_setting, by_fit).reshape(shape)
    table = Table(
        stands=settled.stands,
        things=_THINGS[kinds],
        effort=_sums(
            [setting_effort(change, plan, weights) for change in changes],
            [fit_effort(question.space, *triple, weights) for triple in fits.triples],
        ),
        price=_sums(
            [_number(change.price) for change in changes],
            [_number(price_of(fits, fit, SettingChange())) for fit in range(shape[1])],
        ),
        kinds=kinds,
        margin=np.empty(shape),
        slack=np.empty(shape),
        room=np.empty(shape),
        why=np.full(shape, UNTOLD),
        fallen=Counter({why: settled.count * many for why, many in fits.fallen.items()})
        + settled.fallen,
    )
    for row in range(shape[0]):
        table.look(row, np.arange(shape[1]))
    _drop_unseen_inside(table, fits)
    _drop_rolled_for_nothing(table, changes)
    _drop_dear(table, question.within)
    _drop_unless_travel_is_known(table)
    return table


def _drop_dear(table: Table, within: Within) -> None:
    if within.budget is None:
        return
    known = np.isfinite(table.price)
    dear = known & (table.price > float(within.budget))
    table.drop(dear & (table.margin > 0), message(BUDGET))
    if within.prices_known:
        table.drop(~known & (table.margin > 0), message(PRICE_UNKNOWN))


def _drop_unless_travel_is_known(table: Table) -> None:
    """Where the bump limit of a corner is not known, no check of it can clear."""
    for row, stands in enumerate(table.stands):
        if any(stand.setting.corner.limits.bump_mm is None for stand in stands):
            which = np.zeros(table.shape, bool)
            which[row] = table.margin[row] > 0
            table.drop(which, message(NOT_MEASURED, what=message("open.bump")))


def _drop_unseen_inside(table: Table, fits: Fits) -> None:
    """Wheels whose inside was not measured, where the survey has places in there."""
    known = np.array(
        [bool(c.wheel.spoke_back) and c.wheel.barrel_mm is not None for c in fits.space.wheels]
    )
    if known.all():
        return
    for row, stands in enumerate(table.stands):
        for stand in stands:
            place = unseen_inside(stand, fits.combos, ~known)
            for at in np.unique(place[place >= 0]):
                which = np.zeros(table.shape, bool)
                which[row] = (place == at) & (table.margin[row] > 0)
                table.drop(which, message(NOT_MEASURED, what=stand.weighed.places[at]))


def _drop_rolled_for_nothing(table: Table, changes: Iterable[SettingChange]) -> None:
    """Lips rolled where something else is as near: bodywork has to make room to be offered."""
    asked = list(changes)
    bare = [replace(change, price=None, rolled_lips=False) for change in asked]
    for row, change in enumerate(asked):
        before = bare.index(bare[row])  # the same without rolling stands before it
        if not change.rolled_lips or before == row:
            continue
        none = np.zeros(table.shape, bool)
        more = np.maximum(
            _gained(table.slack[row], table.slack[before]),
            _gained(table.margin[row], table.margin[before]),
        )
        none[row] = (more <= LEAST_ROOM_MM) & (table.margin[row] > 0)
        table.drop(none, message(NO_ROOM))


def _gained(after: Array, before: Array) -> Array:
    """How much more (n,); nothing where both are without bound."""
    more: Array = np.subtract(after, before, out=np.zeros_like(after), where=after != before)
    return more


def _sums(by_setting: list[float], by_fit: list[float]) -> Array:
    """A table of what settings and fits add up to."""
    table: Array = np.add.outer(np.array(by_setting, float), np.array(by_fit, float))
    return table.reshape(len(by_setting), len(by_fit))


def _number(price: Decimal | None) -> float:
    return np.inf if price is None else float(price)


def kinds_in(bits: int) -> frozenset[str]:
    """Kinds of change that bits stand for, in the order of KINDS."""
    return frozenset(kind for index, kind in enumerate(KINDS) if bits >> index & 1)


def _bits(kinds: frozenset[str]) -> int:
    return sum(1 << index for index, kind in enumerate(KINDS) if kind in kinds)


#: How many things each set of kinds changes, by its bits.
_THINGS = np.array([things(kinds_in(bits)) for bits in range(1 << len(KINDS))])

"""One setting's room against very many combinations of wheel, tyre and spacer.

A room does not depend on the wheel, so it is sampled once. Every combination is weighed roughly
against the front of the room; the hopeful ones are followed down to their tightest moments
all together; and the best are confirmed by ``closest``, as in a check. A rough clearance is never
less than the true one, so nothing good is lost. Millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.pattern_search import SMALLEST_STEP
from fitment.engine.minimum.room import Spots
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import HARD, Tyre, Wheel
from fitment.engine.search.batch_distance import (
    COARSE_MM,
    COARSE_MORE,
    FAR_MM,
    FINE_MM,
    FINE_MORE,
    Floats,
    Rims,
    Tangents,
    tangents,
)
from fitment.engine.search.pruning import Core, Samples, front, near_rims, samples_of
from fitment.engine.solid.designation import INCH_MM, BadSize
from fitment.engine.solid.mounted import BadSection, Mounted, mounted
from fitment.engine.solid.section import section_of
from fitment.engine.uncertainty.this_car import shift_of

#: Sampling of a room for very many combinations, and for a few thousand.
DENSE, LIGHT = 6, 2
#: Widths of the bands of centre planes whose tyres share a front.
BAND_MM = 24.0
#: Combinations weighed at once, and followed down at once.
CHUNK, BATCH = 128, 192
#: Places this much roomier than the tightest are not followed down, mm.
NOT_TIGHTEST_MM = 2.0
#: Of two starts at one place, one this much farther than the other is left, mm.
NEAR_MM = 1.0
#: Figures that differ by less count as equal, mm.
EQUAL_MM = 0.02
#: How far inside the tread and beside the bead the core of a range of tyres ends, mm.
CORE_MARGIN_MM = 4.0

_ARMS = np.array([[i, j, k] for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)], float)
_CENTRE = 13


@dataclass(frozen=True)
class Combos:
    """Combinations (n,) as indices into wheels, tyres and spacers."""

    wheels: tuple[Wheel, ...]
    tyres: tuple[Tyre, ...]
    spacers_mm: tuple[float, ...]
    wheel: Index
    tyre: Index
    spacer: Index

    def __len__(self) -> int:
        return len(self.wheel)

    def at(self, index: int) -> tuple[Wheel, Tyre]:
        """Wheel on its spacer, and tyre, of one combination."""
        wheel = self.wheels[int(self.wheel[index])]
        spacer = self.spacers_mm[int(self.spacer[index])]
        return replace(wheel, spacer_mm=spacer), self.tyres[int(self.tyre[index])]


def all_combos(
    wheels: Sequence[Wheel], tyres: Sequence[Tyre], spacers_mm: Sequence[float]
) -> Combos:
    """Every wheel with every tyre of its diameter on every spacer, in that order."""
    pairs = [
        (w, t)
        for w, wheel in enumerate(wheels)
        for t, tyre in enumerate(tyres)
        if tyre.size.rstrip().endswith(f"{wheel.diameter_in:g}")
    ]
    w, t = np.array(pairs, int).reshape(-1, 2).T
    many = len(spacers_mm)
    return Combos(
        tuple(wheels),
        tuple(tyres),
        tuple(spacers_mm),
        np.repeat(w, many),
        np.repeat(t, many),
        np.tile(np.arange(many), len(w)),
    )


@dataclass(frozen=True)
class Fit:
    """One combination: slack is clearance less what is needed, at the place where it is least.

    ``exact`` tells that ``closest`` found it; otherwise there is at most so much.
    """

    index: int
    wheel: Wheel
    tyre: Tyre
    slack_mm: float
    clearance_mm: float
    place: str
    exact: bool


@dataclass(frozen=True)
class Found:
    """The best, confirmed, and for every combination the most slack (n,) there can be and where.

    ``impossible`` (n,) marks tyres that cannot be mounted on their wheel; their slack is -inf.
    """

    best: tuple[Fit, ...]
    slack_mm: Array
    place: Index
    impossible: Flags


class Weighed:
    """Combinations held against one setting; made by ``weigh``."""

    def __init__(self, setting: Setting, combos: Combos, finer: int) -> None:
        self.setting, self.combos = setting, combos
        room, duty = setting.room, setting.duty
        features = [course.feature for course in room.courses]
        self.places = tuple(feature.place for feature in features)
        self.needed = np.array(
            [duty.needed_hard_mm if f.surface == HARD else duty.needed_soft_mm for f in features]
        )
        self.shift = shift_of(setting.corner, duty)
        #: Most clearance (n, features) there can be; -inf where a tyre cannot be mounted.
        self.gaps: Array = np.full((len(combos), len(features)), -np.inf)
        self.impossible: Flags = np.ones(len(combos), bool)
        #: Steer and share of height (n, features, 2) of what was followed down; else nan.
        self.moments: Array = np.full((len(combos), len(features), 2), np.nan)
        if len(combos):
            self._index()
        if not self.impossible.all():
            self.samples = samples_of(room, finer)
            self.gaps = self._weighed()

    # -- what is what ------------------------------------------------------------------

    def _index(self) -> None:
        combos = self.combos
        rims = [(w.diameter_in, w.rim_mm) for w in combos.wheels]
        self._kinds = sorted(set(rims))
        kind = np.array([self._kinds.index(rim) for rim in rims], int)[combos.wheel]
        offset = np.array([w.offset_mm for w in combos.wheels])
        centre = np.array(combos.spacers_mm)[combos.spacer] - offset[combos.wheel]
        pair = kind * len(combos.tyres) + combos.tyre
        pairs, pair = np.unique(pair, return_inverse=True)
        sizes: list[Mounted | None] = [self._mounted(int(one)) for one in pairs]
        self.impossible = np.array([size is None for size in sizes], bool)[pair]
        spare = next((size for size in sizes if size is not None), None)
        self._sizes = [size or spare for size in sizes if size or spare]
        self._tyres = [combos.tyres[int(one) % len(combos.tyres)] for one in pairs]
        self._rim_mm = [self._kinds[int(one) // len(combos.tyres)][1] for one in pairs]
        centres, centre_at = np.unique(np.round(centre, 4), return_inverse=True)
        rows, self._row = np.unique(pair * len(centres) + centre_at, return_inverse=True)
        self._pair, self._centre = rows // len(centres), centres[rows % len(centres)]
        many = len(combos.spacers_mm)
        wheels, self._rim = np.unique(combos.wheel * many + combos.spacer, return_inverse=True)
        self._rims = Rims.of(
            [combos.wheels[i // many] for i in wheels],
            [combos.spacers_mm[i % many] for i in wheels],
        )

    def _mounted(self, pair: int) -> Mounted | None:
        kind, tyre = divmod(pair, len(self.combos.tyres))
        diameter, rim_mm = self._kinds[kind]
        try:
            wheel = Wheel(diameter, rim_mm / INCH_MM, 0.0, width_mm=rim_mm)
            return mounted(wheel, self.combos.tyres[tyre])
        except (BadSize, BadSection):
            return None

    def _tangents(self, fine: bool) -> Tangents:
        sizes = [size for size in self._sizes if size is not None]
        return tangents(sizes, self._rim_mm, self._tyres, fine)

    @cached_property
    def _fine(self) -> Tangents:
        return self._tangents(True)

    @cached_property
    def _traced(self) -> Flags:
        return np.array([bool(tyre.profile) for tyre in self._tyres], bool)

    # -- roughly -----------------------------------------------------------------------

    def _weighed(self) -> Array:
        """Most clearance (n, features), by tyre and by rim apart and then together."""
        count = len(self.places)
        by_tyre = np.full((len(self._pair), count), np.inf)
        coarse = self._tangents(False)
        band = np.floor((self._centre - self._centre.min(initial=0.0)) / BAND_MM).astype(int)
        self._band = band
        self._fronts: dict[int, Samples] = {}
        for one in np.unique(band):
            rows = np.flatnonzero(band == one)
            self._fronts[int(one)] = seen = front(self.samples, self._core(rows))
            for traced in (False, True):
                some = rows[self._traced[self._pair[rows]] == traced]
                solid = self._fine if traced else coarse
                error = FINE_MM if traced else COARSE_MM
                for first in range(0, len(some), CHUNK):
                    chunk = some[first : first + CHUNK]
                    pair = self._pair[chunk]
                    by_tangents = solid.distance(
                        pair, self._centre[chunk], seen.axial, seen.radius, traced=traced
                    )
                    least = _least_by_feature(by_tangents, seen.spots.which, count)
                    more = FINE_MORE if traced else COARSE_MORE
                    least += more * np.maximum(least - FAR_MM, 0.0)
                    by_tyre[chunk] = least + (solid.slack_mm[pair] + error)[:, None]
        self._near = near_rims(self.samples, float(self._rims.top.max(initial=0.0)) + 40.0)
        by_rim = np.full((len(self._rims.centre), count), np.inf)
        if len(self._near.axial):
            for first in range(0, len(by_rim), CHUNK // 4):
                rows = np.arange(first, min(first + CHUNK // 4, len(by_rim)))
                gap = self._rims.distance(rows, self._near.axial, self._near.radius)
                by_rim[rows] = _least_by_feature(gap, self._near.spots.which, count)
        gaps: Array = np.minimum(by_tyre[self._row], by_rim[self._rim])
        gaps += self.shift - self.setting.room.half_thickness_mm
        gaps[self.impossible] = -np.inf
        return gaps

    def _core(self, rows: Index) -> Core:
        sizes = [size for i in np.unique(self._pair[rows]) if (size := self._sizes[i]) is not None]
        half = min(s.tread_width_mm for s in sizes) / 2 - CORE_MARGIN_MM
        centre = self._centre[rows]
        left, right = centre.max() - half, centre.min() + half
        if left > right:
            left = right = (left + right) / 2
        bottom = max(s.rim_radius_mm for s in sizes) + CORE_MARGIN_MM
        top = min(s.tyre_radius_mm - s.shoulder_drop_mm for s in sizes) - CORE_MARGIN_MM
        return Core(left, right, min(bottom, top), max(bottom, top))

    @cached_property
    def slack(self) -> Array:
        """Most slack (n,) there can be."""
        least: Array = (self.gaps - self.needed).min(axis=1)
        return least

    # -- closer ------------------------------------------------------------------------

    def follow(self, which: Index, needed: Array) -> None:
        """Lower ``gaps`` of some combinations to what is found at their tightest moments.

        ``needed`` (features,) or (n, features) decides which places of each are tightest.
        """
        for first in range(0, len(which), BATCH):
            self._follow(which[first : first + BATCH], needed)

    def _follow(self, which: Index, needed: Array) -> None:
        slack = self.gaps[which] - needed
        tight = slack <= slack.min(axis=1, keepdims=True) + NOT_TIGHTEST_MM
        spots, combo, value = self._starts(which, tight)
        if not len(combo):
            return
        feature = spots.which
        place, value = self._descend(which[combo], spots, value)
        nearest = np.argsort(-value, kind="stable")  # the least comes last, and stays
        self.moments[which[combo[nearest]], feature[nearest]] = place[nearest, :2]
        value += (self.shift - self.setting.room.half_thickness_mm)[feature]
        pair = self._pair[self._row[which[combo]]]
        value += FINE_MM + FINE_MORE * np.maximum(value - FAR_MM, 0.0) + self._fine.slack_mm[pair]
        least = self.gaps[which]
        np.minimum.at(least, (combo, feature), value)
        self.gaps[which] = least

    def _distance(self, combo: Index, axial: Array, radius: Array) -> Array:
        """Closely the distance of points (k, p) or (p,) to combinations (k,)."""
        row = self._row[combo]
        pair = self._pair[row]
        traced = bool(self._traced[pair].any())
        tyre = self._fine.distance(pair, self._centre[row], axial, radius, traced=traced)
        return np.minimum(tyre, self._rims.distance(self._rim[combo], axial, radius))

    def _starts(self, which: Index, tight: Flags) -> tuple[Spots, Index, Array]:
        """Nearest samples of each combination's tight places: spots, combination, distance."""
        parts, combo, value = [], [], []
        band = self._band[self._row[which]]
        for one in np.unique(band):
            rows = np.flatnonzero(band == one)
            for seen in (self._fronts[int(one)], self._near):
                any_tight: Flags = np.asarray(tight[rows].any(axis=0), bool)
                used = np.flatnonzero(any_tight[seen.spots.which])
                seen = seen.at(used)
                if not len(used):
                    continue
                gap = self._distance(which[rows], seen.axial, seen.radius)
                for feature in np.unique(seen.spots.which):
                    there = np.flatnonzero(seen.spots.which == feature)
                    some = np.flatnonzero(tight[rows, feature])
                    best = there[np.argmin(gap[np.ix_(some, there)], axis=1)]
                    parts.append(seen.spots.at(best))
                    combo.append(rows[some])
                    value.append(gap[some, best])
        if not parts:
            return Spots(np.zeros(0, int), np.zeros((0, 3)), np.zeros(0, bool)), *_nothing()
        spots, which_combo, gaps = Spots.joined(parts), np.concatenate(combo), np.concatenate(value)
        least = np.full((len(which), len(self.places)), np.inf)
        np.minimum.at(least, (which_combo, spots.which), gaps)
        keep = np.flatnonzero(gaps <= least[which_combo, spots.which] + NEAR_MM)
        return spots.at(keep), which_combo[keep], gaps[keep]

    def _descend(self, combo: Index, spots: Spots, value: Array) -> tuple[Array, Array]:
        """Follow spots (k,) down to the nearest of their combinations, by halving steps."""
        feature, place, value = spots.which, spots.place.copy(), value.astype(float)
        step = self.samples.step[feature] / 2
        low, high = self.samples.low[feature], self.samples.high[feature]
        can_move = np.all((_ARMS == 0) | (step[:, None] > 0), axis=-1)
        scale, active = np.ones(len(value)), np.flatnonzero(can_move.sum(axis=1) > 1)
        room = self.setting.room
        while len(active):
            trial = place[active, None] + scale[active, None, None] * step[active, None] * _ARMS
            trial = np.clip(trial, low[active, None], high[active, None])
            arms = len(_ARMS)
            axial, radius = room.meridian(
                Spots(
                    np.repeat(feature[active], arms),
                    trial.reshape(-1, 3),
                    np.repeat(spots.loaded[active], arms),
                )
            )
            tried = self._distance(
                combo[active], axial.reshape(-1, arms), radius.reshape(-1, arms)
            ).astype(float)
            tried[~can_move[active]] = np.inf
            best = np.argmin(tried, axis=1)
            rows = np.arange(len(active))
            better = tried[rows, best] < value[active] - 1e-5
            best = np.where(better, best, _CENTRE)
            place[active] = trial[rows, best]
            value[active] = np.where(better, tried[rows, best], value[active])
            scale[active] = np.where(better, scale[active], scale[active] / 2)
            active = active[(scale[active] > 4 * SMALLEST_STEP)]
        return place, value

    # -- exactly -----------------------------------------------------------------------

    def confirm(self, index: int) -> Fit:
        """One combination as a check sees it."""
        wheel, tyre = self.combos.at(index)
        found = closest(
            self.setting.room, section_of(wheel, tyre), section_of(wheel, tyre, coarse=True)
        )
        gaps = found.clearance_mm + self.shift
        at = int(np.argmin(gaps - self.needed))
        slack = float(gaps[at] - self.needed[at])
        return Fit(index, wheel, tyre, slack, float(gaps[at]), self.places[at], True)


def _nothing() -> tuple[Index, Array]:
    return np.zeros(0, int), np.zeros(0)


def _least_by_feature(gap: Array | Floats, which: Index, count: int) -> Array:
    """Least over the samples (k, p) of every feature, (k, features); inf where there are none."""
    least = np.full((len(gap), count), np.inf)
    if len(which):
        starts = np.flatnonzero(np.concatenate([[True], np.diff(which) > 0]))
        least[:, which[starts]] = np.minimum.reduceat(gap, starts, axis=1)
    return least


def weigh(setting: Setting, combos: Combos, finer: int = DENSE) -> Weighed:
    """Hold combinations against a setting's room, roughly."""
    return Weighed(setting, combos, finer)


def roomiest(setting: Setting, combos: Combos, count: int = 20) -> Found:
    """The ``count`` combinations with the most slack, confirmed and in that order.

    Equal ones come in the order of the combinations. Deterministic.
    """
    weighed = weigh(setting, combos)
    slack = weighed.slack.copy()
    order = np.argsort(-slack, kind="stable")
    order = order[np.isfinite(slack[order])]
    close = np.full(len(slack), -np.inf)
    for first in range(0, len(order), BATCH):
        batch = order[first : first + BATCH]
        if first >= count and slack[batch[0]] <= np.partition(close, -count)[-count] + EQUAL_MM:
            break
        weighed.follow(batch, weighed.needed)
        close[batch] = (weighed.gaps[batch] - weighed.needed).min(axis=1)
    best = _confirmed(weighed, close, count)
    for fit in best:
        slack[fit.index] = fit.slack_mm
    followed = np.isfinite(close)
    slack[followed] = np.minimum(slack[followed], close[followed])
    place = np.argmin(weighed.gaps - weighed.needed, axis=1)
    return Found(tuple(best), slack, place, weighed.impossible)


def _confirmed(weighed: Weighed, close: Array, count: int) -> list[Fit]:
    """The best by what a check finds, looking on while what was followed down promises more."""
    fits: list[Fit] = []
    for index in np.argsort(-close, kind="stable"):
        if not np.isfinite(close[index]):
            break
        if len(fits) >= count:
            fits.sort(key=lambda fit: (-fit.slack_mm, fit.index))
            if fits[count - 1].slack_mm >= close[index] - FINE_MM - EQUAL_MM:
                break
        fits.append(weighed.confirm(int(index)))
    fits.sort(key=lambda fit: (-fit.slack_mm, fit.index))
    return fits[:count]

"""The combinations with the most slack in one room, confirmed one by one as a check finds them.

What proves screening and following: rough clearances bound the true ones, and the best are never
lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import Tyre, Wheel
from fitment.engine.search.batch_distance import FINE_MM
from fitment.engine.search.combos import Combos
from fitment.engine.search.following import BATCH, follow
from fitment.engine.search.screening import Weighed, weigh
from fitment.engine.solid.section import section_of

#: Figures that differ by less count as equal, mm.
EQUAL_MM = 0.02


@dataclass(frozen=True)
class Fit:
    """One combination: slack is clearance less what is needed, at the place where it is least."""

    index: int
    wheel: Wheel
    tyre: Tyre
    slack_mm: float


@dataclass(frozen=True)
class Found:
    """The best, confirmed, and for every combination the most slack (n,) there can be and where.

    ``impossible`` (n,) marks tyres that cannot be mounted on their wheel; their slack is -inf.
    """

    best: tuple[Fit, ...]
    slack_mm: Array
    place: Index
    impossible: Flags


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


def slack_of(weighed: Weighed) -> Array:
    """Most slack (n,) there can be."""
    least: Array = (weighed.gaps - weighed.needed).min(axis=1)
    return least


def confirmed(weighed: Weighed, index: int) -> Fit:
    """One combination as a check sees it."""
    wheel, tyre = weighed.combos.at(index)
    room, section = weighed.setting.room, section_of(wheel, tyre)
    found = closest(room, section, section_of(wheel, tyre, coarse=True))
    slack = float((found.clearance_mm + weighed.shift - weighed.needed).min())
    return Fit(index, wheel, tyre, slack)


def roomiest(setting: Setting, combos: Combos, count: int = 20) -> Found:
    """The ``count`` combinations with the most slack, confirmed and in that order.

    Equal ones come in the order of the combinations. Deterministic.
    """
    weighed = weigh(setting, combos)
    slack = slack_of(weighed)
    order = np.argsort(-slack, kind="stable")
    order = order[np.isfinite(slack[order])]
    close = np.full(len(slack), -np.inf)
    for first in range(0, len(order), BATCH):
        batch = order[first : first + BATCH]
        if first >= count and slack[batch[0]] <= np.partition(close, -count)[-count] + EQUAL_MM:
            break
        follow(weighed, batch, weighed.needed)
        close[batch] = (weighed.gaps[batch] - weighed.needed).min(axis=1)
    best = _best(weighed, close, count)
    for fit in best:
        slack[fit.index] = fit.slack_mm
    followed = np.isfinite(close)
    slack[followed] = np.minimum(slack[followed], close[followed])
    place = np.argmin(weighed.gaps - weighed.needed, axis=1)
    return Found(tuple(best), slack, place, weighed.impossible)


def _best(weighed: Weighed, close: Array, count: int) -> list[Fit]:
    """The best by what a check finds, looking on while what was followed down promises more."""
    fits: list[Fit] = []
    for index in np.argsort(-close, kind="stable"):
        if not np.isfinite(close[index]):
            break
        if len(fits) >= count:
            fits.sort(key=lambda fit: (-fit.slack_mm, fit.index))
            if fits[count - 1].slack_mm >= close[index] - FINE_MM - EQUAL_MM:
                break
        fits.append(confirmed(weighed, int(index)))
    fits.sort(key=lambda fit: (-fit.slack_mm, fit.index))
    return fits[:count]

"""Wheels, tyres and spacers within the limits of a search, as combinations."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message, message
from fitment.engine.model import Tyre
from fitment.engine.search.combos import Combos
from fitment.engine.search.limits import (
    NO_SECTION,
    RIM_DIAMETER,
    RIM_UNKNOWN,
    RULE,
    Rule,
    Within,
    marking_refused,
    rim_refused,
    size_refused,
    wheel_refused,
)
from fitment.engine.search.space import Space, SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.solid.designation import BadSize
from fitment.engine.solid.mounted import BadSection, Mounted, mounted

#: Wheel, tyre and spacer as places in the space.
Triple = tuple[int, int, int]
#: How many candidates fell for a reason.
Reasons = Counter[Message]


@dataclass(frozen=True)
class Fits:
    """What there is to mount: ``triples`` of a space, the same as ``combos``, and what fell.

    ``width_mm`` (n,) are the mounted section widths. ``fallen`` counts once for a setting.
    """

    space: Space
    triples: tuple[Triple, ...]
    combos: Combos
    width_mm: Array
    fallen: Reasons

    def picked(self, fit: int) -> tuple[WheelChoice, TyreChoice, SpacerChoice]:
        """Wheel, tyre and spacer of a fit."""
        wheel, tyre, spacer = self.triples[fit]
        return self.space.wheels[wheel], self.space.tyres[tyre], self.space.spacers[spacer]


def fits_within(space: Space, within: Within) -> Fits:
    """Wheels, tyres and spacers within the limits; the others are counted, by reason."""
    kept: list[Triple] = []
    widths: list[float] = []
    fallen: Reasons = Counter()
    spacers = [s for s, spacer in enumerate(space.spacers) if spacer.offered]
    ask = _Rules(space, within.rules)
    for w, t, size in _pairs(space, within, fallen, len(spacers)):
        for s in spacers:
            broken = ask.broken((w, t, s))
            if broken is not None:
                fallen[message(RULE, rule=broken)] += 1
            else:
                kept.append((w, t, s))
                widths.append(round(size.section_width_mm, 3))
    return Fits(space, tuple(kept), _combos(space, kept), np.array(widths), fallen)


def _pairs(
    space: Space, within: Within, fallen: Reasons, each: int
) -> Iterator[tuple[int, int, Mounted]]:
    """Wheels with tyres within the limits; ``each`` candidates fall with one that is not."""
    marked = [marking_refused(tyre, within) for tyre in space.tyres]
    by_rim: dict[float | None, list[int]] = {}
    for t, tyre in enumerate(space.tyres):
        if tyre.offered:
            by_rim.setdefault(tyre.rim_diameter_in, []).append(t)
    sizes: dict[tuple[int, float, float, bool], Mounted | None] = {}
    for w, wheel in enumerate(space.wheels):
        if not wheel.offered:
            continue
        for rim, others in by_rim.items():
            if rim is not None and rim != wheel.wheel.diameter_in:
                fallen[message(RIM_DIAMETER, rim_in=rim)] += len(others) * each
        heavy = wheel_refused(wheel, within)
        for t in by_rim.get(None, []):
            fallen[message(NO_SECTION, size=space.tyres[t].tyre.size)] += each
        for t in by_rim.get(wheel.wheel.diameter_in, []):
            refused = _not_its_rim(space, w, t)
            size = None if refused else _mounted(space, w, t, sizes)
            if size is None:
                why = refused or message(NO_SECTION, size=space.tyres[t].tyre.size)
            else:
                found = size_refused(size, within) or heavy or marked[t]
                if found is None:
                    yield w, t, size
                    continue
                why = found
            fallen[why] += each


def _not_its_rim(space: Space, wheel: int, tyre: int) -> Message | None:
    """Why a tyre does not belong on a wheel, or why that cannot be said.

    That the tyre which is planned may be on its wheel is not for a search to doubt: where its
    rims are not known, the option says so.
    """
    refused = rim_refused(space.wheels[wheel], space.tyres[tyre])
    if refused is not None and refused.code == RIM_UNKNOWN and wheel == tyre == 0:
        return None
    return refused


def _mounted(
    space: Space, w: int, t: int, sizes: dict[tuple[int, float, float, bool], Mounted | None]
) -> Mounted | None:
    """A tyre on a wheel; None where it cannot be mounted. Worked out once for like rims."""
    wheel, tyre = space.wheels[w].wheel, space.tyres[t]
    worn = tyre.on(wheel)
    key = (t, wheel.rim_mm, wheel.seat_radius_mm, worn is tyre.tyre)
    if key not in sizes:
        try:
            sizes[key] = mounted(wheel, worn)
        except (BadSize, BadSection):
            sizes[key] = None
    return sizes[key]


class _Rules:
    """Rules on wheel, tyre and spacer, each asked once for what it tells apart."""

    def __init__(self, space: Space, rules: tuple[Rule, ...]) -> None:
        self._space = space
        self._rules = [rule for rule in rules if rule.fit is not None]
        self._kept: list[dict[tuple[int, ...], bool]] = [{} for _ in self._rules]

    def broken(self, triple: Triple) -> str | Message | None:
        """The first rule that is not kept."""
        w, t, s = triple
        for rule, known in zip(self._rules, self._kept, strict=True):
            key = rule.key(w, t, s)
            if key not in known:
                space = self._space
                known[key] = rule.keeps((space.wheels[w], space.tyres[t], space.spacers[s].mm))
            if not known[key]:
                return rule.name
        return None


def _combos(space: Space, triples: list[Triple]) -> Combos:
    """The same as combinations; tyres that are alike on their wheel are one."""
    at: dict[Tyre, int] = {}
    plain = [at.setdefault(choice.tyre, len(at)) for choice in space.tyres]
    traced = [
        at.setdefault(choice.traced[1], len(at)) if choice.traced else plain[t]
        for t, choice in enumerate(space.tyres)
    ]
    worn = [
        plain[t] if space.tyres[t].on(space.wheels[w].wheel) is space.tyres[t].tyre else traced[t]
        for w, t, _ in triples
    ]
    index = np.array(triples, int).reshape(-1, 3)
    return Combos(
        tuple(choice.wheel for choice in space.wheels),
        tuple(at),
        tuple(choice.mm for choice in space.spacers),
        index[:, 0],
        np.array(worn, int),
        index[:, 2],
    )

"""Wheels, tyres and spacers within the limits of a search, as combinations."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from common.message import Message, message
from fitment.engine.search.combos import Combos
from fitment.engine.search.limits import RULE, Within, pair_refused, rule_broken
from fitment.engine.search.space import Space, SpacerChoice, TyreChoice, WheelChoice

#: Wheel, tyre and spacer as places in the space.
Triple = tuple[int, int, int]
#: How many candidates fell for a reason.
Reasons = Counter[Message]


@dataclass(frozen=True)
class Fits:
    """What there is to mount: ``triples`` of a space, the same as ``combos``, and what fell."""

    space: Space
    triples: tuple[Triple, ...]
    combos: Combos
    fallen: Reasons

    def picked(self, fit: int) -> tuple[WheelChoice, TyreChoice, SpacerChoice]:
        """Wheel, tyre and spacer of a fit."""
        wheel, tyre, spacer = self.triples[fit]
        return self.space.wheels[wheel], self.space.tyres[tyre], self.space.spacers[spacer]


def fits_within(space: Space, within: Within) -> Fits:
    """Wheels, tyres and spacers within the limits; the others are counted once a setting."""
    kept: list[Triple] = []
    fallen: Reasons = Counter()
    each = len(space.settings)
    for w, wheel in enumerate(space.wheels):
        for t, tyre in enumerate(space.tyres):
            refused = pair_refused(wheel, tyre, within)
            if refused is not None:
                fallen[refused] += each * len(space.spacers)
                continue
            for s, spacer in enumerate(space.spacers):
                broken = rule_broken(wheel, tyre, spacer.mm, within)
                if broken is not None:
                    fallen[message(RULE, rule=broken)] += each
                else:
                    kept.append((w, t, s))
    return Fits(space, tuple(kept), _combos(space, kept), fallen)


def _combos(space: Space, triples: list[Triple]) -> Combos:
    """The same as combinations; tyres that are alike on their wheel are one."""
    worn = [space.tyres[t].on(space.wheels[w].wheel) for w, t, _ in triples]
    at = {tyre: index for index, tyre in enumerate(dict.fromkeys(worn))}
    index = np.array(triples, int).reshape(-1, 3)
    return Combos(
        tuple(choice.wheel for choice in space.wheels),
        tuple(at),
        tuple(choice.mm for choice in space.spacers),
        index[:, 0],
        np.array([at[tyre] for tyre in worn], int),
        index[:, 2],
    )

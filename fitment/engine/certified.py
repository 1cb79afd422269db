"""Tightest moments, their uncertainty and the proof of them, which wait for one another.

How far a proof must go follows from a clearance's uncertainty, and that from where the clearance
is least, which a proof may move.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array, Index
from common.message import Message, message
from fitment.engine.minimum.branch_and_bound import DEEP_MM, prove
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.setting import Setting
from fitment.engine.solid.section import Section
from fitment.engine.spot_answers import enough_mm
from fitment.engine.uncertainty.budget import Budget
from fitment.engine.uncertainty.this_car import weighed

#: How often a proof that found something lower is begun again with the uncertainty there.
AGAIN = 3
#: So far apart a clearance and its proved bound may lie where it matters, mm.
APART_MM = 0.1


@dataclass(frozen=True)
class Certified:
    """Tightest moments with proof, and their uncertainty: ``certified_mm`` (n,) are the proved
    lower bounds, ``enough_mm`` (n,) what a bound need not exceed, ``cells`` (n,) what each took."""

    found: Closest
    budget: Budget
    certified_mm: Array
    enough_mm: Array
    cells: Index

    def shortfalls(self, setting: Setting) -> tuple[Message, ...]:
        """Notes on clearances whose proof ran out of cells before it came near them."""
        least = self.found.clearance_mm
        short = np.minimum(least, self.enough_mm) - self.certified_mm > APART_MM
        return tuple(
            message(
                "note.proof-ended",
                spot=setting.room.courses[index].feature.place,
                certified_mm=float(self.certified_mm[index]),
                cells=int(self.cells[index]),
                least_mm=float(least[index]),
            )
            for index in np.flatnonzero(short & (least > DEEP_MM))
        )


def certified(
    setting: Setting,
    section: Section,
    coarse: Section,
    found: Closest,
    budget: Budget | None = None,
) -> Certified:
    """Prove what was ``found``; a ``budget`` of it that is known already is taken over."""
    for _ in range(1 + AGAIN):
        budget = budget or weighed(setting, section, coarse, found)
        enough = enough_mm(setting, section, budget)
        proved = prove(setting.room, section, coarse, found, enough)
        if proved.found is found:
            break
        found, budget = proved.found, None
    budget = budget or weighed(setting, section, coarse, found)
    return Certified(found, budget, proved.certified_mm, enough, proved.cells)

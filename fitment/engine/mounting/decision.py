"""Whether a gap is as large as a rule asks, its uncertainty counted.

The decision rule (terms of JCGM 106:2012, *The role of measurement uncertainty in conformity
assessment*; its clauses 8.2 and 8.3.2, numbers from memory): guarded acceptance, simple rejection.
A gap passes where the chance that it is smaller than the rule asks is 5 in 100 at the most, which
keeps it 1.645 standard uncertainties above the limit. It fails where it is smaller as it stands.
In between neither can be said before the gap is read on the car. It is the rule by which a
clearance is doubtful. Millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from common.verdicts import Outcome
from fitment.engine.defaults import MAY_TOUCH
from fitment.engine.model import PoseAt, SpotAnswer
from fitment.engine.uncertainty.touching import below_zero

#: Largest chance of being smaller than asked with which a gap passes.
MAY_MISS = MAY_TOUCH


@dataclass(frozen=True)
class Gap:
    """The least gap at a spot, ± one standard uncertainty, and the pose in which it is least."""

    spot: str
    gap_mm: float
    sigma_mm: float
    at: PoseAt

    def miss_share(self, least_mm: float) -> float:
        """Chance that it is smaller than a rule asks."""
        return below_zero(self.gap_mm - least_mm, self.sigma_mm)

    def outcome(self, least_mm: float) -> Outcome:
        """What a rule that asks for ``least_mm`` says of it."""
        if self.gap_mm < least_mm:
            return Outcome.FAILS
        certain = self.gap_mm == least_mm and not self.sigma_mm
        passes = certain or self.miss_share(least_mm) <= MAY_MISS
        return Outcome.PASSES if passes else Outcome.CANNOT_SAY


def gap_at(spot: SpotAnswer) -> Gap:
    """The gap of a clearance check's spot."""
    return Gap(spot.place, spot.clearance_mm, spot.sigma_mm, spot.at)


def decisive(gaps: Sequence[Gap], least_mm: float) -> Gap | None:
    """The likeliest to be smaller than asked, of those as likely the smallest; None of none."""
    return min(gaps, key=lambda one: (-one.miss_share(least_mm), one.gap_mm), default=None)

"""From a clearance and its doubt to a verdict."""

from __future__ import annotations

from math import erfc, sqrt

from common.verdicts import Verdict
from fitment.engine import defaults


def touch_chance(clearance_mm: float, sigma_mm: float) -> float:
    """Chance that the true clearance is not positive, for a normal error of ``sigma_mm``."""
    if sigma_mm <= 0:
        return 1.0 if clearance_mm <= 0 else 0.0
    return 0.5 * erfc(clearance_mm / sigma_mm / sqrt(2.0))


def judge(clearance_mm: float, needed_mm: float, chance: float) -> Verdict:
    """Verdict of one place that was measured well enough to have one."""
    if clearance_mm <= 0:
        return Verdict.CONTACT
    if chance > defaults.MAY_TOUCH:
        return Verdict.DOUBTFUL
    return Verdict.TIGHT if clearance_mm < needed_mm else Verdict.CLEAR

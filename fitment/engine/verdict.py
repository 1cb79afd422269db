"""From a clearance and its doubt to a verdict."""

from __future__ import annotations

from collections.abc import Iterable
from math import erfc, sqrt

from fitment.engine import defaults
from fitment.engine.model import CLEAR, CONTACT, DOUBTFUL, TIGHT, VERDICTS


def touch_chance(clearance_mm: float, sigma_mm: float) -> float:
    """Chance that the true clearance is not positive, for a normal error of ``sigma_mm``."""
    if sigma_mm <= 0:
        return 1.0 if clearance_mm <= 0 else 0.0
    return 0.5 * erfc(clearance_mm / sigma_mm / sqrt(2.0))


def judge(clearance_mm: float, needed_mm: float, chance: float) -> str:
    """Verdict of one place that was measured well enough to have one."""
    if clearance_mm <= 0:
        return CONTACT
    if chance > defaults.MAY_TOUCH:
        return DOUBTFUL
    return TIGHT if clearance_mm < needed_mm else CLEAR


def worst(verdicts: Iterable[str]) -> str:
    """The worst of some verdicts; clear of none."""
    return min(verdicts, key=VERDICTS.index, default=CLEAR)

"""From a clearance and its uncertainty to a verdict."""

from __future__ import annotations

from collections.abc import Iterable

from fitment.engine import defaults
from fitment.engine.model import CLEAR, CONTACT, DOUBTFUL, TIGHT, VERDICTS, Remark

#: Code of the remark on a corner, or a car, that is doubtful only as a whole.
DOUBTFUL_AS_A_WHOLE = "doubtful_as_a_whole"


def judge(clearance_mm: float, needed_mm: float, chance: float) -> str:
    """Verdict of one spot that was measured well enough to have one."""
    if clearance_mm <= 0:
        return CONTACT
    if chance > defaults.MAY_TOUCH:
        return DOUBTFUL
    return TIGHT if clearance_mm < needed_mm else CLEAR


def worst(verdicts: Iterable[str]) -> str:
    """The worst of some verdicts; clear of none."""
    return min(verdicts, key=VERDICTS.index, default=CLEAR)


def judge_whole(verdicts: Iterable[str], chance: float, most: float) -> tuple[str, Remark | None]:
    """Verdict of a corner or a car from those of its parts and the chance that anything touches.

    Above ``most`` it is doubtful although no part of it is, and a remark says so.
    """
    verdict = worst(verdicts)
    if chance <= most or worst([verdict, DOUBTFUL]) == verdict:
        return verdict, None
    return DOUBTFUL, Remark(DOUBTFUL_AS_A_WHOLE, {"chance": chance, "most": most})

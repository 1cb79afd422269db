"""From a clearance and its uncertainty to a verdict."""

from __future__ import annotations

from collections.abc import Iterable

from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine import defaults


def judge(clearance_mm: float, needed_mm: float, chance: float) -> Verdict:
    """Verdict of one spot that was measured well enough to have one."""
    if clearance_mm <= 0:
        return Verdict.CONTACT
    if chance > defaults.MAY_TOUCH:
        return Verdict.DOUBTFUL
    return Verdict.TIGHT if clearance_mm < needed_mm else Verdict.CLEAR


def judge_whole(
    verdicts: Iterable[Verdict], chance: float, most: float
) -> tuple[Verdict, tuple[Message, ...]]:
    """Verdict of a corner or a car from those of its parts and the chance that anything touches.

    Above ``most`` it is doubtful although no part of it is, and a message says so.
    """
    verdict = worst(verdicts)
    if not (chance > most and verdict.clears):
        return verdict, ()
    told = message("note.doubtful-as-a-whole", touch_share=chance, most_share=most)
    return Verdict.DOUBTFUL, (told,)

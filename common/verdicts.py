"""The words that a check, a rule and a gate may answer with, each defined once.

Members are strings: what is stored, exported and compared is the word itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum


class Verdict(StrEnum):
    """What a clearance check says of a spot, a corner or a car; worst first."""

    CONTACT = "contact"
    UNMEASURED = "unmeasured"
    DOUBTFUL = "doubtful"
    TIGHT = "tight"
    CLEAR = "clear"

    @property
    def clears(self) -> bool:
        """Whether nothing touches, as far as is known: tight counts, doubtful does not."""
        return self in (Verdict.TIGHT, Verdict.CLEAR)


class Outcome(StrEnum):
    """What a rule of the mounting, of a class or of a fitment table says; worst first."""

    FAILS = "fails"
    CANNOT_SAY = "cannot say"
    PASSES = "passes"


class GateResult(StrEnum):
    """What a gate may answer: a verdict, an outcome, or why there is neither."""

    CONTACT = Verdict.CONTACT
    UNMEASURED = Verdict.UNMEASURED
    DOUBTFUL = Verdict.DOUBTFUL
    TIGHT = Verdict.TIGHT
    CLEAR = Verdict.CLEAR
    FAILS = Outcome.FAILS
    CANNOT_SAY = Outcome.CANNOT_SAY
    PASSES = Outcome.PASSES
    OUT_OF_REACH = "out of reach"
    CANNOT_BE_MOUNTED = "cannot be mounted"
    STALE = "stale"
    NOT_CHECKED = "not checked"
    NOT_NEEDED = "not needed"


#: How much a gate's answer stands in the way, worst first: what no decision helps against, then
#: what touches or fails, then what is not known, then what passes.
GRAVITY: tuple[GateResult, ...] = (
    GateResult.CANNOT_BE_MOUNTED,
    GateResult.CONTACT,
    GateResult.FAILS,
    GateResult.OUT_OF_REACH,
    GateResult.UNMEASURED,
    GateResult.DOUBTFUL,
    GateResult.STALE,
    GateResult.NOT_CHECKED,
    GateResult.CANNOT_SAY,
    GateResult.TIGHT,
    GateResult.CLEAR,
    GateResult.PASSES,
    GateResult.NOT_NEEDED,
)
#: Worst first.
VERDICTS: tuple[Verdict, ...] = tuple(Verdict)
OUTCOMES: tuple[Outcome, ...] = tuple(Outcome)


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of some verdicts; clear of none."""
    return min(verdicts, key=VERDICTS.index, default=Verdict.CLEAR)


def worst_outcome(outcomes: Iterable[Outcome]) -> Outcome:
    """The worst of some outcomes; passes of none."""
    return min(outcomes, key=OUTCOMES.index, default=Outcome.PASSES)


def reached(verdict: Verdict, in_reach: bool) -> GateResult:
    """What decides the gate: the verdict, unless a setting is out of reach of the parts.

    Contact and a missing measurement outrank the reach: better parts would not mend them.
    """
    if in_reach or verdict in (Verdict.CONTACT, Verdict.UNMEASURED):
        return GateResult(verdict)
    return GateResult.OUT_OF_REACH

"""Gates that say what a test wants, for the point BOOKING_GATES."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from common.verdicts import GateResult
from shop.extensions.gates import RULES, GateAnswer
from shop.models import WorkOrder


@dataclass
class Said:
    """What a test lets the gate say; a sentence or a role of None as befits the result."""

    result: GateResult = GateResult.CLEAR
    sentence: str | None = None
    may_pass: str | None = None
    digest: str = "d-1"


SAID = Said()


def open_gate(order: WorkOrder) -> GateAnswer:
    return GateAnswer(
        "clearance", GateResult.CLEAR, "Clears everywhere.", "writer", False, "d-open"
    )


def told_gate(order: WorkOrder) -> GateAnswer:
    """Gives the result, the sentence and the digest that stand in ``SAID``."""
    may_pass, signature = RULES.get(SAID.result, ("writer", False))
    return GateAnswer(
        gate="clearance",
        result=SAID.result,
        sentence=SAID.sentence or f"The clearance is {SAID.result}.",
        may_pass=SAID.may_pass or may_pass,
        needs_signature=signature,
        digest=SAID.digest,
        action_label="Check again",
        action_url="/somewhere/",
    )


def say(*, result: str = GateResult.CLEAR, **words: str) -> None:
    """Let the gate say this until it is told otherwise.

    A word that is no result stays as it is, as from a gate of another's making.
    """
    known = next((one for one in GateResult if one == result), cast(GateResult, result))
    new = Said(known, **words)
    for name in ("result", "sentence", "may_pass", "digest"):
        setattr(SAID, name, getattr(new, name))

"""Gates that say what a test wants, for the point BOOKING_GATES."""

from __future__ import annotations

from shop.extensions.gates import RULES, GateAnswer
from shop.models import WorkOrder

SAID: dict[str, str] = {}


def open_gate(order: WorkOrder) -> GateAnswer:
    return GateAnswer("clearance", "clear", "Clears everywhere.", "writer", False, "d-open")


def told_gate(order: WorkOrder) -> GateAnswer:
    """Gives the result, the sentence and the digest that stand in ``SAID``."""
    result = SAID.get("result", "clear")
    may_pass, signature = RULES.get(result, ("writer", False))
    return GateAnswer(
        gate="clearance",
        result=result,
        sentence=SAID.get("sentence", f"The clearance is {result}."),
        may_pass=SAID.get("may_pass", may_pass),
        needs_signature=signature,
        digest=SAID.get("digest", "d-1"),
        action_label="Check again",
        action_url="/somewhere/",
    )


def say(**words: str) -> None:
    SAID.clear()
    SAID.update(words)

"""Gates that say what a test wants, for the setting BOOKING_GATES."""

from __future__ import annotations

from shop.models import WorkOrder
from shop.site.extension_points import RULES, GateAnswer

SAID: dict[str, str] = {}
OPEN = ["tests.shop.gates_for_tests.open_gate"]
TOLD = ["tests.shop.gates_for_tests.told_gate"]


def open_gate(order: WorkOrder) -> GateAnswer:
    return GateAnswer("room", "clear", "Clears everywhere.", "writer", False, "d-open")


def told_gate(order: WorkOrder) -> GateAnswer:
    """Gives the result, the sentence and the digest that stand in ``SAID``."""
    result = SAID.get("result", "clear")
    may_pass, signature = RULES.get(result, ("writer", False))
    return GateAnswer(
        gate="room",
        result=result,
        sentence=SAID.get("sentence", f"The room is {result}."),
        may_pass=SAID.get("may_pass", may_pass),
        needs_signature=signature,
        digest=SAID.get("digest", "d-1"),
        action_label="Check again",
        action_url="/somewhere/",
    )


def say(**words: str) -> None:
    SAID.clear()
    SAID.update(words)

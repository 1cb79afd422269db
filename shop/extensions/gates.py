"""What a gate answers about an order, and the rule for each result: who may go on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shop.languages import Speech

# Results that a gate may give.
CLEAR = "clear"
TIGHT = "tight"
DOUBTFUL = "doubtful"
CONTACT = "contact"
OUT_OF_REACH = "out of reach"
UNMEASURED = "unmeasured"
STALE = "stale"
NOT_NEEDED = "not needed"
NOT_CHECKED = "not checked"
PASSES = "passes"
FAILS = "fails"
CANNOT_SAY = "cannot say"

# Lowest role that may go on.
WRITER = "writer"
MANAGER = "manager"
NOBODY = "nobody"

#: The rule for each result: who may go on, and whether the customer signs first.
RULES: Mapping[str, tuple[str, bool]] = {
    CLEAR: (WRITER, False),
    TIGHT: (WRITER, False),
    NOT_NEEDED: (WRITER, False),
    DOUBTFUL: (MANAGER, False),
    CONTACT: (MANAGER, True),
    OUT_OF_REACH: (MANAGER, True),
    UNMEASURED: (MANAGER, True),
    STALE: (NOBODY, False),
    NOT_CHECKED: (NOBODY, False),
    PASSES: (WRITER, False),
    FAILS: (MANAGER, True),
    CANNOT_SAY: (WRITER, False),
}
#: Results that a customer need not be warned of.
QUIET = (CLEAR, NOT_NEEDED, PASSES)


@dataclass(frozen=True)
class GateAnswer:
    """What a gate says about an order, with the digest of all that it looked at.

    ``spoken`` says the sentence in a customer's language and units, where the gate can, and
    ``findings`` what stands behind it: rows with ``title``, ``where``, ``outcome``,
    ``said_outcome``, ``sentence``, ``rule`` and ``source``, as text. ``title`` names the gate.
    """

    gate: str
    result: str
    sentence: str
    may_pass: str
    needs_signature: bool
    digest: str
    action_label: str = ""
    action_url: str = ""
    title: str = ""
    spoken: Callable[[Speech], str] | None = field(default=None, compare=False, repr=False)
    findings: Callable[[Speech], list[dict[str, str]]] | None = field(
        default=None, compare=False, repr=False
    )

    def said_to(self, speech: Speech) -> str:
        """The sentence for this reader; as it stands where nobody has other words for it."""
        return self.spoken(speech) if self.spoken else speech.may_say(self.sentence)

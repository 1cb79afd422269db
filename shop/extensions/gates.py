"""What a gate answers about an order, and the rule for each result: who may go on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from common.verdicts import GateResult

if TYPE_CHECKING:
    from shop.languages import Speech

# Lowest role that may go on.
WRITER = "writer"
MANAGER = "manager"
NO_ROLE = "no role"

#: The rule for each result: who may go on, and whether the customer signs first.
RULES: Mapping[GateResult, tuple[str, bool]] = {
    GateResult.CLEAR: (WRITER, False),
    GateResult.TIGHT: (WRITER, False),
    GateResult.NOT_NEEDED: (WRITER, False),
    GateResult.DOUBTFUL: (MANAGER, False),
    GateResult.CONTACT: (MANAGER, True),
    GateResult.OUT_OF_REACH: (MANAGER, True),
    GateResult.UNMEASURED: (MANAGER, True),
    GateResult.STALE: (NO_ROLE, False),
    GateResult.NOT_CHECKED: (NO_ROLE, False),
    GateResult.PASSES: (WRITER, False),
    GateResult.FAILS: (MANAGER, True),
    GateResult.CANNOT_SAY: (WRITER, False),
    GateResult.CANNOT_BE_MOUNTED: (NO_ROLE, False),
}
#: Results that a customer need not be warned of.
QUIET = (GateResult.CLEAR, GateResult.NOT_NEEDED, GateResult.PASSES)


@dataclass(frozen=True)
class GateAnswer:
    """What a gate says about an order, with the digest of all that it looked at.

    ``spoken`` says the sentence in a customer's language and units, where the gate can, and
    ``findings`` what stands behind it: rows with ``title``, ``where``, ``outcome``,
    ``said_outcome``, ``sentence``, ``rule`` and ``source``, as text. ``title`` names the gate.
    ``in_short`` is the sentence for a single line, where the whole is longer.
    """

    gate: str
    result: GateResult
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
    in_short: str = field(default="", compare=False)

    @property
    def headline(self) -> str:
        """The sentence, or the part of it that a single line has place for."""
        return self.in_short or self.sentence

    def said_to(self, speech: Speech) -> str:
        """The sentence for this reader; unchanged where the gate has no other words for it."""
        return self.spoken(speech) if self.spoken else speech.may_say(self.sentence)

"""The answer of a gate whose sentence can be said to every reader."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from alignment.text.render import SHOP, Reader, customer, render
from common.message import message
from common.verdicts import GateResult
from shop.extensions import gates
from shop.extensions.gates import GateAnswer
from shop.languages import Speech

#: What is said, for one reader.
Said = Callable[[Reader], str]


def told(code: str) -> Said:
    """A sentence without parameters, by its code."""
    return partial(render, message(code))


def gate_answer(
    result: GateResult,
    said: Said,
    digest: str = "",
    action: Sequence[str] = ("", ""),
    *,
    gate: str,
    title: str,
    findings: Callable[[Speech], list[dict[str, str]]] | None = None,
    in_short: str = "",
) -> GateAnswer:
    """The answer with the rule of its result; ``action`` is the label and address of what to do.
    ``in_short`` is said to the shop where only a single line has place."""
    may_pass, needs_signature = gates.RULES[result]
    label, url = action
    return GateAnswer(
        gate=gate,
        result=result,
        sentence=said(SHOP),
        may_pass=may_pass,
        needs_signature=needs_signature,
        digest=digest,
        action_label=label,
        action_url=url,
        title=title,
        spoken=lambda speech: said(customer(speech)),
        findings=findings,
        in_short=in_short,
    )

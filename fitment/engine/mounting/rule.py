"""What a mounting check answers with: a rule and its source, an outcome, and what was found.

All of it is codes with figures, so that the same answer can be kept as plain data and said in any
language.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from common.message import Message, message, message_dump, message_load
from common.verdicts import Outcome


@dataclass(frozen=True)
class Result:
    """One check's answer: ``rule`` is the check's code, ``found`` what came out.

    ``asks`` is what the rule asks, ``source`` the name of a document, or a message where the rule
    itself knows whose it is. ``axle`` is empty where it is about the whole car, ``corner`` where
    both sides of an axle answer alike. ``bars``: it fails so that the wheel cannot be mounted or
    may not carry the car: no decision passes it, only other parts or a corrected record.
    """

    rule: str
    outcome: Outcome
    found: Message
    asks: Message
    source: str | Message
    missing: tuple[Message, ...] = ()
    axle: str = ""
    corner: str = ""
    bars: bool = False

    def __post_init__(self) -> None:
        if self.bars and self.outcome != Outcome.FAILS:
            raise ValueError(f"{self.rule}: only what fails can bar a wheel.")

    @property
    def title(self) -> Message:
        """The check's name."""
        return message(f"rule.{self.rule}")


@dataclass(frozen=True)
class Rule:
    """A check's name, what it asks and whose rule that is; makes its results."""

    code: str
    asks: Message
    source: str | Message
    axle: str = ""

    def judged(self, good: bool, code: str, /, **params: Any) -> Result:
        """Passes or fails, with what was found."""
        return self._result(Outcome.PASSES if good else Outcome.FAILS, message(code, **params), ())

    def barred(self, code: str, /, **params: Any) -> Result:
        """Fails so that no decision can pass it, with what was found."""
        return replace(self.judged(False, code, **params), bars=True)

    def must(self, good: bool, code: str, /, **params: Any) -> Result:
        """Passes, or cannot be mounted."""
        return self.judged(True, code, **params) if good else self.barred(code, **params)

    def unknown(self, *missing: str, told: str = "", **params: Any) -> Result:
        """Cannot say: what is missing, and what was found where naming that is not enough."""
        names = tuple(message(f"missing.{name}") for name in missing)
        found = message(told, **params) if told else message("found.not-on-record", missing=names)
        return self._result(Outcome.CANNOT_SAY, found, names)

    def _result(self, outcome: Outcome, found: Message, missing: tuple[Message, ...]) -> Result:
        return Result(self.code, outcome, found, self.asks, self.source, missing, self.axle)


def rule_of(
    code: str, source: str | Message, axle: str = "", *, asks: str = "", **params: Any
) -> Rule:
    """A rule by its code; ``params`` go into what it asks, under the code ``asks`` or its own."""
    return Rule(code, message(f"asks.{asks or code}", **params), source, axle)


def source_of(code: str) -> Message:
    """A source that is no document of the shop's law."""
    return message(f"source-of.{code}")


def absent(what: str, *values: object) -> list[str]:
    """What is missing, where one of the values is."""
    return [what] if any(value is None for value in values) else []


def result_dump(result: Result) -> dict[str, Any]:
    """A result as plain data."""
    source = result.source
    return {
        "rule": result.rule,
        "axle": result.axle,
        "corner": result.corner,
        "outcome": result.outcome,
        "bars": result.bars,
        "found": message_dump(result.found),
        "asks": message_dump(result.asks),
        "source": source if isinstance(source, str) else message_dump(source),
        "missing": [message_dump(one) for one in result.missing],
    }


def result_load(document: Mapping[str, Any]) -> Result:
    """The inverse of :func:`result_dump`."""
    source = document["source"]
    return Result(
        rule=document["rule"],
        outcome=Outcome(document["outcome"]),
        found=message_load(document["found"]),
        asks=message_load(document["asks"]),
        source=source if isinstance(source, str) else message_load(source),
        missing=tuple(message_load(one) for one in document["missing"]),
        axle=document["axle"],
        corner=document["corner"],
        bars=bool(document["bars"]),
    )

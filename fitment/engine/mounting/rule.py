"""What a mounting check answers with: a rule and its source, an outcome, and a sentence.

Sentences and rules are templates with their figures apart, so that the same answer can be kept
as plain data and said again in another language.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from common.verdicts import Outcome

NOT_ON_RECORD = "Not on record: {what}."
"""The sentence of a check that lacks something; ``what`` lists ``missing``."""


@dataclass(frozen=True)
class Said:
    """A template and what goes into its braces, figures written already."""

    text: str
    values: Mapping[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.text.format(**self.values)


@dataclass(frozen=True)
class Result:
    """One check's answer. ``axle`` is empty where it is about the whole car, ``corner`` where
    both sides of an axle answer alike."""

    title: str
    outcome: Outcome
    said: Said
    asks: Said
    source: str
    missing: tuple[str, ...] = ()
    axle: str = ""
    corner: str = ""

    @property
    def sentence(self) -> str:
        """What was found."""
        return str(self.said)

    @property
    def rule(self) -> str:
        """What is asked."""
        return str(self.asks)


@dataclass(frozen=True)
class Rule:
    """A check's name, rule and source; makes its results."""

    title: str
    asks: Said
    source: str
    axle: str = ""

    def judged(self, good: bool, sentence: str, **values: float | str) -> Result:
        return self._result(Outcome.PASSES if good else Outcome.FAILS, said(sentence, values), ())

    def unknown(self, *missing: str, sentence: str = "", **values: float | str) -> Result:
        """Cannot say: what is missing, and a sentence where naming it is not enough."""
        if sentence:
            return self._result(Outcome.CANNOT_SAY, said(sentence, values), missing)
        return self._result(
            Outcome.CANNOT_SAY, said(NOT_ON_RECORD, {"what": ", ".join(missing)}), missing
        )

    def _result(self, outcome: Outcome, sentence: Said, missing: tuple[str, ...]) -> Result:
        return Result(self.title, outcome, sentence, self.asks, self.source, missing, self.axle)


def rule_of(title: str, text: str, source: str, axle: str = "", **values: float | str) -> Rule:
    """A rule in words; ``values`` go into the braces of its text."""
    return Rule(title, said(text, values), source, axle)


def said(text: str, values: Mapping[str, float | str]) -> Said:
    """A template with its figures written short, and words as they are."""
    return Said(text, {name: v if isinstance(v, str) else f"{v:g}" for name, v in values.items()})


def absent(what: str, *values: object) -> list[str]:
    """What is missing, where one of the values is."""
    return [what] if any(value is None for value in values) else []


def plus(value: float, decimals: int) -> str:
    """A number with its sign, a minus as the minus sign."""
    return f"{value:+.{decimals}f}".replace("-", "−")


def result_dump(result: Result) -> dict[str, Any]:
    """A result as plain data."""
    return {
        "title": result.title,
        "axle": result.axle,
        "corner": result.corner,
        "outcome": result.outcome,
        "said": [result.said.text, dict(result.said.values)],
        "asks": [result.asks.text, dict(result.asks.values)],
        "source": result.source,
        "missing": list(result.missing),
    }


def result_load(document: Mapping[str, Any]) -> Result:
    """The inverse of :func:`result_dump`."""
    return Result(
        title=document["title"],
        outcome=Outcome(document["outcome"]),
        said=Said(*document["said"]),
        asks=Said(*document["asks"]),
        source=document["source"],
        missing=tuple(document["missing"]),
        axle=document["axle"],
        corner=document["corner"],
    )

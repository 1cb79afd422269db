"""Mounting checks for people, in their language: each answer, and a sentence about all of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace

from common.corners import CORNER_NAMES
from common.verdicts import Outcome
from fitment.engine.mounting.rule import NOT_ON_RECORD, Result, Said
from shop.languages import Speech

FIGURE = re.compile(r"(?<=\d)\.(?=\d)")


@dataclass(frozen=True)
class SaidResult:
    """One answer in a reader's words; ``outcome`` stays the engine's."""

    title: str
    where: str
    outcome: Outcome
    said_outcome: str
    sentence: str
    rule: str
    source: str


def result_said(result: Result, speech: Speech) -> SaidResult:
    """An answer for this reader."""
    sentence = result_sentence(result, speech)
    if result.corner:
        corner = speech.say(CORNER_NAMES[result.corner])
        sentence = f"{_capital(corner)}: {sentence}"
    return SaidResult(
        title=speech.say(result.title),
        where=speech.say(result.axle) if result.axle else speech.say("both axles"),
        outcome=result.outcome,
        said_outcome=speech.say(result.outcome),
        sentence=sentence,
        rule=_said(result.asks, speech),
        source=_capital(speech.may_say(result.source)),
    )


def result_sentence(result: Result, speech: Speech) -> str:
    if result.said.text == NOT_ON_RECORD:
        missing = [speech.say(what) for what in result.missing]
        return speech.say(NOT_ON_RECORD, what=", ".join(missing))
    return _said(result.said, speech)


def findings(results: Iterable[Result], speech: Speech) -> list[dict[str, str]]:
    """What fails, then what cannot be said, as plain data for a letter."""
    return [asdict(one) for one in joined(not_passing(results), speech)]


def joined(results: Iterable[Result], speech: Speech) -> list[SaidResult]:
    """Answers for this reader; the same answer on both axles is one."""
    places: dict[SaidResult, list[str]] = {}
    for one in results:
        told = result_said(one, speech)
        places.setdefault(replace(told, where=""), []).append(told.where)
    return [replace(told, where=speech.listed(where)) for told, where in places.items()]


def not_passing(results: Iterable[Result]) -> list[Result]:
    """What fails, then what cannot be said, each in the order of the work."""
    known = list(results)
    return [
        one
        for outcome in (Outcome.FAILS, Outcome.CANNOT_SAY)
        for one in known
        if one.outcome == outcome
    ]


def mounting_sentence(results: Sequence[Result], speech: Speech) -> str:
    """What all mounting checks come to: what fails with what was found, and what is open."""
    failing = [one for one in results if one.outcome == Outcome.FAILS]
    said = [f"{one.title} ({one.where}): {one.sentence}" for one in joined(failing, speech)]
    first, *rest = counted_sentences(results, speech)
    return " ".join([first, *said, *rest])


def counted_sentences(results: Sequence[Result], speech: Speech) -> list[str]:
    """How many fail and what is open, for a page that shows beside it what was found."""
    say = speech.say
    failing = sum(one.outcome == Outcome.FAILS for one in results)
    unsure = [one for one in results if one.outcome == Outcome.CANNOT_SAY]
    names = speech.listed(list(dict.fromkeys(_capital(say(one.title)) for one in unsure)))
    if failing:
        counted = speech.say_many(
            "{count} of {all} mounting checks fails.",
            "{count} of {all} mounting checks fail.",
            failing,
            all=len(results),
        )
        return [counted, say("Not to be answered yet: {names}.", names=names)][: 1 + bool(unsure)]
    if unsure:
        return [
            say(
                "No mounting check fails, but {count} of {all} cannot be answered yet: {names}.",
                count=len(unsure),
                all=len(results),
                names=names,
            )
        ]
    return [say("All mounting checks pass, {all} in all.", all=len(results))]


def _said(said: Said, speech: Speech) -> str:
    values = {name: _value(value, speech) for name, value in said.values.items()}
    return speech.say(said.text, **values)


def _value(value: str, speech: Speech) -> str:
    """A figure with the reader's decimal mark, or a word of theirs where there is one."""
    if speech.language.is_english:
        return value
    known = speech.may_say(value)
    if known != value:
        return known
    if value[:1].isdigit() or value[:1] in "+−":
        return FIGURE.sub(speech.language.point, value)
    small = value[:1].lower() + value[1:]
    return _capital(speech.may_say(small)) if small != value else value


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

"""Mounting checks for people, in their language: each answer, and a sentence about all of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace

from alignment.text.render import SHOP, Reader, customer, render
from common.message import Message, message
from common.verdicts import Outcome
from fitment.engine.mounting.rule import Result
from fitment.models import DryFit
from fitment.text.render import sentences
from shop.languages import Speech
from shop.languages.formatting import capital


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


def findings(results: Iterable[Result], speech: Speech) -> list[dict[str, str]]:
    """What fails, then what cannot be said, as plain data for a letter."""
    return [asdict(one) for one in joined(not_passing(results), customer(speech))]


def joined(results: Iterable[Result], reader: Reader = SHOP) -> list[SaidResult]:
    """Answers for this reader; the same answer on both axles is one."""
    return [
        SaidResult(
            title=render(one.title, reader),
            where=render(_axles(axles), reader),
            outcome=one.outcome,
            said_outcome=render(message(_outcome_code(one)), reader),
            sentence=render(found_of(one), reader),
            rule=render(one.asks, reader),
            source=capital(render(one.source, reader)),
        )
        for one, axles in _together(results)
    ]


def _outcome_code(result: Result) -> str:
    return "outcome.cannot be mounted" if result.bars else f"outcome.{result.outcome}"


def found_of(result: Result) -> Message:
    """What was found, with the corner where only one side of an axle answers so."""
    if not result.corner:
        return result.found
    corner = message(f"corner.{result.corner}")
    return message("mounting.at-corner", corner=corner, found=result.found)


def titled(result: Result) -> Message:
    """The check's name with its axle."""
    if not result.axle:
        return result.title
    axle = message(f"axle-name.{result.axle}")
    return message("mounting.title-axle", title=result.title, axle=axle)


def not_passing(results: Iterable[Result]) -> list[Result]:
    """What cannot be mounted, what else fails, then what cannot be said, each in the order of the
    work."""
    known = barring_first(results)
    wanted = (Outcome.FAILS, Outcome.CANNOT_SAY)
    return [one for outcome in wanted for one in known if one.outcome == outcome]


def barring_first(results: Iterable[Result]) -> list[Result]:
    """What no decision passes first; the order of the work otherwise."""
    return sorted(results, key=lambda one: not one.bars)


def mounting_sentence(results: Sequence[Result], reader: Reader = SHOP) -> str:
    """What all mounting checks come to: what fails with what was found, and what is open."""
    failing = barring_first(one for one in results if one.outcome == Outcome.FAILS)
    told = [
        message("mounting.failing", title=one.title, axles=_axles(axles), found=found_of(one))
        for one, axles in _together(failing)
    ]
    first, *rest = counted(results)
    return sentences([first, *told, *rest], reader)


def counted(results: Sequence[Result]) -> list[Message]:
    """How many fail and what is open, for a page that shows beside it what was found."""
    barring = sum(one.bars for one in results)
    failing = sum(one.outcome == Outcome.FAILS for one in results) - barring
    unsure = [one for one in results if one.outcome == Outcome.CANNOT_SAY]
    names = tuple(dict.fromkeys(one.title for one in unsure))
    if not barring and not failing:
        if not unsure:
            return [message("mounting.all-pass", all=len(results))]
        return [message("mounting.open", count=len(unsure), all=len(results), names=names)]
    told: list[Message] = []
    if barring:
        told.append(message("mounting.barred", count=barring, all=len(results)))
    if failing and barring:
        told.append(message("mounting.also-fail", count=failing))
    elif failing:
        told.append(message("mounting.fail", count=failing, all=len(results)))
    if unsure:
        told.append(message("mounting.also-open", names=names))
    return told


def headed(results: Sequence[Result]) -> list[Message]:
    """How many fail and the worst of them, or how many cannot be judged: for a single line."""
    failing = barring_first(one for one in results if one.outcome == Outcome.FAILS)
    if not failing:
        unsure = sum(one.outcome == Outcome.CANNOT_SAY for one in results)
        if not unsure:
            return counted(results)
        return [message("mounting.unjudged", count=unsure, all=len(results))]
    worst, axles = _together(failing)[0]
    found = found_of(worst)
    first = counted(results)[0]
    return [
        first,
        message("mounting.failing", title=worst.title, axles=_axles(axles), found=found),
    ]


def dry_fit_told(one: DryFit) -> Message:
    """What a dry fit found."""
    axle = message(f"axle-name.{one.axle}")
    if one.touching:
        what = tuple(message(f"dry-fit.{name}") for name in one.touching)
        return message("dry-fit.touches", axle=axle, what=what)
    return message("dry-fit.on-car" if one.on_car else "dry-fit.clears", axle=axle)


def _axles(axles: Sequence[str]) -> tuple[Message, ...]:
    return tuple(message(f"axle-name.{axle}") for axle in axles if axle) or (
        message("mounting.both-axles"),
    )


def _together(results: Iterable[Result]) -> list[tuple[Result, list[str]]]:
    """Answers that are the same but for their axle, with the axles, in their order."""
    groups: list[tuple[Result, list[str]]] = []
    for one in results:
        same = next((axles for twin, axles in groups if twin == replace(one, axle="")), None)
        if same is None:
            groups.append((replace(one, axle=""), [one.axle]))
        else:
            same.append(one.axle)
    return groups

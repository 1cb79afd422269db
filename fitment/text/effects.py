"""Levers in the words and units of the hand: what a change gives or costs at the tightest places.

First order, toe set again after every change: right for the step that is named, a direction
for larger ones. Millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fitment.engine.model import CornerAnswer, Effect, SpotAnswer
from fitment.engine.words import worst_spot

if TYPE_CHECKING:
    from shop.models import Part

#: Places that have a column of their own, the tightest first.
PLACES_SHOWN = 4
#: Levers that are said in sentences, those that do most first.
SENTENCES = 3
#: Less than this is not worth a word: mm of room, degrees of camber.
LEAST_MM, LEAST_DEG = 0.05, 0.01
#: A place at which no lever does more than this, mm per unit, is moved by none.
LEAST_PER_UNIT = 0.01


@dataclass(frozen=True)
class Phrase:
    """How a change reads in either direction, ``{by}`` standing for its size, and a usual size."""

    more: str
    less: str
    step: float


PHRASES: dict[str, Phrase] = {
    "top_mount_in_mm": Phrase("top mount {by} inboard", "top mount {by} outboard", 3),
    "top_mount_back_mm": Phrase("top mount {by} rearward", "top mount {by} forward", 3),
    "lower_arm_out_mm": Phrase(
        "lower ball joint {by} outboard", "lower ball joint {by} inboard", 2
    ),
    "upper_arm_in_mm": Phrase("upper ball joint {by} inboard", "upper ball joint {by} outboard", 2),
    "knuckle_camber_deg": Phrase(
        "knuckle turned {by} top outboard", "knuckle turned {by} top inboard", 0.5
    ),
    "ride_height_mm": Phrase("car {by} higher", "car {by} lower", 10),
    "bump_stop_mm": Phrase("{by} more packer", "{by} less packer", 5),
    "camber": Phrase("camber {by} more positive", "camber {by} more negative", 0.5),
    "spacer": Phrase("{by} of spacer", "{by} less spacer", 3),
    "wheel offset": Phrase("a wheel with {by} more offset", "a wheel with {by} less offset", 5),
    "section width": Phrase("a tyre {by} wider", "a tyre {by} narrower", 10),
    "overall diameter": Phrase("a tyre {by} taller", "a tyre {by} lower", 10),
}
ROD_STEP = 1.0
#: Levers that cannot be taken below nothing, with where the corner says how much there is.
FROM_NOTHING = ("spacer", "bump_stop_mm")


@dataclass(frozen=True)
class LeverRow:
    """One change: its words, its effect on camber (°) and on each place shown (mm)."""

    words: str
    camber_deg: float
    by_place: tuple[float, ...]


@dataclass(frozen=True)
class LeverTable:
    """Levers of a corner against its tightest places, and the strongest of them in sentences."""

    places: tuple[str, ...]
    rows: tuple[LeverRow, ...]
    sentences: tuple[str, ...]


def effect_table(
    answer: CornerAnswer, *, there: Mapping[str, float], parts: Mapping[str, Part]
) -> LeverTable | None:
    """The table of one corner; None where it has no levers.

    ``there`` says how much spacer and packer there is to take away; ``parts`` by adjuster the
    part that sets it, for its shims, marks and turns.
    """
    worst = worst_spot(answer)
    if worst is None or not answer.effects:
        return None
    order = _tightest(answer, worst)
    if not _moves(answer, order[0]):
        return None
    steps = [
        (effect, words, factor)
        for effect in answer.effects
        for words, factor in [_step(effect, effect.by_place[order[0]], there, parts)]
    ]
    steps.sort(key=lambda step: -abs(step[0].by_place[order[0]] * step[2]))
    places = [answer.places[index].place for index in order]
    rows = [
        LeverRow(
            words=words[:1].upper() + words[1:],
            camber_deg=effect.camber_deg * factor,
            by_place=tuple(effect.by_place[index] * factor for index in order),
        )
        for effect, words, factor in steps
    ]
    said = [row for row in rows if abs(row.by_place[0]) >= LEAST_MM][:SENTENCES]
    return LeverTable(
        tuple(places[:PLACES_SHOWN]),
        tuple(LeverRow(row.words, row.camber_deg, row.by_place[:PLACES_SHOWN]) for row in rows),
        tuple(effect_sentence(row, places) for row in said),
    )


def effect_sentence(row: LeverRow, places: list[str]) -> str:
    """What a change gives or costs at the first place, and where it does most of the opposite."""
    first = row.by_place[0]
    parts = [f"{row.words} {_does(first, places[0])}"]
    against = min(
        range(len(places)), key=lambda index: row.by_place[index] * (1 if first > 0 else -1)
    )
    if row.by_place[against] * first < 0 and abs(row.by_place[against]) >= LEAST_MM:
        parts.append(f"and {_does(row.by_place[against], places[against])}")
    sentence = " ".join(parts)
    if abs(row.camber_deg) >= LEAST_DEG:
        side = "more negative" if row.camber_deg < 0 else "more positive"
        sentence += f"; camber becomes {abs(row.camber_deg):.2f}° {side}"
    return sentence + "."


def _does(change: float, place: str) -> str:
    return f"{'gives' if change > 0 else 'costs'} {abs(change):.1f} mm at the {place}"


def _tightest(answer: CornerAnswer, worst: SpotAnswer) -> list[int]:
    """Places by what they have to spare, the one that decides first; what no lever moves last."""

    def rank(index: int) -> tuple[bool, bool, float]:
        place = answer.places[index]
        spare = place.clearance_mm - place.needed_mm
        return (not _moves(answer, index), place is not worst, spare)

    return sorted(range(len(answer.places)), key=rank)


def _moves(answer: CornerAnswer, index: int) -> bool:
    """Whether any lever does something at a place."""
    return any(abs(effect.by_place[index]) >= LEAST_PER_UNIT for effect in answer.effects)


def _step(
    effect: Effect, at_worst: float, there: Mapping[str, float], parts: Mapping[str, Part]
) -> tuple[str, float]:
    """Words of a usual step of a lever and how many units it is, in the direction that gives."""
    phrase = PHRASES.get(effect.name) or _rod_phrase(effect.name)
    size, words = _hand(parts.get(effect.name), phrase.step, effect.unit)
    sign = -1.0 if at_worst < 0 else 1.0
    if sign < 0 and effect.name in FROM_NOTHING:
        left = there.get(effect.name, 0.0)
        if left <= 0:
            sign = 1.0
        elif left < size:
            size, words = left, _length(left, effect.unit)
    return (phrase.more if sign > 0 else phrase.less).format(by=words), sign * size


def _rod_phrase(name: str) -> Phrase:
    rod = name.removeprefix("rod:")
    return Phrase(f"link “{rod}” {{by}} longer", f"link “{rod}” {{by}} shorter", ROD_STEP)


def _hand(part: Part | None, step: float, unit: str) -> tuple[float, str]:
    """One step of the hand at a part: a turn, a shim, a mark; a usual step where none is known."""
    if part is not None and part.thread_pitch_mm:
        turn = part.thread_pitch_mm * (part.threads or 1)
        return turn, f"one turn ({_length(turn, unit)})"
    if part is not None and part.shim_mm:
        return part.shim_mm, f"one shim ({_length(part.shim_mm, unit)})"
    if part is not None and part.mark_size:
        return part.mark_size, f"one mark ({_length(part.mark_size, unit)})"
    return step, _length(step, unit)


def _length(value: float, unit: str) -> str:
    return f"{value:g}°" if unit == "°" else f"{value:g} mm"

"""Effects in the words and units of the hand: what a change gives or costs at the tightest places.

First order, toe set again after every change: right for the step that is named, a direction
for larger ones. Millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from alignment.geometry.adjuster_units import ROD_PREFIX
from common.message import Message, message
from fitment.engine.deciding import worst_spot
from fitment.engine.model import CornerAnswer, Effect, SpotAnswer

if TYPE_CHECKING:
    from shop.models import Part

#: Places that have a column of their own, the tightest first.
PLACES_SHOWN = 4
#: Effects that are said in sentences, those that do most first.
SENTENCES = 3
#: Less than this is not worth a word: mm of clearance, degrees of camber.
LEAST_MM, LEAST_DEG = 0.05, 0.01
#: A spot at which no effect does more than this, mm per unit, is moved by none.
LEAST_PER_UNIT = 0.01


#: A usual step of each effect, in its unit.
STEPS: dict[str, float] = {
    "top_mount_in_mm": 3,
    "top_mount_back_mm": 3,
    "lower_arm_out_mm": 2,
    "upper_arm_in_mm": 2,
    "knuckle_camber_deg": 0.5,
    "ride_height_mm": 10,
    "bump_stop_mm": 5,
    "camber": 0.5,
    "spacer": 3,
    "wheel offset": 5,
    "section width": 10,
    "overall diameter": 10,
}
ROD_STEP = 1.0
#: What cannot be taken below zero, with where the corner says how much there is.
FROM_NOTHING = ("spacer", "bump_stop_mm")


@dataclass(frozen=True)
class EffectRow:
    """One change, its effect on camber (°) and on each place shown (mm)."""

    change: Message
    camber_deg: float
    by_place: tuple[float, ...]


@dataclass(frozen=True)
class EffectTable:
    """Effects at a corner on its tightest spots, and the strongest of them in sentences."""

    places: tuple[str, ...]
    rows: tuple[EffectRow, ...]
    sentences: tuple[Message, ...]


def effect_table(
    answer: CornerAnswer, *, there: Mapping[str, float], parts: Mapping[str, Part]
) -> EffectTable | None:
    """The table of one corner; None where it has no effects.

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
        (effect, told, factor)
        for effect in answer.effects
        for told, factor in [_step(effect, effect.by_place[order[0]], there, parts)]
    ]
    steps.sort(key=lambda step: -abs(step[0].by_place[order[0]] * step[2]))
    places = [answer.places[index].place for index in order]
    rows = [
        EffectRow(
            change=told,
            camber_deg=effect.camber_deg * factor,
            by_place=tuple(effect.by_place[index] * factor for index in order),
        )
        for effect, told, factor in steps
    ]
    strongest = [row for row in rows if abs(row.by_place[0]) >= LEAST_MM][:SENTENCES]
    return EffectTable(
        tuple(places[:PLACES_SHOWN]),
        tuple(replace(row, by_place=row.by_place[:PLACES_SHOWN]) for row in rows),
        tuple(effect_told(row, places) for row in strongest),
    )


def effect_told(row: EffectRow, places: list[str]) -> Message:
    """What a change gives or costs at the first place, and where it does most of the opposite."""
    first = row.by_place[0]
    does: tuple[Message, ...] = (_does(first, places[0]),)
    against = min(
        range(len(places)), key=lambda index: row.by_place[index] * (1 if first > 0 else -1)
    )
    if row.by_place[against] * first < 0 and abs(row.by_place[against]) >= LEAST_MM:
        does = (*does, _does(row.by_place[against], places[against]))
    told = message("effect.does", change=row.change, does=does)
    if abs(row.camber_deg) < LEAST_DEG:
        return told
    side = "negative" if row.camber_deg < 0 else "positive"
    return message(f"effect.camber-{side}", effect=told, by_deg=abs(row.camber_deg))


def _does(change: float, place: str) -> Message:
    code = "effect.gains" if change > 0 else "effect.costs"
    return message(code, by_mm=abs(change), spot=place)


def _tightest(answer: CornerAnswer, worst: SpotAnswer) -> list[int]:
    """Spots by what they have to spare, the deciding one first; what nothing moves last."""

    def rank(index: int) -> tuple[bool, bool, float]:
        place = answer.places[index]
        return (not _moves(answer, index), place is not worst, place.spare_mm)

    return sorted(range(len(answer.places)), key=rank)


def _moves(answer: CornerAnswer, index: int) -> bool:
    """Whether any adjustment does something at a spot."""
    return any(abs(effect.by_place[index]) >= LEAST_PER_UNIT for effect in answer.effects)


def _step(
    effect: Effect, at_worst: float, there: Mapping[str, float], parts: Mapping[str, Part]
) -> tuple[Message, float]:
    """A usual step of an effect and how many units it is, in the direction that gives."""
    size, by = _hand(parts.get(effect.name), STEPS.get(effect.name, ROD_STEP), effect.unit)
    sign = -1.0 if at_worst < 0 else 1.0
    if sign < 0 and effect.name in FROM_NOTHING:
        left = there.get(effect.name, 0.0)
        if left <= 0:
            sign = 1.0
        elif left < size:
            size, by = left, _size(left, effect.unit)
    return _change(effect.name, sign > 0, by), sign * size


def _change(name: str, more: bool, by: Message) -> Message:
    way = "more" if more else "less"
    if name.startswith(ROD_PREFIX):
        return message(f"change-{way}.rod", name=name.removeprefix(ROD_PREFIX), by=by)
    return message(f"change-{way}.{name}", by=by)


def _hand(part: Part | None, step: float, unit: str) -> tuple[float, Message]:
    """One step of the hand at a part: a turn, a shim, a mark; a usual step where none is known."""
    if part is not None and part.thread_pitch_mm:
        turn = part.thread_pitch_mm * (part.threads or 1)
        return turn, message("hand.turn", size=_size(turn, unit))
    if part is not None and part.shim_mm:
        return part.shim_mm, message("hand.shim", size=_size(part.shim_mm, unit))
    if part is not None and part.mark_size:
        return part.mark_size, message("hand.mark", size=_size(part.mark_size, unit))
    return step, _size(step, unit)


def _size(value: float, unit: str) -> Message:
    if unit == "°":
        return message("hand.deg", size_deg=value)
    return message("hand.mm", size_mm=value)

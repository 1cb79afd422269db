"""One corner with its tyre new, worn, grown at speed, and as large as the standard lets it be.

The room of a corner does not depend on the tyre, so it is worked out once and every state is held
against it. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from common.message import Message, message
from fitment.engine.check import corner_answer
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Corner, CornerAnswer, Duty, Tyre
from fitment.engine.solid.mounted import Mounted, mounted

#: Tread that goes from new to the usual end, where the check states none: from 8 mm to 2 mm left;
#: common practice, no source.
WORN_MM = 6.0
#: Growth of the radius at motorway speed, where the check states none; judgement, no source.
GROWTH_MM = 3.0


@dataclass(frozen=True)
class TyreState:
    """A tyre in one state: what it is, how large it is there, and what the corner answers.

    ``judged`` marks the state that the check itself used; ``why`` says where an amount is from
    that was not stated.
    """

    state: tuple[Message, ...]
    size: Mounted
    answer: CornerAnswer
    judged: bool = False
    why: Message | None = None

    @property
    def told(self) -> Message:
        """The state as one phrase."""
        return message("tyre.state", parts=self.state)


def tyre_states(name: str, corner: Corner, duty: Duty) -> list[TyreState]:
    """The states of a corner's tyre, smallest first, the one that was judged marked.

    Raises what settling a corner raises.
    """
    setting = setting_of(name, corner, duty)
    found = []
    for state, tyre, why in _states(corner.tyre):
        this = replace(corner, tyre=tyre)
        answer = corner_answer(replace(setting, corner=this))
        size = mounted(this.wheel, tyre)
        found.append(TyreState(state, size, answer, tyre == corner.tyre, why))
    found.sort(key=lambda state: (state.size.overall_diameter_mm, state.size.section_width_mm))
    return found


def _states(tyre: Tyre) -> Iterator[tuple[tuple[Message, ...], Tyre, Message | None]]:
    """What the tyre is, the tyre in that state, and where its amount is from."""
    new = replace(tyre, worn_mm=0.0, growth_mm=0.0, largest_allowed=False)
    worn, growth = tyre.worn_mm or WORN_MM, tyre.growth_mm or GROWTH_MM
    from_new = None if tyre.worn_mm else message("tyre-why.worn")
    at_speed = None if tyre.growth_mm else message("tyre-why.grown")
    is_new, largest = message("tyre.new"), message("tyre.largest")
    is_worn, grown = message("tyre.worn", worn_mm=worn), message("tyre.grown", growth_mm=growth)
    states: list[tuple[tuple[Message, ...], Tyre, Message | None]] = [
        ((is_worn,), replace(new, worn_mm=worn), from_new),
        ((is_new, message("tyre.standing")), new, None),
        ((is_new, grown), replace(new, growth_mm=growth), at_speed),
        ((is_new, largest), replace(new, largest_allowed=True), why_largest(tyre)),
        ((largest, grown), replace(new, largest_allowed=True, growth_mm=growth), at_speed),
    ]
    if tyre not in [state for _, state, _ in states]:
        states.append((state_of(tyre), tyre, None))
    yield from states


def why_largest(tyre: Tyre) -> Message:
    """By what a tyre of this size may be larger, and where that stands."""
    more = f"{'-rib' if tyre.protective_rib else ''}{'-snow' if tyre.snow else ''}"
    return message(f"tyre-why.largest{more}")


def state_of(tyre: Tyre) -> tuple[Message, ...]:
    """What makes a tyre differ from a new one that stands; nothing for such a one."""
    told = []
    if tyre.largest_allowed:
        told.append(message("tyre.largest"))
    if tyre.worn_mm:
        told.append(message("tyre.worn", worn_mm=tyre.worn_mm))
    if tyre.growth_mm:
        told.append(message("tyre.grown", growth_mm=tyre.growth_mm))
    return tuple(told)

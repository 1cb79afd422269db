"""One corner with its tyre new, worn, grown at speed, and as large as the standard lets it be.

The room of a corner knows nothing of the tyre, so it is worked out once and every state is held
against it. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

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
    """A tyre in one state: in words, how large it is there, and what the corner answers.

    ``judged`` marks the state that the check itself went by; ``why`` says where an amount is from
    that nobody stated.
    """

    words: str
    size: Mounted
    answer: CornerAnswer
    judged: bool = False
    why: str = ""


def tyre_states(name: str, corner: Corner, duty: Duty) -> list[TyreState]:
    """The states of a corner's tyre, smallest first, the one that was judged marked.

    Raises what settling a corner raises.
    """
    setting = setting_of(name, corner, duty)
    found = []
    for words, tyre, why in _states(corner.tyre):
        this = replace(corner, tyre=tyre)
        answer = corner_answer(replace(setting, corner=this))
        size = mounted(this.wheel, tyre)
        found.append(TyreState(words, size, answer, tyre == corner.tyre, why))
    found.sort(key=lambda state: (state.size.overall_diameter_mm, state.size.section_width_mm))
    return found


def _states(tyre: Tyre) -> Iterator[tuple[str, Tyre, str]]:
    """Words, the tyre in that state, and where its amount is from."""
    new = replace(tyre, worn_mm=0.0, growth_mm=0.0, largest_allowed=False)
    worn, growth = tyre.worn_mm or WORN_MM, tyre.growth_mm or GROWTH_MM
    from_new = "" if tyre.worn_mm else "from 8 mm of tread to 2 mm: common practice, no source"
    at_speed = "" if tyre.growth_mm else "judgement, no source"
    states = [
        (f"{worn:g} mm worn", replace(new, worn_mm=worn), from_new),
        ("new, standing", new, ""),
        (f"new, grown {growth:g} mm at speed", replace(new, growth_mm=growth), at_speed),
        (
            "new, the largest that the standard allows",
            replace(new, largest_allowed=True),
            "4 % wider and taller: UN R30, 6.1.4 and 6.1.5, from memory",
        ),
        (
            f"the largest, grown {growth:g} mm",
            replace(new, largest_allowed=True, growth_mm=growth),
            at_speed,
        ),
    ]
    if tyre not in [state for _, state, _ in states]:
        states.append((_said(tyre), tyre, ""))
    yield from states


def _said(tyre: Tyre) -> str:
    said = {
        "the largest that the standard allows": tyre.largest_allowed,
        f"{tyre.worn_mm:g} mm worn": tyre.worn_mm,
        f"grown {tyre.growth_mm:g} mm at speed": tyre.growth_mm,
    }
    return ", ".join(words for words, holds in said.items() if holds)

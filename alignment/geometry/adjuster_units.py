"""Adjusters in the units of the hand: marks, shims, flats and turns.

Positions in the model are millimetres (degrees at the knuckle) from the survey pose. A hand
counts marks, turns a thread by sixths, and adds or takes shims.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from alignment.geometry.kinds import ADJUSTERS
from alignment.geometry.kinds import ROD_PREFIX as ROD_PREFIX
from alignment.geometry.units import DEGREES, FLATS, MARKS, MILLIMETRES, SHIMS, TURNS
from common.message import Message, message

FLATS_IN_A_TURN = 6
#: All rods together.
RODS = "rods_mm"
#: What camber can be set with, but for rods.
CAMBER_METHODS = ("top_mount", "lower_arm", "upper_arm", "knuckle")


def adjuster_message(name: str, kind: str = "adjuster") -> Message:
    """An adjuster by its name, or with ``kind`` "given-by" the parts that give more of it."""
    if name.startswith(ROD_PREFIX):
        return message(f"{kind}.rod", name=name.removeprefix(ROD_PREFIX))
    if name in ADJUSTERS or name == RODS:
        return message(f"{kind}.{name}")
    return message(f"{kind}.other", name=name)


def camber_method(name: str) -> Message:
    """What camber is set with, by its name or ``rod:NAME``."""
    if name.startswith(ROD_PREFIX):
        return message("camber-method.rod", name=name.removeprefix(ROD_PREFIX))
    if name in CAMBER_METHODS:
        return message(f"camber-method.{name}")
    return message("camber-method.other", name=name)


@dataclass(frozen=True)
class HandSetting:
    """How a part is set by hand; None where not stated. ``step``, ``mark`` and ``shim`` in
    millimetres (``step`` and ``mark`` in degrees at the knuckle), ``pitch_mm`` of the thread,
    ``threads`` 2 where both ends turn."""

    step: float | None = None
    mark: float | None = None
    shim_mm: float | None = None
    pitch_mm: float | None = None
    threads: int = 1

    @property
    def turn_mm(self) -> float | None:
        """What one turn changes."""
        return None if self.pitch_mm is None else self.pitch_mm * self.threads

    @property
    def least(self) -> float:
        """The step in which positions are found; 0 where the part can stand anywhere."""
        return self.step or self.shim_mm or (self.mark / 2 if self.mark else 0.0)

    def position(self, value: float, unit: str) -> float | None:
        """A recorded position in millimetres or degrees; None where its unit has no size here."""
        sizes = {
            MILLIMETRES: 1.0,
            DEGREES: 1.0,
            SHIMS: 1.0,
            MARKS: self.mark,
            TURNS: self.turn_mm,
            FLATS: None if self.turn_mm is None else self.turn_mm / FLATS_IN_A_TURN,
        }
        size = sizes.get(unit)
        return None if size is None else value * size


def turns_message(turns: float) -> Message:
    """Turns to the nearest flat: ``1 1/3 turns``, ``1/2 turn``; less than half a flat is said."""
    flats = round(abs(turns) * FLATS_IN_A_TURN)
    if flats == 0:
        return message("turns.less")
    whole, rest = divmod(flats, FLATS_IN_A_TURN)
    part = str(Fraction(rest, FLATS_IN_A_TURN)) if rest else ""
    number = " ".join(text for text in (str(whole) if whole else "", part) if text)
    return message("turns.one" if flats <= FLATS_IN_A_TURN else "turns.many", number=number)

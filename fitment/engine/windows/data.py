"""A window as plain data: what was asked over one dimension, and what clears. Millimetres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from common.message import Message
from common.verdicts import VERDICTS, Verdict
from fitment.engine.model import SpotAnswer

OFFSET, SPACER, WIDTH = "offset", "spacer", "width"
#: Values are counted in tenths of a millimetre from the one that is tried.
TENTHS = 10
#: Steps between values that are asked in any case.
STEP = 25

#: A spot: the place of its side among those that were asked, and its name.
Spot = tuple[int, str]


@dataclass(frozen=True)
class Asked:
    """What the check says at one value: the verdict over all sides, and every spot's answer.

    ``clears``: whether all that was measured clears; a spot of which nothing is known says nothing.
    """

    at_mm: float
    verdict: Verdict
    spots: Mapping[Spot, SpotAnswer]
    clears: bool


@dataclass(frozen=True)
class Interval:
    """Values that clear, both ends included. ``is_open``: whether it goes on below, and above,
    what was asked."""

    low_mm: float
    high_mm: float
    is_open: tuple[bool, bool] = (False, False)

    @property
    def length_mm(self) -> float:
        """From end to end."""
        return self.high_mm - self.low_mm

    def apart_mm(self, at_mm: float) -> float:
        """How far a value lies from it; 0 inside."""
        return max(self.low_mm - at_mm, at_mm - self.high_mm, 0.0)


@dataclass(frozen=True)
class Window:
    """Clearance over one dimension.

    ``asked`` rises in value; ``clears`` are the intervals that clear, those shorter than
    ``step_mm`` and between two values that do not clear excepted. ``between_mm`` bounds, by spot,
    how far its clearance may lie from the straight line between two values. ``missing`` says
    what was not measured, where nothing can clear for that. Of an offset, ``spacer`` are the
    spacers with which the wheel clears as it is, nearest to the one that is tried.
    """

    quantity: str
    now_mm: float
    asked: tuple[Asked, ...]
    clears: tuple[Interval, ...]
    between_mm: Mapping[Spot, float]
    missing: tuple[Message, ...] = ()
    spacer: Interval | None = None
    spacer_now_mm: float = 0.0
    step_mm: float = STEP / TENTHS

    @property
    def unknown(self) -> tuple[str, ...]:
        """Spots of which nothing is known, and which no interval speaks for."""
        names = (s for one in self.asked for (_, s), a in one.spots.items() if not a.is_measured)
        return tuple(dict.fromkeys(names))

    @property
    def nearest(self) -> Interval | None:
        """The interval that clears nearest to what is tried."""
        return min(self.clears, key=lambda one: one.apart_mm(self.now_mm), default=None)

    def limiting(self, most: int) -> tuple[Spot, ...]:
        """The spots that are tightest somewhere, the tightest of all first; ``most`` at most."""
        least: dict[Spot, float] = {}
        for one in self.asked:
            known = {spot: answer for spot, answer in one.spots.items() if answer.is_measured}
            worst_first = sorted(
                known, key=lambda key: (VERDICTS.index(known[key].verdict), known[key].spare_mm)
            )
            for spot in worst_first[:1]:
                least[spot] = min(least.get(spot, np.inf), known[spot].spare_mm)
        return tuple(sorted(least, key=lambda key: least[key])[:most])


class NoWindow(ValueError):
    """A dimension that cannot be changed: a section that was traced keeps its own width."""

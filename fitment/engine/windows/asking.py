"""The check asked at values of one dimension of wheel or tyre, each once. Millimetres."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message
from common.units import MM_PER_INCH
from common.verdicts import worst
from fitment.engine import defaults
from fitment.engine.check import Decided, decided
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import NOMINAL, Corner
from fitment.engine.solid.boundary import Boundary
from fitment.engine.solid.designation import BadSize, size_of
from fitment.engine.solid.mounted import BadSection, mounted
from fitment.engine.solid.section import FINE_ERROR_MM, section_of
from fitment.engine.verdict import judge_whole
from fitment.engine.windows.data import TENTHS, Asked


class Asking:
    """The check asked at values of one dimension, each once."""

    def __init__(
        self, sides: Sequence[Setting], now_mm: float, made: Callable[[Corner, float], Corner]
    ) -> None:
        self._sides, self._made = sides, made
        self._base = round(now_mm, 1)
        self._said: dict[int, tuple[Asked, tuple[Decided, ...]] | None] = {}

    def at(self, tenths: int) -> float:
        """The value so many tenths from the one that is tried."""
        return round(self._base + tenths / TENTHS, 1)

    def tenths(self, at_mm: float, *, up: bool = False) -> int:
        """The tenths of a value, rounded down or up."""
        exact = (at_mm - self._base) * TENTHS
        return int(np.ceil(exact - 1e-6)) if up else int(np.floor(exact + 1e-6))

    def say(self, tenths: int) -> Asked | None:
        """What the check says there; None where wheel and tyre describe no section."""
        said = self._ask(tenths)
        return None if said is None else said[0]

    def clears(self, tenths: int) -> bool:
        """Whether the check lets it clear there."""
        said = self.say(tenths)
        return said is not None and said.clears

    def missing(self, tenths: int) -> tuple[Message, ...]:
        """What was not measured there."""
        said = self._ask(tenths)
        return () if said is None else tuple(m for one in said[1] for m in one.missing)

    @property
    def all_said(self) -> list[tuple[int, Asked]]:
        """All that was asked, in the order of its value."""
        return [(k, said[0]) for k, said in sorted(self._said.items()) if said is not None]

    def _ask(self, tenths: int) -> tuple[Asked, tuple[Decided, ...]] | None:
        if tenths not in self._said:
            self._said[tenths] = self._asked(self.at(tenths))
        return self._said[tenths]

    def _asked(self, at_mm: float) -> tuple[Asked, tuple[Decided, ...]] | None:
        try:
            settings = [replace(s, corner=self._made(s.corner, at_mm)) for s in self._sides]
            whole = tuple(decided(setting) for setting in settings)
        except (BadSection, BadSize):
            return None
        spots = {
            (side, spot.place): spot for side, one in enumerate(whole) for spot in one.parts.spots
        }
        verdict = worst(one.verdict for one in whole)
        return Asked(at_mm, verdict, spots, all(_clears(one) for one in whole)), whole


def _clears(one: Decided) -> bool:
    """Whether a side clears as far as its spots are measured; where it was not looked at all round,
    it does not."""
    known = [spot.verdict for spot in one.parts.spots if spot.is_measured]
    verdict, _ = judge_whole(known, one.parts.any_touch_chance, defaults.CORNER_MAY_TOUCH)
    return verdict.clears and not one.missing


def with_offset(corner: Corner, at_mm: float) -> Corner:
    return replace(corner, wheel=replace(corner.wheel, offset_mm=at_mm))


def with_spacer(corner: Corner, at_mm: float) -> Corner:
    return replace(corner, wheel=replace(corner.wheel, spacer_mm=at_mm))


def with_width(corner: Corner, at_mm: float) -> Corner:
    """The corner with a section so wide as mounted, known as well as the tyre's own width."""
    wheel, tyre = corner.wheel, corner.tyre
    more = at_mm - mounted(wheel, tyre).section_width_mm
    if tyre.largest_allowed:
        more /= defaults.LARGEST_WIDTH
    if tyre.section_width_mm is None:
        nominal = size_of(tyre.size).section_width_mm(wheel.rim_mm / MM_PER_INCH)
        tyre = replace(tyre, section_width_mm=nominal + more, width_known=NOMINAL)
    else:
        tyre = replace(tyre, section_width_mm=tyre.section_width_mm + more)
    return replace(corner, tyre=tyre)


def widened(corner: Corner) -> Callable[[float, float], float]:
    """How far the outline of one width lies from that of another at most, mm."""

    def moved(one_mm: float, other_mm: float) -> float:
        one, other = (
            section_of(corner.wheel, with_width(corner, at).tyre).tyre_outline_mm
            for at in (one_mm, other_mm)
        )
        far = max(_farthest(one, other), _farthest(other, one))
        return far + 2 * FINE_ERROR_MM  # chords of both outlines

    return moved


def _farthest(points: Array, outline: Array) -> float:
    """How far the farthest of some points lies from a closed outline."""
    boundary = Boundary(outline, np.roll(outline, -1, axis=0))
    return float(np.abs(boundary.distance(points[:, 0], points[:, 1])).max())

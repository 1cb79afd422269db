"""Windows: over which offsets, spacers and section widths a corner clears, by the check itself.

One dimension of wheel or tyre is changed, all else stays, and the check of ``check.decided`` is
asked anew at each value: no clearance is taken from a slope. A room does not depend on the wheel,
so it is settled once. Values are whole tenths of a millimetre; where an interval ends, the last
tenth clears and the next does not, both by a check.

Between two values that were asked, a clearance lies near the straight line: a solid of which no
point moves by more than d changes no signed distance by more than d. For an offset d is the
step itself, for a width the farthest that one outline lies from the other.

Millimetres; widths are those of the mounted section.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from statistics import NormalDist

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message
from common.units import MM_PER_INCH
from common.verdicts import VERDICTS, Verdict, worst
from fitment.engine import defaults
from fitment.engine.check import Decided, decided
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import NOMINAL, Corner, SpotAnswer
from fitment.engine.solid.boundary import Boundary
from fitment.engine.solid.designation import BadSize, size_of
from fitment.engine.solid.mounted import BadSection, mounted
from fitment.engine.solid.section import FINE_ERROR_MM, section_of
from fitment.engine.verdict import judge_whole

OFFSET, SPACER, WIDTH = "offset", "spacer", "width"
#: Values are counted in tenths of a millimetre from the one that is tried.
TENTHS = 10
#: Steps between values that are asked in any case; how far they reach, and how far at most.
STEP, REACH, FARTHEST = 25, 100, 300
#: A clearance under so many of its sigmas is where a spot is about to be doubtful.
SIGMAS = NormalDist().inv_cdf(1.0 - defaults.MAY_TOUCH)
#: No spacer is thicker, mm.
THICKEST_MM = 30.0

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


def offset_window(sides: Sequence[Setting]) -> Window:
    """Clearance over the wheel's offset; ``sides`` are the corners of an axle made ready."""
    now = sides[0].corner.wheel.offset_mm
    found = _window(OFFSET, now, _Asking(sides, now, _with_offset), lambda a, b: abs(b - a))
    spacer_now = sides[0].corner.wheel.spacer_mm
    return replace(found, spacer=_spacers(sides, found), spacer_now_mm=spacer_now)


def width_window(sides: Sequence[Setting]) -> Window:
    """Clearance over the section width as mounted.

    Known as well as the tyre's own is. Raises NoWindow for a section that was traced.
    """
    corner = sides[0].corner
    if corner.tyre.profile:
        raise NoWindow("the section of this tyre was traced")
    now = mounted(corner.wheel, corner.tyre).section_width_mm
    return _window(WIDTH, now, _Asking(sides, now, _with_width), _widened(corner))


def _spacers(sides: Sequence[Setting], offsets: Window) -> Interval | None:
    """The spacers with which the wheel clears as it is, nearest to what is tried.

    Asked of the check like the rest: a spacer carries the spokes along, an offset does not.
    """
    wheel = sides[0].corner.wheel
    near = offsets.nearest
    if near is None:
        return None
    asking = _Asking(sides, wheel.spacer_mm, _with_spacer)
    low, high = asking.tenths(0.0, up=True), asking.tenths(THICKEST_MM)
    thinnest = asking.tenths(wheel.spacer_mm + offsets.now_mm - near.high_mm)
    thickest = asking.tenths(wheel.spacer_mm + offsets.now_mm - near.low_mm)
    tried = (0, thinnest, thickest, (thinnest + thickest) // 2, low)
    inside = [k for k in tried if low <= k <= high and asking.clears(k)]
    if not inside:
        return None
    first = _walked(asking, inside[0], low, -1)
    last = _walked(asking, inside[0], high, 1)
    return Interval(asking.at(first), asking.at(last), (False, last == high))


def _walked(asking: _Asking, inside: int, bound: int, way: int) -> int:
    """The last tenth that clears, found step by step towards a bound."""
    while inside != bound:
        further = inside + way * min(STEP, abs(bound - inside))
        if not asking.clears(further):
            return _end(asking, inside, further, way)
        inside = further
    return inside


class _Asking:
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


def _with_offset(corner: Corner, at_mm: float) -> Corner:
    return replace(corner, wheel=replace(corner.wheel, offset_mm=at_mm))


def _with_spacer(corner: Corner, at_mm: float) -> Corner:
    return replace(corner, wheel=replace(corner.wheel, spacer_mm=at_mm))


def _with_width(corner: Corner, at_mm: float) -> Corner:
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


def _widened(corner: Corner) -> Callable[[float, float], float]:
    """How far the outline of one width lies from that of another at most, mm."""

    def moved(one_mm: float, other_mm: float) -> float:
        one, other = (
            section_of(corner.wheel, _with_width(corner, at).tyre).tyre_outline_mm
            for at in (one_mm, other_mm)
        )
        far = max(_farthest(one, other), _farthest(other, one))
        return far + 2 * FINE_ERROR_MM  # chords of both outlines

    return moved


def _farthest(points: Array, outline: Array) -> float:
    """How far the farthest of some points lies from a closed outline."""
    boundary = Boundary(outline, np.roll(outline, -1, axis=0))
    return float(np.abs(boundary.distance(points[:, 0], points[:, 1])).max())


# Searching


def _window(
    quantity: str, now_mm: float, asking: _Asking, moved: Callable[[float, float], float]
) -> Window:
    low, high = _looked_at(asking, below=REACH if quantity == WIDTH else FARTHEST)
    grid = range(low, high + 1, STEP)
    clears = []
    for does, run in groupby(grid, key=asking.clears):
        values = list(run)
        if does:
            first = _end(asking, values[0], max(values[0] - STEP, low), -1)
            last = _end(asking, values[-1], min(values[-1] + STEP, high), 1)
            clears.append(Interval(asking.at(first), asking.at(last), (first == low, last == high)))
    asked = [said for _, said in asking.all_said]
    return Window(
        quantity=quantity,
        now_mm=now_mm,
        asked=tuple(asked),
        clears=tuple(clears),
        between_mm=_between(asked, moved),
        missing=() if clears else asking.missing(0),
    )


def _looked_at(asking: _Asking, below: int) -> tuple[int, int]:
    """The lowest and highest tenth that is asked: beyond the usual reach as long as it clears
    there (downwards no farther than ``below``), or where nothing clears yet, up to the farthest;
    and only where a section is."""
    low = _outward(asking, -1, below)
    high = _outward(asking, 1, FARTHEST)
    if not asking.missing(0) and not any(asking.clears(k) for k in range(low, high + 1, STEP)):
        low, high = _as_far_as_there(asking, low, -1), _as_far_as_there(asking, high, 1)
    return low, high


def _outward(asking: _Asking, way: int, farthest: int) -> int:
    """Out to the usual reach, and on while it clears."""
    k = 0
    while abs(k) < farthest and (abs(k) < REACH or asking.clears(k)):
        if asking.say(k + way * STEP) is None:
            return k
        k += way * STEP
    return k


def _as_far_as_there(asking: _Asking, k: int, way: int) -> int:
    while abs(k) < FARTHEST and asking.say(k + way * STEP) is not None:
        k += way * STEP
        if asking.clears(k):
            break
    return k


def _end(asking: _Asking, inside: int, bound: int, way: int) -> int:
    """The last tenth that clears from one that does towards a bound.

    Safeguarded false position: every third question halves what is left.
    """
    if asking.clears(bound):
        return bound
    outside, asked = bound, 0
    while abs(outside - inside) > 1:
        asked += 1
        middle = (inside + outside) // 2
        if asked % 3 and (root := _root(asking, inside, outside)) is not None:
            nearest = round(inside + root * (outside - inside) - way * 0.5)
            middle = min(max(nearest, min(inside, outside) + 1), max(inside, outside) - 1)
        if asking.clears(middle):
            inside = middle
        else:
            outside = middle
    return inside


def _root(asking: _Asking, inside: int, outside: int) -> float | None:
    """The share of the way from inside to outside at which a spot's chance of a touch becomes too
    large, if its clearance and uncertainty were linear; None where that says nothing."""
    one, other = asking.say(inside), asking.say(outside)
    if one is None or other is None:
        return None
    shares = []
    for spot, there in other.spots.items():
        here = one.spots.get(spot)
        if here is None or not (here.is_measured and there.is_measured):
            continue
        spare_in, spare_out = (a.clearance_mm - SIGMAS * a.sigma_mm for a in (here, there))
        if spare_in > 0 > spare_out:
            shares.append(spare_in / (spare_in - spare_out))
    return min(shares, default=None)


def _between(asked: Sequence[Asked], moved: Callable[[float, float], float]) -> dict[Spot, float]:
    """By spot, how far a clearance may lie from the straight line between neighbours.

    A quantity that changes by no more than d from end to end, and by no more than its share of d
    between, strays from the line between ends that differ by c by (d² - c²) / 2d at most.
    """
    found: dict[Spot, float] = {}
    for one, other in pairwise(asked):
        far = moved(one.at_mm, other.at_mm)
        for spot, answer in one.spots.items():
            next_one = other.spots.get(spot)
            if next_one is None or not (answer.is_measured and next_one.is_measured):
                continue
            change = min(abs(next_one.clearance_mm - answer.clearance_mm), far)
            strays = (far**2 - change**2) / (2 * far)
            found[spot] = max(found.get(spot, 0.0), strays)
    return found

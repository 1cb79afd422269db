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

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from statistics import NormalDist

from fitment.engine import defaults
from fitment.engine.minimum.setting import Setting
from fitment.engine.solid.mounted import mounted
from fitment.engine.windows.asking import (
    Asking,
    widened,
    with_offset,
    with_spacer,
    with_width,
)
from fitment.engine.windows.data import (
    OFFSET,
    STEP,
    WIDTH,
    Asked,
    Interval,
    NoWindow,
    Spot,
    Window,
)

#: How far from the value that is tried others are asked in any case, and how far at most, in
#: tenths of a millimetre.
REACH, FARTHEST = 100, 300
#: A clearance under so many of its sigmas is where a spot is about to be doubtful.
SIGMAS = NormalDist().inv_cdf(1.0 - defaults.MAY_TOUCH)
#: No spacer is thicker, mm.
THICKEST_MM = 30.0


def offset_window(sides: Sequence[Setting]) -> Window:
    """Clearance over the wheel's offset; ``sides`` are the corners of an axle made ready."""
    now = sides[0].corner.wheel.offset_mm
    found = _window(OFFSET, now, Asking(sides, now, with_offset), lambda a, b: abs(b - a))
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
    return _window(WIDTH, now, Asking(sides, now, with_width), widened(corner))


def _spacers(sides: Sequence[Setting], offsets: Window) -> Interval | None:
    """The spacers with which the wheel clears as it is, nearest to what is tried.

    Asked of the check like the rest: a spacer carries the spokes along, an offset does not.
    """
    wheel = sides[0].corner.wheel
    near = offsets.nearest
    if near is None:
        return None
    asking = Asking(sides, wheel.spacer_mm, with_spacer)
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


def _walked(asking: Asking, inside: int, bound: int, way: int) -> int:
    """The last tenth that clears, found step by step towards a bound."""
    while inside != bound:
        further = inside + way * min(STEP, abs(bound - inside))
        if not asking.clears(further):
            return _end(asking, inside, further, way)
        inside = further
    return inside


# Searching


def _window(
    quantity: str, now_mm: float, asking: Asking, moved: Callable[[float, float], float]
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


def _looked_at(asking: Asking, below: int) -> tuple[int, int]:
    """The lowest and highest tenth that is asked: beyond the usual reach as long as it clears
    there (downwards no farther than ``below``), or where nothing clears yet, up to the farthest;
    and only where a section is."""
    low = _outward(asking, -1, below)
    high = _outward(asking, 1, FARTHEST)
    if not asking.missing(0) and not any(asking.clears(k) for k in range(low, high + 1, STEP)):
        low, high = _as_far_as_there(asking, low, -1), _as_far_as_there(asking, high, 1)
    return low, high


def _outward(asking: Asking, way: int, farthest: int) -> int:
    """Out to the usual reach, and on while it clears."""
    k = 0
    while abs(k) < farthest and (abs(k) < REACH or asking.clears(k)):
        if asking.say(k + way * STEP) is None:
            return k
        k += way * STEP
    return k


def _as_far_as_there(asking: Asking, k: int, way: int) -> int:
    while abs(k) < FARTHEST and asking.say(k + way * STEP) is not None:
        k += way * STEP
        if asking.clears(k):
            break
    return k


def _end(asking: Asking, inside: int, bound: int, way: int) -> int:
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


def _root(asking: Asking, inside: int, outside: int) -> float | None:
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

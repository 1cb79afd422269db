"""The use that a check is judged for: one profile, or the hardest of several at every point.

What clears the hardest of all clears each of them: it visits every pose that one of them visits,
loads the wheel as much as the hardest does, and asks for the larger margin.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from fitment.models import UseProfile
from shop.models.orders import AND_USE

if TYPE_CHECKING:
    from shop.models import WorkOrder

Document = dict[str, Any]
Point = tuple[float, float]
#: Points nearer to each other than this, in parts of the full lock, are one.
SAME = 1e-9


def use_of_order(order: WorkOrder) -> tuple[Document | None, tuple[str, ...]]:
    """The ``duty`` of an order's check file, and the uses for which there is no profile.

    None instead of a document while one of them is missing.
    """
    profiles = {row.name: row for row in UseProfile.objects.filter(name__in=order.uses)}
    without = tuple(name for name in order.uses if name not in profiles)
    if without:
        return None, without
    return hardest([profiles[name].as_document() for name in order.uses]), ()


def hardest(uses: Sequence[Mapping[str, Any]]) -> Document:
    """A use that is at every point as hard as the hardest of ``uses``, each a ``duty`` document."""
    if len(uses) == 1:
        return dict(uses[0])
    curve = [(float(x), float(y)) for x, y in uses[0]["envelope"]]
    for use in uses[1:]:
        curve = upper(curve, [(float(x), float(y)) for x, y in use["envelope"]])
    return {
        "name": AND_USE.join(str(use["name"]) for use in uses),
        "envelope": [[x, y] for x, y in curve],
        **{
            name: max(use[name] for use in uses)
            for name in ("droop_fraction", "lateral_g", "longitudinal_g", "inner")
        },
        "needed_mm": {
            kind: max(use["needed_mm"][kind] for use in uses) for kind in ("hard", "soft")
        },
    }


def upper(one: Sequence[Point], other: Sequence[Point]) -> list[Point]:
    """The upper of two piecewise straight curves over the same span, with their crossings."""
    places = sorted({x for x, _ in (*one, *other)})
    for left, right in pairwise(places):
        begins = _at(one, left) - _at(other, left)
        ends = _at(one, right) - _at(other, right)
        if begins * ends < 0:
            places.append(left + (right - left) * begins / (begins - ends))
    places.sort()
    points = [(x, max(_at(one, x), _at(other, x))) for x in places]
    return _without_idle(points)


def _at(curve: Sequence[Point], x: float) -> float:
    for (left, low), (right, high) in pairwise(curve):
        if left <= x <= right:
            return low + (high - low) * (x - left) / (right - left)
    raise ValueError(f"{x} lies outside of the curve")


def _without_idle(points: Sequence[Point]) -> list[Point]:
    """The same curve without points on a straight line, and without two at one place."""
    kept: list[Point] = []
    for point in points:
        if kept and point[0] - kept[-1][0] < SAME and point[0] < 1.0:
            continue
        while len(kept) > 1 and _straight(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return kept


def _straight(left: Point, middle: Point, right: Point) -> bool:
    share = (middle[0] - left[0]) / (right[0] - left[0])
    return abs(left[1] + share * (right[1] - left[1]) - middle[1]) < SAME

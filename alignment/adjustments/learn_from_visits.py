"""Effects of adjusters, learned from the shop's own visits with one car model."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from alignment.geometry.adjustment_problem import QUANTITIES
from alignment.geometry.empirical_response import Change, Learned, TooLittle, learn
from alignment.geometry.units import FLATS, TURNS
from alignment.models import Quantity, RackVisit
from common.corners import AXLE_CORNERS
from shop.models import WorkOrder

#: A body that came up or down by more than this between two visits changed the angles itself.
SAME_HEIGHT_MM = 2.0
#: No more than this many visits are looked at, the newest first.
MOST_VISITS = 400

Positions = Mapping[tuple[str, str], tuple[float, str]]


@dataclass(frozen=True)
class LearnedAxle:
    """What was learned for one axle. ``units`` names the unit in which each adjuster counts.

    ``visits`` were looked at; ``older`` ones were not.
    """

    learned: Learned
    units: Mapping[str, str]
    visits: int = 0
    older: int = 0

    @property
    def said(self) -> str:
        count = self.learned.pairs
        told = ngettext(
            "{count} pair of readings with this car model",
            "{count} pairs of readings with this car model",
            count,
        ).format(count=count)
        if not self.older:
            return told
        left_out = ngettext(
            "{told} at its newest {visits} visits ({count} older visit is left out)",
            "{told} at its newest {visits} visits ({count} older visits are left out)",
            self.older,
        )
        return left_out.format(told=told, visits=self.visits, count=self.older)

    def recorded(self, visit: RackVisit, corner: str) -> dict[str, float]:
        """Positions at a visit in the units that were learned."""
        stands = _positions(visit)
        found = {}
        for name, unit in self.units.items():
            value, its = stands.get((corner, name), (0.0, ""))
            if its == unit:
                found[name] = value
        return found

    def stood(self, visit: RackVisit, corner: str) -> dict[str, float]:
        """The same, with 0 for what was not recorded."""
        return {**dict.fromkeys(self.units, 0.0), **self.recorded(visit, corner)}


def learn_axle(order: WorkOrder, axle: str) -> LearnedAxle:
    """Learn an axle from the newest visits with cars of the order's car model; what is left out
    is said. Raises TooLittle."""
    car_model = order.vehicle.car_model
    if car_model is None:
        raise TooLittle(_("the vehicle has no car model"))
    visits = RackVisit.objects.filter(vehicle__car_model=car_model).with_numbers()
    visits = visits.prefetch_related("order__planned_settings")
    newest = sorted(visits.order_by("-at")[:MOST_VISITS], key=lambda v: (v.order_id, v.at, v.pk))
    corners = AXLE_CORNERS[axle]
    units = _units(newest, corners)
    changes = [
        change
        for _, own in groupby(newest, key=lambda visit: visit.order_id)
        for change in _changes(list(own), corners, units)
    ]
    learned = learn(changes)
    older = visits.count() - len(newest) if len(newest) == MOST_VISITS else 0
    named = {name: units[name] for name in learned.adjusters}
    return LearnedAxle(learned, named, len(newest), older)


def _units(visits: Sequence[RackVisit], corners: Sequence[str]) -> dict[str, str]:
    """The unit in which each adjuster was recorded most often."""
    seen: Counter[tuple[str, str]] = Counter(
        (name, unit)
        for visit in visits
        for (corner, name), (_, unit) in _positions(visit).items()
        if corner in corners
    )
    units: dict[str, str] = {}
    for (name, unit), _count in seen.most_common():
        units.setdefault(name, unit)
    return units


def _positions(visit: RackVisit) -> Positions:
    return {(p.corner, p.adjuster): (p.value, p.unit) for p in visit.positions.all()}


def _changes(
    visits: Sequence[RackVisit], corners: Sequence[str], units: Mapping[str, str]
) -> Iterator[Change]:
    """From one visit of an order to its next, at each corner of an axle."""
    for first, last in pairwise(visits):
        for corner in corners:
            if not _same_height(first, last, corner):
                continue
            moved = _moved(_positions(first), _positions(last), corner, units)
            before, after = first.values(), last.values()
            read = {
                name: after[corner, name] - before[corner, name]
                for name in QUANTITIES
                if (corner, name) in before and (corner, name) in after
            }
            if moved is not None and any(moved.values()) and read:
                yield Change(moved, read, max(first.accuracy_deg, last.accuracy_deg))


def _moved(
    before: Positions, after: Positions, corner: str, units: Mapping[str, str]
) -> dict[str, float] | None:
    """By how much each adjuster was moved; None where that is not known of one of them.

    Turns and flats are counted from where the part stood, so they need no position before.
    """
    moved: dict[str, float] = {}
    for name, unit in units.items():
        end = after.get((corner, name))
        start = before.get((corner, name))
        if end is None and start is None:
            continue
        if end is None or end[1] != unit:
            return None
        if start is None and unit in (TURNS, FLATS):
            start = (0.0, unit)
        if start is None or start[1] != unit:
            return None
        moved[name] = end[0] - start[0]
    return moved


def _same_height(first: RackVisit, last: RackVisit, corner: str) -> bool:
    key = (corner, str(Quantity.RIDE_HEIGHT.value))
    before, after = first.values().get(key), last.values().get(key)
    if before is not None and after is not None:
        return abs(after - before) <= SAME_HEIGHT_MM
    plans = first.order.planned_settings.all()
    return not any((plan.adjusters or {}).get("ride_height_mm") for plan in plans)

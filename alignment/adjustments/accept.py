"""Taking moves on: what was proposed is kept, to be held against the readings that follow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction

from alignment.adjustments.text import adjustments_said
from alignment.geometry.adjustments import MOVES_VERSION
from alignment.geometry.units import format_degrees
from alignment.models import AcceptedAdjustments, PlannedSetting, RackVisit
from common.corners import CORNER_NAMES
from shop.models import User, WorkOrder
from shop.orders.services.log import log_write
from shop.orders.services.states import order_lock
from shop.site.refusals import Refused

CHANGED = (
    "Readings, planned settings or moves have changed since this page was opened. "
    "Look at the moves as they are now, then accept them."
)


@dataclass(frozen=True)
class Taken:
    """One way at one corner as it was shown; fields as in ``AcceptedMoves``."""

    corner: str
    visit: RackVisit
    title: str
    adjustments: Sequence[Mapping[str, Any]]
    positions: Mapping[str, float]
    read: Mapping[str, float]
    predicted: Mapping[str, float]
    offset: Mapping[str, float] = field(default_factory=dict)
    uncertainty: Mapping[str, float] = field(default_factory=dict)
    room: Mapping[str, Any] = field(default_factory=dict)
    toe_is_split: bool = False
    thrust_shift_deg: float = 0.0
    source: str = ""


Versions = Mapping[str, int]


def versions_of(order: WorkOrder) -> dict[str, int]:
    """What moves are worked out from, with the version of each."""
    visits = RackVisit.objects.filter(order=order).values_list("pk", "version")
    plans = PlannedSetting.objects.filter(order=order).values_list("pk", "version")
    return {
        **{f"visit {pk}": version for pk, version in visits},
        **{f"plan {pk}": version for pk, version in plans},
    }


@transaction.atomic
def adjustments_accept(
    *, order: WorkOrder, by: User, taken: Sequence[Taken], versions: Versions
) -> list[AcceptedAdjustments]:
    """Keep the ways that were taken, one row a corner, with one entry in the log.

    ``versions`` are those of ``versions_of`` from before the moves were worked out. What is
    accepted already is not written again. Raises Refused on a closed order, where nothing is
    taken, and where something was saved in between.
    """
    row = order_lock(order)
    if not row.is_open:
        raise Refused("The order is closed: no moves are accepted for it.")
    if not taken:
        raise Refused("Every corner is left as it is: there is nothing to accept.")
    if dict(versions) != versions_of(row):
        raise Refused(CHANGED)
    stands = {(r.visit_id, r.corner): r for r in AcceptedAdjustments.objects.of_order(row)}
    new = [one for one in taken if not _is_same(one, stands.get((one.visit.pk, one.corner)))]
    rows = [
        AcceptedAdjustments.objects.create(
            order=row,
            visit=one.visit,
            visit_version=one.visit.version,
            engine=MOVES_VERSION,
            by=by,
            **_values(one),
        )
        for one in new
    ]
    if rows:
        log_write(
            order=row, by=by, what="Moves accepted", detail=" ".join(_said(one) for one in new)
        )
    return rows


def _values(one: Taken) -> dict[str, Any]:
    names = [name for name in one.__dataclass_fields__ if name != "visit"]
    values = {name: getattr(one, name) for name in names}
    return {
        name: dict(value) if isinstance(value, Mapping) else value for name, value in values.items()
    } | {"adjustments": [dict(move) for move in one.adjustments]}


def _is_same(one: Taken, standing: AcceptedAdjustments | None) -> bool:
    return standing is not None and (
        standing.visit_version == one.visit.version
        and standing.adjustments == [dict(move) for move in one.adjustments]
        and standing.predicted == dict(one.predicted)
    )


def _said(one: Taken) -> str:
    """One corner in a sentence: what is moved, what should be read then, and the room."""
    adjustments = adjustments_said(one.adjustments)
    order = [name for name in ("camber", "caster", "toe") if name in one.predicted]
    told = ", ".join(f"{name} {format_degrees(one.predicted[name])}" for name in order)
    room = f"; {one.room['clearance_mm']:.1f} mm at the tightest place" if one.room else ""
    name = CORNER_NAMES[one.corner]
    return f"{name[0].upper()}{name[1:]}: {adjustments}; to read {told}{room}."

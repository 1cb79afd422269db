"""Accepting adjustments: what was proposed is kept, to be compared with the readings after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.adjustments.text import adjustments_said, quantity_label
from alignment.geometry.adjustments import MOVES_VERSION
from alignment.models import AcceptedAdjustments, PlannedSetting, RackVisit
from shop.languages import speech_of_page, speech_of_shop
from shop.languages.figures import format_degrees, format_mm
from shop.models import Corner, User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.torque_reopening import reopen_logged
from shop.orders.services.torques import keys_adjusted
from shop.site.refusals import Refused

CHANGED = gettext_lazy(
    "Readings, planned settings or adjustments have changed since this page was opened. "
    "Check the adjustments as they are now, then accept them."
)


@dataclass(frozen=True)
class Taken:
    """One option at one corner as it was shown; fields as in ``AcceptedAdjustments``."""

    corner: str
    visit: RackVisit
    option: Mapping[str, Any]
    adjustments: Sequence[Mapping[str, Any]]
    positions: Mapping[str, float]
    read: Mapping[str, float]
    predicted: Mapping[str, float]
    offset: Mapping[str, float] = field(default_factory=dict)
    uncertainty: Mapping[str, float] = field(default_factory=dict)
    wanted: Mapping[str, Sequence[float]] = field(default_factory=dict)
    clearance: Mapping[str, Any] = field(default_factory=dict)
    toe_is_split: bool = False
    thrust_shift_deg: float = 0.0
    source: str = ""


Versions = Mapping[str, int]


def versions_of(order: WorkOrder) -> dict[str, int]:
    """The records that adjustments are worked out from, with the version of each."""
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
    """Keep the options that were chosen, one row a corner, with one entry in the log.

    ``versions`` are those of ``versions_of`` from before the adjustments were worked out. What is
    accepted already is not written again. Raises Refused on a closed order, where no option is
    chosen, and where something was saved in between.
    """
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("The order is closed. No adjustments can be accepted."))
    if not taken:
        raise Refused(_("No adjustment is chosen at any corner."))
    if dict(versions) != versions_of(row):
        raise Refused(str(CHANGED))
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
        with speech_of_shop().active():
            detail = " ".join(_said(one) for one in new)
        log_write(order=row, by=by, what=gettext_lazy("Adjustments accepted"), detail=detail)
        moved = {one.corner: {str(m["adjuster"]) for m in one.adjustments} for one in new}
        reopen_logged(row, by, _("adjusted"), keys_adjusted(row, moved))
    return rows


def _values(one: Taken) -> dict[str, Any]:
    names = [name for name in one.__dataclass_fields__ if name != "visit"]
    values = {name: getattr(one, name) for name in names}
    return {
        name: dict(value) if isinstance(value, Mapping) else value for name, value in values.items()
    } | {"adjustments": [dict(move) for move in one.adjustments]}


def moves_of(adjustments: Sequence[Mapping[str, Any]]) -> list[tuple[str, float, float]]:
    """Adjuster, start and end of every adjustment that is kept, without its words."""
    return [(move["adjuster"], move["start"], move["end"]) for move in adjustments]


def _is_same(one: Taken, standing: AcceptedAdjustments | None) -> bool:
    return standing is not None and (
        standing.visit_version == one.visit.version
        and moves_of(standing.adjustments) == moves_of(one.adjustments)
        and standing.predicted == dict(one.predicted)
    )


def _said(one: Taken) -> str:
    """One corner in a sentence: adjustments, predicted readings and clearance."""
    order = [name for name in ("camber", "caster", "toe") if name in one.predicted]
    predicted = ", ".join(
        f"{speech_of_page().within(quantity_label(name))} {format_degrees(one.predicted[name])}"
        for name in order
    )
    text = (
        _("{corner}: {adjustments}; predicted {readings}; {gap} at the tightest spot.")
        if one.clearance
        else _("{corner}: {adjustments}; predicted {readings}.")
    )
    return text.format(
        corner=Corner(one.corner).label,
        adjustments=adjustments_said(one.adjustments),
        readings=predicted,
        gap=format_mm(one.clearance["clearance_mm"], signed=False) if one.clearance else "",
    )

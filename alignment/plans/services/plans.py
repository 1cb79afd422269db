"""Saving what the axles of an order are to be set to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.models import (
    CAMBER_TOLERANCE_DEG,
    CASTER_TOLERANCE_DEG,
    TOE_TOLERANCE_DEG,
    OrderTarget,
    PlannedSetting,
)
from alignment.plans.services.edit_conflict import SavedMeanwhile
from alignment.plans.services.order_targets import differences
from alignment.plans.services.plain_alignment import more_than_plain
from alignment.text.labels import plan_sentence
from alignment.text.refusals import NO_CAMBER_METHOD
from shop.languages import speech_of_shop
from shop.models import Axle, OrderKind, User, WorkOrder
from shop.orders.services.changes import order_moves_wheel
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

CLOSED = gettext_lazy("The order is closed. Its settings cannot be changed.")


@dataclass(frozen=True)
class AxlePlan:
    """One axle's planned settings; fields as in ``PlannedSetting``."""

    toe_deg: float
    camber_deg: float | None = None
    camber_by: str = ""
    toe_unit: str = "deg"
    toe_diameter_mm: float | None = None
    caster_deg: float | None = None
    camber_tolerance_deg: float = CAMBER_TOLERANCE_DEG
    toe_tolerance_deg: float = TOE_TOLERANCE_DEG
    caster_tolerance_deg: float = CASTER_TOLERANCE_DEG
    adjusters: Mapping[str, Any] = field(default_factory=dict)
    bushes: str = ""
    rolled_lips: bool = False
    typed: Mapping[str, str] = field(default_factory=dict)
    notes: str = ""


@transaction.atomic
def plan_save(
    *,
    order: WorkOrder,
    by: User,
    axles: Mapping[str, AxlePlan | None],
    versions: Mapping[str, int] | None = None,
    why: str | None = None,
) -> list[PlannedSetting]:
    """Save the axles named in ``axles``; None removes an axle's plan.

    ``versions`` is what the form was filled from, 0 for an axle without a plan; None skips the
    comparison. ``why`` is the reason for which the plan differs from the order's target sheet;
    None keeps the one that was given. Raises SavedMeanwhile if another person saved in between,
    Refused on a closed order, and for a plan that differs without a reason.
    """
    row = order_lock(order)
    if not row.is_open:
        raise Refused(str(CLOSED))
    now = {plan.axle: plan for plan in PlannedSetting.objects.of_order(row)}
    if versions is not None:
        stale = [
            now.get(axle)
            for axle in axles
            if versions.get(axle, 0) != (now[axle].version if axle in now else 0)
        ]
        if stale:
            raise SavedMeanwhile(stale)
    said = []
    for axle, wanted in axles.items():
        said.extend(_axle_save(row, by, axle, wanted, now.get(axle)))
    if said:
        log_write(
            order=row, by=by, what=gettext_lazy("Planned settings changed"), detail=" ".join(said)
        )
    plans = list(PlannedSetting.objects.of_order(row))
    because = _("Settings are planned.")
    if row.kind == OrderKind.ALIGNMENT:
        because = more_than_plain(row, plans)
    if because and any(wanted is not None for wanted in axles.values()):
        order_moves_wheel(order=order, by=by, because=because)
    _reason_keep(row, by, plans, why)
    return plans


def _reason_keep(order: WorkOrder, by: User, plans: list[PlannedSetting], why: str | None) -> None:
    """Keep why the plan differs from its target sheet; forget it where it does not."""
    taken = OrderTarget.objects.filter(order=order).select_related("sheet").first()
    if taken is None:
        return
    differ = differences(plans, taken.sheet)
    reason = "" if not differ else taken.reason if why is None else why.strip()
    if differ and not reason:
        raise Refused(
            _("The plan differs from its target sheet. {differences} Enter the reason.").format(
                differences=" ".join(differ)
            ),
            field="why",
        )
    if reason != taken.reason:
        taken.reason = reason
        taken.save(update_fields=["reason"])
        what: Promise = gettext_lazy("Plan equals its target sheet")
        if reason:
            what = gettext_lazy("Plan differs from its target sheet")
        log_write(order=order, by=by, what=what, detail=reason)


def _axle_save(
    order: WorkOrder, by: User, axle: str, wanted: AxlePlan | None, plan: PlannedSetting | None
) -> list[str]:
    """Write one axle; returns the sentences for the log, none where nothing changed."""
    if wanted is None:
        if plan is None:
            return []
        plan.delete()
        own = speech_of_shop()
        return [own.say("{axle}: plan removed.", axle=own.say(Axle(plan.axle).label))]
    if wanted.camber_deg is not None and not wanted.camber_by:
        raise Refused(str(NO_CAMBER_METHOD))
    values = {name: getattr(wanted, name) for name in wanted.__dataclass_fields__}
    values["adjusters"], values["typed"] = dict(wanted.adjusters), dict(wanted.typed)
    if plan is None:
        plan = PlannedSetting(order=order, axle=axle, version=0)
    elif all(getattr(plan, name) == value for name, value in values.items()):
        return []
    for name, value in values.items():
        setattr(plan, name, value)
    plan.version += 1
    plan.saved_by, plan.saved_at = by, timezone.now()
    plan.save()
    return [plan_sentence(plan, speech_of_shop())]

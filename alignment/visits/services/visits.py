"""Saving a visit to the rack: its conditions, readings and adjuster positions."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.utils.translation import gettext_noop as N_

from alignment.geometry.units import Understood
from alignment.models import LENGTHS, AdjusterPosition, Quantity, RackVisit, Reading, Stage
from alignment.plans.services.edit_conflict import SavedMeanwhile
from alignment.text.labels import adjuster_said
from alignment.text.question_messages import confirmed_said
from alignment.text.render import on_record
from common.corners import CORNER_NAMES
from shop.languages import speech_of_shop
from shop.models import User, WorkOrder
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

Key = tuple[str, str]

#: Conditions that a form may set, and their names in the log.
CONDITIONS: Mapping[str, str] = {
    "stage": N_("when it was"),
    "at": N_("time"),
    "mileage_km": N_("mileage"),
    "rack_name": N_("rack"),
    "accuracy_deg": N_("accuracy of the rack"),
    "toe_unit": N_("unit of toe"),
    "toe_diameter_mm": N_("diameter for toe"),
    "toe_diameter_typed": N_("diameter for toe"),
    "toe_reference": N_("line for front toe"),
    "toe_place": N_("where toe is measured"),
    "steering_ratio": N_("steering ratio"),
    "tyre_pressure": N_("tyres"),
    "fuel": N_("fuel and load"),
    "ballast": N_("ballast"),
    "temperature_c": N_("temperature"),
    "steering_ahead": N_("steering wheel ahead"),
    "level": N_("rack level"),
    "sweeps": N_("caster sweeps"),
    "notes": N_("notes"),
    "accepted": N_("what was confirmed"),
}


@transaction.atomic
def visit_save(
    *,
    order: WorkOrder,
    by: User,
    conditions: Mapping[str, Any],
    readings: Mapping[Key, Understood],
    positions: Mapping[Key, Understood] | None = None,
    visit: RackVisit | None = None,
    version: int | None = None,
    entry_key: uuid.UUID | None = None,
) -> RackVisit:
    """Save a new visit, or ``visit`` again if ``version`` is still the one on record.

    ``readings`` are keyed by (corner, quantity), ``positions`` by (corner, adjuster); what is
    not in them is not on record afterwards. Zero is a reading. A new visit whose ``entry_key``
    is known is the same form sent again, and is saved over the first. Raises SavedMeanwhile,
    and Refused for a visit without a number or a new one on a closed order.
    """
    row = order_lock(order)
    positions = positions or {}
    if not readings and not positions:
        raise Refused(_("Enter at least one reading. Zero is a reading."))
    if visit is None and entry_key is not None:
        visit = RackVisit.objects.filter(order=row, entry_key=entry_key).first()
        version = 1 if visit is not None else None
    if visit is None:
        return _visit_open(row, by, conditions, readings, positions, entry_key)
    return _visit_change(row, by, visit, version, conditions, readings, positions)


def _visit_open(
    order: WorkOrder,
    by: User,
    conditions: Mapping[str, Any],
    readings: Mapping[Key, Understood],
    positions: Mapping[Key, Understood],
    entry_key: uuid.UUID | None,
) -> RackVisit:
    if not order.is_open:
        raise Refused(_("The order is closed. No new readings can be entered."))
    visit = RackVisit(order=order, vehicle=order.vehicle, technician=by, saved_by=by)
    if entry_key is not None and not RackVisit.objects.filter(entry_key=entry_key).exists():
        visit.entry_key = entry_key
    _set_conditions(visit, conditions)
    visit.save()
    _write_numbers(visit, readings, positions)
    own = speech_of_shop()
    stage = own.within(own.say(Stage(visit.stage).label))
    what = own.say("Readings taken: {stage}", stage=stage)
    detail = "; ".join(_said(key, number.value) for key, number in readings.items())
    log_write(order=order, by=by, what=what, detail=_with_accepted(detail, visit))
    return visit


def _visit_change(
    order: WorkOrder,
    by: User,
    visit: RackVisit,
    version: int | None,
    conditions: Mapping[str, Any],
    readings: Mapping[Key, Understood],
    positions: Mapping[Key, Understood],
) -> RackVisit:
    row = RackVisit.objects.select_for_update(of=("self",)).get(pk=visit.pk, order=order)
    before, before_set = _numbers(row)
    conditions_changed = _set_conditions(row, conditions)
    wanted = {key: number.value for key, number in readings.items()}
    wanted_set = {key: number.typed for key, number in positions.items()}
    typed_before = {(r.corner, r.quantity): r.typed for r in row.readings.all()}
    same_typing = typed_before == {key: number.typed for key, number in readings.items()}
    if before == wanted and before_set == wanted_set and same_typing and not conditions_changed:
        return row
    if version is not None and version != row.version:
        raise SavedMeanwhile([RackVisit.objects.with_numbers().get(pk=row.pk)])
    row.version += 1
    row.saved_by, row.saved_at = by, timezone.now()
    row.save()
    _write_numbers(row, readings, positions)
    changes = [*_changes(before, wanted), *_set_changes(before_set, wanted_set)]
    changes.extend(conditions_changed)
    detail = "; ".join(changes)
    log_write(
        order=order,
        by=by,
        what=gettext_lazy("Readings changed"),
        detail=_with_accepted(detail, row),
    )
    return row


def _numbers(visit: RackVisit) -> tuple[dict[Key, float], dict[Key, str]]:
    return visit.values(), {(p.corner, p.adjuster): p.typed for p in visit.positions.all()}


def _set_conditions(visit: RackVisit, conditions: Mapping[str, Any]) -> list[str]:
    """Set the conditions; returns the names of those that changed, for the log."""
    own = speech_of_shop()
    changed = []
    for name, words in CONDITIONS.items():
        if name in conditions and getattr(visit, name) != conditions[name]:
            setattr(visit, name, conditions[name])
            changed.append(own.say(words))
    return list(dict.fromkeys(changed))


def _write_numbers(
    visit: RackVisit, readings: Mapping[Key, Understood], positions: Mapping[Key, Understood]
) -> None:
    visit.readings.all().delete()
    visit.positions.all().delete()
    Reading.objects.bulk_create(
        Reading(
            visit=visit,
            corner=corner,
            quantity=quantity,
            typed=number.typed.strip(),
            unit=number.unit,
            value=number.value,
        )
        for (corner, quantity), number in readings.items()
    )
    AdjusterPosition.objects.bulk_create(
        AdjusterPosition(
            visit=visit,
            corner=corner,
            adjuster=adjuster,
            typed=number.typed.strip(),
            value=number.value,
            unit=number.unit,
        )
        for (corner, adjuster), number in positions.items()
    )


def _shown(quantity: str, value: float | None) -> str:
    if value is None:
        return _none()
    speech = speech_of_shop()
    if quantity == Quantity.PRESSURE:
        return f"{speech.number(value, 2)} bar"
    return speech.length(value) if quantity in LENGTHS else speech.angle(value)


def _said(key: Key, value: float) -> str:
    corner, quantity = key
    return f"{_name(quantity)} {_where(corner)} {_shown(quantity, value)}"


def _name(quantity: str) -> str:
    """A quantity inside a sentence of the log."""
    own = speech_of_shop()
    return own.within(own.say(Quantity(quantity).label).split(",")[0])


def _where(corner: str) -> str:
    """A corner inside a sentence of the log."""
    return speech_of_shop().say(CORNER_NAMES[corner])


def _none() -> str:
    """What the log says for a figure that is not on record."""
    return speech_of_shop().say("none")


def _changes(before: Mapping[Key, float], after: Mapping[Key, float]) -> list[str]:
    said = []
    for corner, quantity in sorted({*before, *after}):
        old, new = before.get((corner, quantity)), after.get((corner, quantity))
        if old != new:
            said.append(
                f"{_name(quantity)} {_where(corner)} "
                f"{_shown(quantity, old)} → {_shown(quantity, new)}"
            )
    return said


def _set_changes(before: Mapping[Key, str], after: Mapping[Key, str]) -> list[str]:
    return [
        f"{adjuster_said(adjuster, speech_of_shop())} {_where(corner)} "
        f"{before.get((corner, adjuster), _none())} → {after.get((corner, adjuster), _none())}"
        for corner, adjuster in sorted({*before, *after})
        if before.get((corner, adjuster)) != after.get((corner, adjuster))
    ]


def _with_accepted(detail: str, visit: RackVisit) -> str:
    if not visit.accepted:
        return detail
    return speech_of_shop().say(
        "{readings}. Confirmed: {questions}",
        readings=detail,
        questions=" ".join(confirmed_said(visit.accepted, on_record())),
    )
